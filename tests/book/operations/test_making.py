"""A gasket to make replaces the old one without being bought; each step can be undone."""

from __future__ import annotations

import pytest

from tagbench.book import Book
from tagbench.book.operations import care, making
from tagbench.book.operations.care_back import take_last_back
from tagbench.errors import BadInput, Refused
from tagbench.records import replace
from tagbench.rules.buying.gaskets import parse_gasket
from tagbench.rules.buying.single_use import needed
from tagbench.rules.care.needs import next_step, waiting_codes
from tests.book.conftest import strip

PAPER = parse_gasket("gasket paper", "0.5", "120 x 80", "4x M6")


@pytest.fixture
def code(book: Book) -> str:
    """A cover gasket that came off and is on the want list."""
    code = strip(book, "cover gasket", removed=book.now()).code
    care.tick_off(book, [code], "replace")
    return code


def test_what_is_made_leaves_the_want_list(book: Book, code: str) -> None:
    """It is not bought, nor counted among the single-use items; what comes next is to make it."""
    assert len(book.records.wants) == 1
    part = making.to_make(book, code, PAPER)
    assert (part.verdict, part.replacement, part.old_piece) == ("replace", "wanted", "kept")
    assert not book.records.wants
    assert needed(book.records) == []
    assert next_step(part, waiting_codes(book.records)) == "make"
    book.undo()
    assert book.records.parts[code].make is None
    assert len(book.records.wants) == 1


def test_made_it_is_here(book: Book, code: str) -> None:
    """Once; twice is refused."""
    making.to_make(book, code, PAPER)
    assert making.made(book, code).replacement == "here"
    with pytest.raises(BadInput, match="made already"):
        making.made(book, code)


def test_bought_after_all_it_is_wanted_again(book: Book, code: str) -> None:
    """And no part without measures can be made."""
    making.to_make(book, code, PAPER)
    assert making.buy_instead(book, code).make is None
    assert [want.parts for want in book.records.wants.values()] == [(code,)]
    with pytest.raises(BadInput, match="is not a part to make"):
        making.made(book, code)


def test_marking_or_stepping_back_puts_no_want_on_the_list(book: Book, code: str) -> None:
    """While it is to be made."""
    making.to_make(book, code, PAPER)
    care.tick_off(book, [code], "degreased")
    take_last_back(book, [code])
    care.tick_off(book, [code], "replace")
    assert not book.records.wants


def test_a_gasket_on_the_machine_is_refused(book: Book, code: str) -> None:
    """The old one would stay in; nothing is written."""
    care.tick_off(book, [code], "reuse")
    with book.change("fitted") as transaction:
        transaction.put(replace(transaction.records.parts[code], fitted="fitted"))
    with pytest.raises(Refused, match="take it off first"):
        making.to_make(book, code, PAPER)
    assert book.records.parts[code].make is None
