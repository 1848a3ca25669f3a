"""A fastener found on the floor: which parts miss one like it."""

from __future__ import annotations

import pytest

from tagbench.errors import BadInput
from tagbench.records import Part, Tables, replace
from tagbench.rules.count.found_fastener import which_miss, which_miss_measured
from tagbench.rules.count.mixed_threads import mixed_threads
from tagbench.rules.rebuild.fit import put_on, short_by
from tagbench.trade.fasteners.text import parse_fasteners
from tagbench.trade.quantities.typed import parse_length
from tagbench.trade.threads import parse_pitch
from tests.rules.machines import MARK, NOON, clean, code, tables


def part(number: int, text: str, on: bool = True, lost: int = 0) -> Part:
    """A part with one line of fasteners, on the machine or off, so many of them lost."""
    made = clean(number, fasteners=parse_fasteners(text))
    made = short_by(made, {1: lost})
    return put_on(made, NOON) if on else made


FLOOR = tables(
    [
        part(1, "4x M6x20 hex"),
        part(2, "4x M6x20 hex", lost=1),
        part(3, "2x M6x25 hex", lost=1),
        part(4, "2x M6x20 pan", on=False),
        part(5, "3x M5x0.8x12 pan", lost=1),
        part(6, "3x #10-32 x 1/2 pan", lost=1),
        part(7, "cotter pin 3.2x32", lost=1),
        part(8, "1/4-20 x 3/4 hex", lost=1),
        part(9, "2x washer 6", lost=1),
    ]
)


def hits(text: str, made: Tables = FLOOR) -> list[tuple[str, bool]]:
    """Codes and whether they fit."""
    return [(hit.line.part.code, hit.fits) for hit in which_miss(made, MARK, text)]


def test_which_parts_miss_an_m6x20() -> None:
    """The one that lost one, then the bag that should have it, then another length; no others."""
    assert hits("M6×20") == [(code(2), True), (code(4), True), (code(3), False)]


def test_inch_sizes_and_unthreaded_things() -> None:
    """A quarter-inch screw by its inch length, a cotter pin by its size."""
    assert hits('1/4-20 x 3/4"') == [(code(8), True)]
    assert hits("cotter pin 3.2x32") == [(code(7), True)]
    assert hits("cotter pin 2x20") == []
    assert hits("washer 6") == [(code(9), True)]


def test_a_length_measured_in_the_other_unit_is_the_same_length() -> None:
    """19 mm and 3/4 in are within a millimetre."""
    assert hits("1/4-20 x 19 mm") == [(code(8), True)]


def test_a_look_alike_is_named_but_does_not_fit() -> None:
    """M5x0.8 and #10-32 start in each other's holes (ISO 965-1 6g, ASME B1.1 2A limits)."""
    assert hits("M5x0.8x12") == [(code(5), True), (code(6), False)]
    [_, alike] = which_miss(FLOOR, MARK, "M5x0.8x12")
    assert "looks alike" in alike.words


def test_without_a_length_the_thread_alone_counts() -> None:
    """Every M6 that is missing; the words say that the length was not compared."""
    found = which_miss(FLOOR, MARK, "M6")
    assert [hit.line.part.code for hit in found] == [code(2), code(3), code(4)]
    assert found[0].words == "length not compared"


def test_by_measurement() -> None:
    """5.9 mm across, 1 mm pitch, 20 mm long is an M6x1x20 (ISO 965-1: 5.794 to 5.974 mm)."""
    across, pitch, length = parse_length("5.9 mm"), parse_pitch("1 mm"), parse_length("20 mm")
    found = which_miss_measured(FLOOR, MARK, across, pitch, length)
    assert [(hit.line.part.code, hit.fits) for hit in found] == [
        (code(2), True),
        (code(4), True),
        (code(3), False),
    ]


def test_nothing_misses_what_is_all_back() -> None:
    """A machine with every screw in."""
    assert hits("M6x20", tables([part(1, "4x M6x20 hex")])) == []


@pytest.mark.parametrize("text", ["", "M6x20; M5x10", "thing"])
def test_what_is_no_fastener_is_refused(text: str) -> None:
    """With the forms."""
    with pytest.raises(BadInput):
        which_miss(FLOOR, MARK, text)


def test_text_kept_as_typed_is_passed_over() -> None:
    """A line whose thread is not known does not stop the search."""
    odd = clean(1, fasteners=(replace(parse_fasteners("M6x20")[0], thread="odd"),))
    assert hits("M6x20", tables([odd])) == []
    assert mixed_threads(["odd", "cotter pin", "M5x0.8", "#10-32 UNF", "M6x1"]) == mixed_threads(
        ["M5x0.8", "#10-32 UNF"]
    )
    assert len(mixed_threads(["M5x0.8", "#10-32 UNF"])) == 1
