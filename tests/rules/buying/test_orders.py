"""Orders as they go: the number ordered is the number shown, deposits, reuse while on order."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.book.operations import buying, care, wanting
from tagbench.book.operations.strip import StripForm, strip_part
from tagbench.book.operations.wanting import WantForm
from tagbench.errors import BadInput, Refused
from tagbench.records import Want
from tagbench.rules.buying.deposits import deposits_out
from tagbench.rules.buying.open_orders import OnOrder
from tagbench.rules.describe.want import describe_want

TODAY = date(2031, 3, 9)


@pytest.fixture
def book(tmp_path: Path) -> Book:
    return Book(tmp_path / "book", now=lambda: datetime(2031, 3, 9, 18, 30, tzinfo=UTC))


@pytest.fixture
def dynamo(book: Book) -> str:
    """A part to be replaced by an exchange piece that is on order."""
    code = strip_part(book, StripForm("Dynamo", part_number="4711")).code
    care.tick_off(book, [code], "replace")
    wanting.edit_want(book, 1, WantForm(price="80.00 EUR", deposit="25.00"))
    buying.order(book, [1], due=date(2031, 3, 20))
    return code


def want(book: Book) -> Want:
    return book.records.wants["1"]


def test_the_number_that_was_ordered_is_the_number_shown(book: Book, dynamo: str) -> None:
    wanting.edit_want(book, 1, WantForm(number="4712"))
    told = describe_want(book.records, want(book), TODAY)
    assert told.number.words == "ordered as no. 4711, the list has no. 4712"
    buying.not_ordered(book, [1])
    assert describe_want(book.records, want(book), TODAY).number.words == "no. 4712"


def test_a_deposit_is_out_until_the_old_piece_was_given_for_it(book: Book, dynamo: str) -> None:
    buying.arrive(book, [1])
    told = describe_want(book.records, want(book), TODAY).deposit
    assert (told.words, told.state) == ("deposit 25.00 EUR, back for the old piece", "open")
    care.old_piece_gone(book, [dynamo], "exchanged")
    assert "ask for it" in describe_want(book.records, want(book), TODAY).deposit.words
    assert deposits_out(book.records, "A") == [want(book)]
    buying.deposit_came_back(book, 1)
    assert deposits_out(book.records, "A") == []
    with pytest.raises(Refused, match="came back on 9 Mar 2031 already"):
        buying.deposit_came_back(book, 1)


def test_a_deposit_that_cannot_be_is_refused(book: Book, dynamo: str) -> None:
    with pytest.raises(BadInput, match="EUR"):
        wanting.edit_want(book, 1, WantForm(deposit="20 USD"))
    with pytest.raises(Refused, match="still to come"):
        buying.deposit_came_back(book, 1, date(2031, 3, 10))
    wanting.edit_want(book, 1, WantForm(deposit=""))
    with pytest.raises(Refused, match="No deposit"):
        buying.deposit_came_back(book, 1)


def test_reuse_while_a_new_one_is_on_order_is_asked(book: Book, dynamo: str) -> None:
    before = book.revision
    with pytest.raises(OnOrder, match=r"on order \(want 1, due 20 Mar 2031\)"):
        care.tick_off(book, [dynamo], "reuse")
    assert book.revision == before
    care.tick_off(book, [dynamo], "reuse", orders="keep")
    assert (want(book).parts, want(book).ordered) == ((), TODAY)


def test_an_order_that_is_called_off_is_wanted_no_more(book: Book, dynamo: str) -> None:
    care.tick_off(book, [dynamo], "reuse", orders="off")
    assert not book.records.wants
    assert book.records.parts[dynamo].verdict == "reuse"


def test_what_is_only_wanted_goes_without_a_question(book: Book) -> None:
    code = strip_part(book, StripForm("Dynamo")).code
    care.tick_off(book, [code], "replace")
    care.tick_off(book, [code], "reuse")
    assert not book.records.wants
