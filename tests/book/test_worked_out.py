"""What is worked out once for a state of the book is never shown of another state."""

from __future__ import annotations

from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.records import Machine, Part, once, replace
from tagbench.rules.rebuild.links import links_of


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A book of two parts, the second behind the first."""
    folder = tmp_path / "book"
    with Book(folder) as book, book.change("two parts") as transaction:
        transaction.put(Machine(mark="TP", name="Tarnbrook Packman"))
        first = transaction.new_code("TP")
        transaction.put(Part(code=first, name="nut", order=1))
        transaction.put(Part(code=transaction.new_code("TP"), name="hub", order=2, behind=(first,)))
    return folder


def _told(book: Book) -> tuple[list[str], list[list[int]]]:
    tables = book.records
    return [part.name for part in tables.parts_of("TP")], links_of(tables, "TP").outer


def test_it_is_worked_out_once_for_a_state(folder: Path) -> None:
    """The links are the very same until something changes."""
    with Book(folder) as book:
        assert links_of(book.records, "TP") is links_of(book.records, "TP")
        assert once(book.records, "asked", list) is once(book.records, "asked", list)


def test_a_change_an_undo_and_another_program_are_seen_at_once(folder: Path) -> None:
    """Sorted parts and links, each asked before and after."""
    with Book(folder) as book, Book(folder) as other:
        assert _told(book) == (["nut", "hub"], [[], [0]])
        hub = book.records.parts_of("TP")[1]
        with book.change("moved") as transaction:
            transaction.put(replace(hub, order=0, behind=()))
        assert _told(book) == (["hub", "nut"], [[], []])
        book.undo()
        assert _told(book) == (["nut", "hub"], [[], [0]])
        assert other.refresh()
        with other.change("renamed") as transaction:
            transaction.put(replace(hub, name="wheel"))
        assert _told(other)[0] == ["nut", "wheel"]
        assert _told(book)[0] == ["nut", "hub"]
        assert book.refresh()
        assert _told(book)[0] == ["nut", "wheel"]


def test_nothing_is_kept_while_a_change_is_being_made(folder: Path) -> None:
    """A transaction is asked, goes on, and is asked again; what is handed out is nobody else's."""
    with Book(folder) as book, book.change("more") as transaction:
        _, hub = transaction.records.parts_of("TP")
        transaction.put(replace(hub, name="drum"))
        assert [part.name for part in transaction.records.parts_of("TP")] == ["nut", "drum"]
        transaction.put(replace(hub, name="wheel", behind=()))
        assert [part.name for part in transaction.records.parts_of("TP")] == ["nut", "wheel"]
        assert links_of(transaction.records, "TP").outer == [[], []]
        transaction.records.parts_of("TP").clear()
        book.records.parts_of("TP").clear()
        assert len(book.records.parts_of("TP")) == 2
