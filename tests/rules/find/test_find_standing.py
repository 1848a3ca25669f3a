"""Parts are found by how they stand and what they are made of: lost, soaking, worn, its wires.

What people type is common practice, no source.
"""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from tagbench.records import (
    Bin,
    CareStep,
    Errand,
    Lost,
    OwnPart,
    Part,
    Pin,
    Reading,
    Soak,
    Tables,
    Wiring,
    replace,
)
from tagbench.rules.find.index import Index
from tagbench.rules.find.once import find_once
from tests.rules.making import bin_code, part, tables

NOON = datetime(2025, 11, 3, 12, tzinfo=UTC)


def _parts() -> tuple[Part, ...]:
    return (
        replace(part(1, name="tail lamp"), lost=Lost(since=NOON, last_seen="window sill")),
        replace(part(2, name="float bowl"), soak=Soak(since=NOON, with_what="citric acid")),
        replace(
            part(3, name="cylinder"),
            away=Errand(who="Weir Lane Engines", what_for="rebore", sent=date(2025, 11, 3)),
        ),
        replace(part(4, name="brake shoes"), verdict="replace", replacement="wanted"),
        replace(part(5, name="clutch cable"), verdict="replace", replacement="here"),
        replace(
            part(6, name="drive chain"),
            readings=(Reading(what="length", values=(310.2,), high=308.0),),
        ),
        replace(
            part(7, name="chain guard"), errands=(Errand(who="Hill Plating", what_for="zinc"),)
        ),
        replace(part(8, name="kick lever"), care=(CareStep(step="degreased", at=NOON),)),
        part(9, name="footrest"),
    )


@pytest.fixture(scope="module")
def book() -> Tables:
    return tables(*_parts())


@pytest.mark.parametrize(
    ("question", "name"),
    [
        ("lost", "tail lamp"),
        ("missing", "tail lamp"),
        ("window sill", "tail lamp"),
        ("soaking", "float bowl"),
        ("citric acid", "float bowl"),
        ("away for rebore", "cylinder"),
        ("Weir Lane", "cylinder"),
        ("to buy", "brake shoes"),
        ("wanted", "brake shoes"),
        ("arrived", "clutch cable"),
        ("worn", "drive chain"),
        ("Hill Plating", "chain guard"),
        ("degreased", "kick lever"),
    ],
)
def test_a_part_is_found_by_how_it_stands(book: Tables, question: str, name: str) -> None:
    """The same answer with and without an index."""
    found = Index(book).find(question)
    assert [one.part.name for one in found[:1]] == [name]
    assert find_once(book, question) == found
    assert "state" in found[0].why


def test_what_no_part_is_finds_nothing_like_it() -> None:
    """`lost` is no slip of float where nothing is lost."""
    found = Index(tables(part(1, name="float bowl"), part(2, name="lock nut"))).find("lost")
    assert not found


def test_what_is_found_again_is_lost_no_more(book: Tables) -> None:
    index = Index(book)
    lamp = next(one for one in book.parts.values() if one.name == "tail lamp")
    index.update(replace(lamp, lost=None))
    assert not index.find("lost")


def test_a_bare_size_may_be_that_of_a_spanner() -> None:
    from tagbench.trade.fasteners.text import parse_fasteners

    nut = replace(part(1, name="axle nut"), fasteners=parse_fasteners("M8 nut, 13 mm spanner"))
    book = tables(nut, part(2, name="float bowl"))
    assert [one.part.name for one in Index(book).find("13mm nut")] == ["axle nut"]
    assert find_once(book, "13mm") == Index(book).find("13mm")


def test_words_of_the_trade_are_no_slips_of_one_another() -> None:
    book = tables(part(1, name="kick start lever"), part(2, name="prop stand"))
    assert [one.part.name for one in Index(book).find("kickstand")[:1]] == ["prop stand"]


@pytest.mark.parametrize(
    ("question", "name"),
    [("filter", "air cleaner"), ("headstock", "steering head"), ("capacitor", "condenser")],
)
def test_words_for_the_same_part(question: str, name: str) -> None:
    book = tables(part(1, name=name), part(2, name="gearbox"), part(3, name="saddle"))
    assert [one.part.name for one in Index(book).find(question)[:1]] == [name]


def test_what_a_part_is_made_of_finds_it() -> None:
    """Its own parts, the pins of its connector, and what is written about its bag."""
    lamp = replace(
        part(1, name="headlamp", bin=bin_code(1)),
        own_parts=(OwnPart(name="bulb holder"),),
        wiring=Wiring(pins=(Pin(pin="3", goes_to="dipped beam"),)),
    )
    bag = Bin(code=bin_code(1), name="Sealed bag", note="asbestos linings")
    book = tables(lamp, part(2, name="float bowl"), bins=(bag,))
    for question in ("bulb holder", "dip beam", "wiring", "asbestos"):
        assert [one.part.name for one in Index(book).find(question)[:1]] == ["headlamp"], question
        assert find_once(book, question) == Index(book).find(question)


def test_the_other_side_comes_behind() -> None:
    sides = [part(n, name="mirror", position=side) for n, side in ((1, "right"), (2, "left"))]
    found = Index(tables(*sides)).find("left mirror")
    assert [one.part.position for one in found[:1]] == ["left"]


def test_what_is_asked_of_a_part_is_no_name_of_it() -> None:
    """How tight the nuts are is not said where something is hand tight."""
    book = tables(part(1, name="adjusting nut", note="hand tight"), part(2, name="cylinder head"))
    assert Index(book).find("how tight is the cylinder head")[0].part.name == "cylinder head"
