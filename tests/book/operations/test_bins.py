"""Bins by code, name and path: found, made, never mixed up."""

from __future__ import annotations

import pytest

from tagbench.book import Book
from tagbench.book.operations.bins import add_bin, bin_kind, move_bin, put_in_bin, rename_bin
from tagbench.book.operations.machines import add
from tagbench.book.operations.strip import StripForm, edit, strip_part
from tagbench.book.operations.tagging import queued
from tagbench.errors import BadInput, NotFound, Refused
from tagbench.rules.bins import kept_in_words
from tagbench.rules.new_bins import new_bin_words


def put(book: Book, text: str) -> str:
    """The words of the place that a part typed into this bin would be kept in."""
    with book.change("put") as transaction:
        code = put_in_bin(transaction, text)
    return kept_in_words(code, book.records.bins)


def test_a_bin_is_named_by_its_code_in_every_spelling(book: Book) -> None:
    made = add_bin(book, "Shelf A")
    for text in (made.code, made.code.lower(), made.code.replace("-", "").lower()):
        assert put(book, text) == "on Shelf A"
    assert len(book.records.bins) == 1


def test_a_wrong_check_character_makes_no_bin_of_that_name(book: Book) -> None:
    """The likely code is named, as for parts."""
    made = add_bin(book, "Shelf A")
    wrong = f"{made.code[:-1]}{'X' if made.code[-1] != 'X' else 'Y'}"
    with pytest.raises(BadInput, match=made.code):
        put(book, wrong)
    with pytest.raises(NotFound, match="BIN-090-N"):
        put(book, "BIN-090-N")
    assert list(book.records.bins) == [made.code]


def test_bin_4_is_a_name(book: Book) -> None:
    assert put(book, "Bin 4") == "in bag Bin 4"


def test_a_name_that_two_bins_have_is_not_guessed(book: Book) -> None:
    """The path tells them apart; one that lies in nothing is the whole path itself."""
    first = add_bin(book, "Shelf A / Box 1")
    second = add_bin(book, "Box 1", kept_in="Shelf B")
    with pytest.raises(BadInput, match=rf"{first.code} on Shelf A; {second.code} on Shelf B"):
        put(book, "box 1")
    assert put(book, "shelf b/box 1") == "in Box 1, on Shelf B"
    add_bin(book, "Box 1")
    assert put(book, "Box 1") == "in Box 1"


def test_a_second_bin_of_the_same_name_in_the_same_place_is_refused(book: Book) -> None:
    made = add_bin(book, "Shelf A / Box 1")
    with pytest.raises(BadInput, match=made.code):
        add_bin(book, "box 1", kept_in="Shelf A")


def test_the_tag_of_an_added_bin_waits_to_be_printed(book: Book) -> None:
    made = add_bin(book, "Box 2")
    assert book.records.tags[made.code].queued is not None


def test_what_holds_another_bin_is_no_bag(book: Book) -> None:
    assert put(book, "Bench corner / Screws") == "in bag Screws, in box Bench corner"
    move_bin(book, "Bench corner", "Garage")
    assert put(book, "Screws") == "in bag Screws, in box Bench corner, in box Garage"


@pytest.mark.parametrize(
    ("name", "kind"),
    [("Box 3", "box"), ("Biscuit tin", "box"), ("Crate bag", "bag"), ("Seals", "bag")],
)
def test_the_kind_is_read_from_the_last_word_that_says_one(name: str, kind: str) -> None:
    assert bin_kind(name) == kind


def test_a_measure_in_a_name_is_no_path(book: Book) -> None:
    assert put(book, "Box 2 / 3/8 bolts") == "in bag 3/8 bolts, in Box 2"


def test_no_two_bins_come_to_have_one_path(book: Book) -> None:
    """Neither by moving the one or the other, nor by another name; nothing is written then."""
    here = add_bin(book, "Box 1 / Bag 7")
    there = add_bin(book, "Box 2 / bag  7")
    before = book.revision
    with pytest.raises(BadInput, match=f"{here.code}; give another name"):
        move_bin(book, there.code, "Box 1")
    with pytest.raises(BadInput, match=there.code):
        move_bin(book, here.code, "Box 2")
    with pytest.raises(BadInput, match="Box 1"):
        rename_bin(book, "Box 2", "box 1")
    with pytest.raises(BadInput, match="Type one name"):
        rename_bin(book, "Box 2", "Box 1 / Bag 7")
    assert book.revision == before
    assert rename_bin(book, "Box 2", "box  2").name == "box 2"
    assert move_bin(book, here.code, "Box 1") == here


def test_taking_back_an_older_change_is_checked_like_a_move(book: Book) -> None:
    """The place that a bin came from may be taken by now."""
    moved = add_bin(book, "Bag 7")
    move_bin(book, moved.code, "Box 1")
    number = book.revision
    add_bin(book, "Bag 7")
    with pytest.raises(Refused, match="Two bins called Bag 7"):
        book.undo(number)


def test_every_bin_that_a_part_names_gets_a_tag_to_print(book: Book) -> None:
    """Shelf, box and bag are new with the part, and each is looked for by its tag."""
    part = strip_part(book, StripForm(name="drum", bin="Shelf A / Box 1 / Bag 7"))
    waiting = [tag.code for tag in queued(book.records)]
    assert set(book.records.bins) < set(waiting)
    assert part.code in waiting


def test_the_code_of_a_part_makes_no_bin_of_that_name(book: Book) -> None:
    """In every spelling, as a step of a path, with a wrong check character, by every operation."""
    add(book, "Tarnbrook Packman", "TP")
    part = strip_part(book, StripForm(name="Backing plate", bin="Shoe box"))
    mark, serial, check = part.code.split("-")
    bins = list(book.records.bins)
    wrong = f"{mark}-{serial}-{'X' if check != 'X' else 'Y'}"
    for text in (part.code, part.code.lower(), mark + serial + check, f"{mark}-{int(serial)}"):
        with pytest.raises(BadInput, match=f"{part.code} is the code of Backing plate.*Shoe box"):
            put(book, text)
        with pytest.raises(BadInput, match="not of a bag"):
            add_bin(book, f"Shelf A / {text}")
    for text in (wrong, wrong.replace("-", " ")):
        with pytest.raises(BadInput, match=part.code):
            put(book, text)
    with pytest.raises(BadInput, match="not of a bag"):
        rename_bin(book, "Shoe box", part.code)
    with pytest.raises(BadInput, match="not of a bag"):
        move_bin(book, "Shoe box", part.code)
    assert list(book.records.bins) == bins


def test_what_only_looks_like_a_code_is_a_name(book: Book) -> None:
    """Figures alone, other marks, and a part's code among other words are what one writes on."""
    add(book, "Tarnbrook Packman", "TP")
    part = strip_part(book, StripForm(name="Backing plate"))
    for text in ("18", "BAG-123-4", "M5-008-X", f"with {part.code}", "TP", "tp screws"):
        assert put(book, text).endswith(text)


def test_it_is_said_of_new_bins_only_and_stands_in_the_history(book: Book) -> None:
    """Anywhere along the path; the phone shows the words of the change."""
    meant = add_bin(book, "Shoe box")
    before = book.records.bins
    part = strip_part(book, StripForm(name="Axle", bin="Shoe bocks / Bag 1"))
    said = new_bin_words(part.bin, before, book.records.bins)
    assert said == (f"Shoe bocks is a new box; if you meant Shoe box ({meant.code}), put it there.")
    assert book.history()[0].words.endswith(
        f"{part.code}, Shoe bocks being a new box, much like Shoe box {meant.code}"
    )
    before = book.records.bins
    other = edit(book, part.code, bin="Shoe bocks / Bag 1")
    assert new_bin_words(other.bin, before, book.records.bins) == ""
    edit(book, part.code, "put it away", bin="Shoe bockz")
    assert "Shoe bockz being a new bag" in book.history()[0].words
    move_bin(book, "Bag 1", "Shoebox")
    assert "Shoebox being a new box" in book.history()[0].words
