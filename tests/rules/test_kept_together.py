"""A sub-assembly in one piece: counted as one, taken apart with all that was known of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.book.operations import away, building, composing
from tagbench.book.operations.building import FitForm
from tagbench.book.operations.care import tick_off
from tagbench.book.operations.strip import StripForm, strip_part
from tagbench.errors import BadInput, Refused
from tagbench.rules.count.identity import machine_count
from tagbench.rules.kept_together import read_own_parts, spell_own_parts

KNOWN = "bowl: 4x M4x12 pan, M5x16 hex; float; 2x jet"


@pytest.fixture
def book(tmp_path: Path) -> Book:
    return Book(tmp_path / "book")


@pytest.fixture
def carburettor(book: Book) -> str:
    form = StripForm("Carburettor", assembly="Engine", position="left", bin="bag 3")
    code = strip_part(book, form).code
    composing.keep_in_one(book, code, KNOWN)
    return code


def test_own_parts_are_read_back_as_they_are_spelled() -> None:
    parts = read_own_parts(KNOWN)
    assert [(one.name, one.quantity, len(one.fasteners)) for one in parts] == [
        ("bowl", 1, 2),
        ("float", 1, 0),
        ("jet", 2, 0),
    ]
    again = read_own_parts(spell_own_parts(parts))
    assert [(x.name, x.quantity, [f.quantity for f in x.fasteners]) for x in again] == [
        (x.name, x.quantity, [f.quantity for f in x.fasteners]) for x in parts
    ]


def test_what_has_not_come_off_is_not_counted_until_it_does(book: Book, carburettor: str) -> None:
    before = machine_count(book.records, "A")
    assert (before.parts, before.fasteners_out) == (1, 0)
    composing.take_apart(book, carburettor)
    after = machine_count(book.records, "A")
    assert (after.parts, after.fasteners_out) == (4, 5)


def test_taken_apart_each_part_has_all_that_was_known(book: Book, carburettor: str) -> None:
    whole, parts = composing.take_apart(book, carburettor, ["Bowl"])
    assert (whole.together, len(whole.own_parts)) == (True, 2)
    (bowl,) = parts
    assert (bowl.name, bowl.assembly, bowl.position) == ("bowl", "Engine / Carburettor", "left")
    assert bowl.behind == (carburettor,)
    assert bowl.bin == whole.bin != ""
    assert bowl.fasteners[0].thread == "M4x0.7"
    whole, _ = composing.take_apart(book, carburettor)
    assert (whole.together, whole.own_parts) == (False, ())
    with pytest.raises(Refused, match="not kept together"):
        composing.take_apart(book, carburettor)


def test_its_own_parts_go_on_before_it(book: Book, carburettor: str) -> None:
    _, parts = composing.take_apart(book, carburettor)
    codes = [carburettor, *(one.code for one in parts)]
    tick_off(book, codes, "degreased")
    tick_off(book, codes, "reuse")
    with pytest.raises(Refused, match="bowl"):
        building.fit_part(book, carburettor)
    for one in parts:
        building.fit_part(book, one.code)
    assert building.fit_part(book, carburettor).fitted == "fitted"


def test_it_is_refused_where_it_cannot_be(book: Book, carburettor: str) -> None:
    with pytest.raises(BadInput, match="it has bowl, float, jet"):
        composing.take_apart(book, carburettor, ["needle"])
    with pytest.raises(Refused, match="would be forgotten"):
        composing.no_sub_assembly(book, carburettor)
    away.lose(book, carburettor)
    with pytest.raises(Refused, match="lost since"):
        composing.take_apart(book, carburettor)
    away.found_again(book, carburettor)
    away.never_off(book, [carburettor])
    with pytest.raises(Refused, match="on the machine"):
        composing.take_apart(book, carburettor)


def test_a_snug_one_cannot_be_taken_apart(book: Book, carburettor: str) -> None:
    tick_off(book, [carburettor], "degreased")
    tick_off(book, [carburettor], "reuse")
    building.fit_part(book, carburettor, FitForm(snug=True))
    with pytest.raises(Refused, match="take it off first"):
        composing.take_apart(book, carburettor)
