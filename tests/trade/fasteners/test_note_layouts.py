"""Notes that are laid out: sentences and columns of their own, the hour before them, dictation.

What a mechanic would write down for each of these is common practice, no source.
"""

from __future__ import annotations

import itertools

import pytest

from tagbench.trade.fasteners.dictated import in_signs
from tagbench.trade.fasteners.note_layouts import laid_out
from tagbench.trade.fasteners.reading import read_fasteners


def _things(text: str) -> list[tuple[int, str, str]]:
    reading = read_fasteners(text)
    return [(line.quantity, line.kind, line.thread or line.words) for line in reading.lines]


_COUNTED = [
    ("Cap screw M6 x 20", "screw", "M6x1"),
    ("Plain washer M8", "washer", ""),
    ("Castle nut 3/8 BSF", "castle nut", "3/8 BSF"),
    ("Oil seal 20x35x7", "oil seal", ""),
    ("Kick lever", "other", "Kick lever"),
    ("Gearbox gasket", "gasket", ""),
]
_WAYS = {
    "off": lambda name, many: f"{name}, {many} off",
    "times": lambda name, many: f"{name} x{many}",
    "bare": lambda name, many: f"{name}, {many}",
}


@pytest.mark.parametrize("way", _WAYS)
@pytest.mark.parametrize("pair", list(itertools.permutations(_COUNTED, 2)))
def test_a_count_stays_with_the_sentence_that_says_it(
    way: str, pair: tuple[tuple[str, str, str], tuple[str, str, str]]
) -> None:
    """Each sentence counts its own thing behind its name, and never the next one."""
    said = [_WAYS[way](name, many) for (name, _, _), many in zip(pair, (4, 2), strict=True)]
    found = _things(f"{said[0]}. {said[1]}.")
    assert found == [(many, kind, size) for (_, kind, size), many in zip(pair, (4, 2), strict=True)]


@pytest.mark.parametrize("stamp", ["19:40", "Sun 10:15", "2026-11-27 09:05", "07:30 h", "21:10 -"])
@pytest.mark.parametrize(
    "note", ["Chain guard: M6x12 x3, washers x3", "Wheel nuts x4, nuts M5 x3", "3 clips"]
)
def test_the_hour_before_a_note_counts_nothing(stamp: str, note: str) -> None:
    """It is kept as a note of the part."""
    with_hour = read_fasteners(f"{stamp} {note}")
    assert _things(f"{stamp} {note}") == _things(note)
    assert with_hour.none == (stamp.rstrip(" -"),)


@pytest.mark.parametrize(
    ("row", "things"),
    [
        (
            "FA-02 | bolt M10x45 8.8 | 2 | + nut M10 2x",
            [(2, "bolt", "M10x1.5"), (2, "nut", "M10x1.5")],
        ),
        ("reed block | M4x10 pan | 6 | cleaned", [(6, "screw", "M4x0.7")]),
        (
            "EL-02 | wiper motor | 1 | nut M5 | 3 | bushes | 3",
            [(1, "other", "wiper motor"), (3, "nut", "M5x0.8"), (3, "bush", "")],
        ),
        (
            "Stator | M5x30 | 2 || pickup | M4x12 | 2",
            [(2, "screw", "M5x0.8"), (2, "screw", "M4x0.7")],
        ),
        ("Bag 7 | cyl. head | 4 nut M8 | 8 washer 8.4", [(4, "nut", "M8x1.25"), (8, "washer", "")]),
    ],
)
def test_a_column_counts_what_stands_beside_it(
    row: str, things: list[tuple[int, str, str]]
) -> None:
    assert _things(row) == things


@pytest.mark.parametrize(
    ("note", "counts"),
    [
        ("SWITCH BOX: (2) 10-24 x 3/8, (3) WIRE NUT, (1) STRAIN RELIEF 1/2", [2, 3, 1]),
        ("WAY WIPERS (4), (8) 6-32 x 3/8, (4) RETAINER", [4, 8, 4]),
        ("nut M12 x1, roller 16x13 x6, slider x3, ramp plate x1", [1, 6, 3, 1]),
        ("Horn x1, bracket x1, M6x16 x1, nut x1", [1, 1, 1, 1]),
        ("o-rings 10x2 (2), 14x2 (1), 20x3 (1)", [2, 1, 1]),
        ("valve keepers 4 (in pill bottle) springs 2 retainers 2", [4, 2, 2]),
        ("Tank - 1 bolt M8x35 - 1 big washer - 2 rubbers front - 1 rubber behind", [1, 1, 2, 1]),
        ("Stator plate - 3 pcs M5x20 - marked with scratch - flywheel key in same bag", [3, 1]),
        ("pump cover / 6x 3/8 whit bolts / 6x flat washers / gasket rooted", [6, 6, 1]),
        ("Rear hub - nut 1 - tab washer 1 - cush rubbers 5 (1 perished)", [1, 1, 5]),
        ("M6x25 - variator cover - 7 no.", [7]),
        ("8 nuts - six M8 and two M7 - cylinder base", [6, 2]),
        ("circlip 25 - seal 30", [1, 1]),
    ],
)
def test_each_thing_of_a_list_keeps_its_count(note: str, counts: list[int]) -> None:
    assert [many for many, _, _ in _things(note)] == counts


def test_a_remark_goes_to_the_thing_that_it_names() -> None:
    text, _ = laid_out("Bolts M6x20, 4 off. Nuts M6, 4 off. Washers, 8 off. One nut rounded.")
    assert text == "Bolts M6x20, 4 off; Nuts M6, 4 off, One nut rounded; Washers, 8 off"


@pytest.mark.parametrize(
    ("said", "signs"),
    [
        ("four bolts M six by twenty five comma four washers", "four bolts M6x25, four washers"),
        ("two bolts M8 by thirty full stop", "two bolts M8x30."),
        ("pivot bolt half inch by four new line nut", "pivot bolt half inch x 4; nut"),
        ("bag number nine two clips", "bag 9, two clips"),
        ("4 bolts M6 by 20", "4 bolts M6 by 20"),
    ],
)
def test_what_was_dictated_is_put_in_signs(said: str, signs: str) -> None:
    assert in_signs(said) == signs


@pytest.mark.parametrize(
    ("rows", "things"),
    [
        (
            "hub -- screw | 4 | M6x20 | ok -- washer | 3 | 8 | 1 lost",
            [(4, "screw", "M6x1"), (3, "washer", "1 lost")],
        ),
        (
            "circlip int | 1 | 28 -- seal | 2 | 12x28x7 | torn",
            [(1, "circlip", ""), (2, "seal", "torn")],
        ),
        ("nut | 2 | M5 | lid\nditto | 3 | M6 | base", [(2, "nut", "M5x0.8"), (3, "nut", "M6x1")]),
        ("stud | 5/6 | M8 | 6th still in", [(5, "stud", "M8x1.25")]),
        ("spring | 1 | lever -- split pin | 0 | 2x20 | need 1", [(1, "spring", "")]),
    ],
)
def test_each_row_of_a_table_is_one_thing_with_its_size(
    rows: str, things: list[tuple[int, str, str]]
) -> None:
    """What is said not to be there is kept as a note, and is no piece."""
    assert _things(rows) == things
