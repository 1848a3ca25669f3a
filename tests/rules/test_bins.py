"""Bins nest: bag in box on shelf, never in a loop."""

from __future__ import annotations

import pytest

from tagbench.errors import NotFound, Refused
from tagbench.records import Bin
from tagbench.rules.bin_contents import inside
from tagbench.rules.bins import (
    check_move,
    codes_within,
    kept_in,
    kept_in_words,
    names_in_path,
)
from tests.rules.making import bin_code, part, tables

BAG, BOX, SHELF, LOST = (bin_code(n) for n in (1, 2, 3, 4))
BINS = {
    BAG: Bin(code=BAG, name="Front brake 3", kind="bag", kept_in=BOX),
    BOX: Bin(code=BOX, name="Box 2", kind="box", kept_in=SHELF),
    SHELF: Bin(code=SHELF, name="A", kind="shelf"),
}


def test_the_whole_path_is_said_outermost_last() -> None:
    """Bag, box, shelf, in that order, and the kind is not said twice."""
    assert kept_in(BAG, BINS) == ("bag Front brake 3", "Box 2", "shelf A")
    assert kept_in_words(BAG, BINS) == "in bag Front brake 3, in Box 2, on shelf A"


def test_a_part_in_no_bin_is_said_so() -> None:
    """No bin, or one that is not in the book, gives an empty path."""
    assert kept_in("", BINS) == kept_in(LOST, BINS) == ()
    assert kept_in_words("", BINS) == "in no bin"


def test_a_loop_is_refused_and_spelled_out() -> None:
    """The sentence names every bin of the loop."""
    with pytest.raises(Refused, match=r"shelf A in bag Front brake 3 in Box 2 in shelf A"):
        check_move(SHELF, BAG, BINS)
    with pytest.raises(Refused, match="cannot be kept in itself"):
        check_move(BOX, BOX, BINS)
    check_move(BAG, SHELF, BINS)
    check_move(BAG, "", BINS)


def test_an_unknown_bin_is_named() -> None:
    """A code that no bin has is refused."""
    with pytest.raises(NotFound, match=LOST):
        check_move(BAG, LOST, BINS)


def test_a_loop_in_damaged_data_ends() -> None:
    """Reading a path never runs on."""
    looped = BINS | {SHELF: Bin(code=SHELF, name="A", kind="shelf", kept_in=BAG)}
    assert len(kept_in(BAG, looped)) == 3


def test_what_lies_in_a_bin() -> None:
    """Bins and parts directly in it, and how many deeper."""
    first, second = part(1, "shoe", bin=BAG), part(2, "drum", bin=BOX)
    book = tables(first, second, bins=tuple(BINS.values()))
    there = inside(BOX, book)
    assert (there.bins, there.parts, there.deeper) == ((BINS[BAG],), (second,), 1)
    assert codes_within(SHELF, BINS) == {BAG, BOX}


def test_a_path_is_cut_at_its_slashes_but_no_measure_is() -> None:
    assert names_in_path("Shelf A/Box 2 / Bag 7") == ["Shelf A", "Box 2", "Bag 7"]
    assert names_in_path("Box 2 / 3/8 bolts") == ["Box 2", "3/8 bolts"]
    assert names_in_path(" / ") == []
