"""Redo puts back what undo took, across programs, until something new is done."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings, strategies as st

from tagbench.book import Book
from tagbench.book.check import check_book
from tagbench.errors import BadInput, Refused
from tagbench.records import Phone, replace
from tests.book.conftest import strip
from tests.examples import examples


def test_redo_puts_back_in_the_order_in_which_undo_took(book: Book) -> None:
    """Two undone, two put back, and then there is nothing more."""
    for name in ("hub", "nut", "washer"):
        strip(book, name)
    before = book.records
    book.undo()
    book.undo()
    assert [book.redo().words, book.redo().words] == ["took off nut", "took off washer"]
    assert book.records.parts == before.parts
    assert book.records.tags == before.tags
    with pytest.raises(BadInput, match="nothing to put back"):
        book.redo()
    assert book.history()[0].words == "put back: took off washer"


def test_what_was_put_back_can_be_taken_back_again(book: Book) -> None:
    """Undo and redo as often as one likes."""
    part = strip(book, "hub")
    for _ in range(3):
        assert book.undo().words == "took off hub"
        assert not book.records.parts
        assert book.redo().words == "took off hub"
        assert book.records.parts == {part.code: part}


def test_a_new_change_ends_redo(book: Book) -> None:
    """What was undone before it may contradict it."""
    strip(book, "hub")
    book.undo()
    strip(book, "nut")
    with pytest.raises(BadInput, match="nothing to put back"):
        book.redo()


def test_a_phone_that_pairs_does_not_end_redo(book: Book) -> None:
    """It is no work on the machine."""
    strip(book, "hub")
    book.undo()
    with book.change("paired a phone") as transaction:
        transaction.put(
            Phone(id=transaction.new_id("phones"), name="P", token_hash="x", paired=transaction.now)
        )
    assert book.redo().words == "took off hub"


def test_redo_works_in_another_program(book: Book, folder: Path) -> None:
    """The history holds all that it needs."""
    strip(book, "hub")
    book.undo()
    with Book(folder) as again:
        assert again.redo().words == "took off hub"
    book.refresh()
    assert len(book.records.parts) == 1


def test_the_later_changes_that_hang_on_one_are_named(book: Book) -> None:
    """By number and words, so that they can be taken back first; then it goes."""
    hub = strip(book, "hub")
    with book.change("note") as transaction:
        transaction.put(replace(hub, note="cracked"))
    strip(book, "nut", behind=(hub.code,))
    with pytest.raises(Refused, match=r"3 “took off nut”; 2 “note”") as caught:
        book.undo(1)
    assert "the newest one first" in str(caught.value)
    book.undo(3)
    book.undo(2)
    assert book.undo(1).words == "took off hub"


def test_a_code_taken_away_can_be_used_for_its_bag_again(book: Book) -> None:
    """The tag is tied to the bag already; nobody else ever gets that code by itself."""
    from tagbench.book.operations.strip import StripForm, strip_part

    code = strip(book, "hub").code
    book.undo()
    assert strip(book, "nut").code != code
    again = strip_part(book, StripForm(name="hub", assembly="Front wheel"), code)
    assert again.code == code
    assert book.records.tags[code].kind == "part"


@settings(
    max_examples=examples(25),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(verbs=st.lists(st.sampled_from("suuurrcb"), min_size=3, max_size=14))
def test_any_walk_of_changes_undos_and_redos_stays_sound(
    tmp_path_factory: pytest.TempPathFactory, verbs: list[str]
) -> None:
    """And each redo gives exactly what stood before the undo."""
    folder = tmp_path_factory.mktemp("walk") / "book"
    states: list[tuple[object, int]] = []
    with Book(folder) as book:
        strip(book, "first")
        for verb in verbs:
            try:
                if verb == "s":
                    strip(book, "part", behind=tuple(list(book.records.parts)[-1:]))
                    states.clear()
                elif verb == "c":
                    with book.change("note") as transaction:
                        part = next(iter(transaction.records.parts.values()))
                        transaction.put(replace(part, note=f"note {book.revision}"))
                    states.clear()
                elif verb == "u":
                    states.append((book.records.parts, book.undo().number))
                elif verb == "r":
                    put_back = book.redo()
                    parts, number = states.pop()
                    assert put_back.number == number
                    assert book.records.parts == parts
                else:
                    book.checkpoint()
            except (BadInput, StopIteration):
                continue
    assert check_book(folder).problems == ()
