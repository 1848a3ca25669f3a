"""A sentence about a thing that was named before books no second one (common practice, no source).

Each thing of a note is spoken of again in each way, behind each sign; what was counted stays as
it was, and the sentence is kept word for word.
"""

from __future__ import annotations

from itertools import product

import pytest

from tagbench.trade.fasteners.reading import read_fasteners
from tagbench.trade.fasteners.referring import refers_back

_PAIRS = (
    ("2 bolts M8x30, 1 nut M8", ("bolts", "nut")),
    ("3 washers + 1 shim", ("washers", "shim")),
    ("4 springs, 2 circlips 15mm", ("springs", "circlips")),
    ("1 spindle, 2 bearings 6203, 1 oil seal", ("spindle", "bearings", "seal")),
    ("6 studs M6x40, 6 copper washers", ("studs", "washers")),
    ("2 split pins 3x30 and 1 clevis pin", ("pins", "pin")),
    ("1 banjo bolt M10, 2 copper washers 10x14", ("bolt", "washers")),
)
_SAID = (
    "the {} goes against the frame", "the {} is bent", "the {} are rusty", "the old {} was weak",
    "the {} needs a clean", "the {} belongs inside", "the {} has to come off last",
)  # fmt: skip
_ABROAD = (
    ("2 Schrauben M8x30, 1 Mutter M8", "die Mutter ist verrostet"),
    ("3 Scheiben, 1 Feder", "die Feder sitzt innen"),
    ("2 vis M6x20, 1 ressort", "le ressort est fatigué"),
    ("4 rondelles, 2 écrous M8", "les rondelles sont rouillées"),
    ("2 tornillos M6x20, 1 muelle", "el muelle está gastado"),
    ("3 rondelle + 1 spessore 0,5", "lo spessore va contro il cuscinetto"),
    ("2 rondelle", "una rondella è da rifare"),
    ("4 nuts M6", "one nut is rounded"),
    ("4 bolts M6x20", "the long one goes at the top"),
)
_SIGNS = ("; ", ", ", ". ", " - ")


def _counted(note: str) -> list[tuple[int, str, str | None]]:
    return [(line.quantity, line.kind, line.thread) for line in read_fasteners(note).lines]


@pytest.mark.parametrize("sign", _SIGNS)
def test_what_is_said_of_a_thing_again_counts_no_second_one(sign: str) -> None:
    wrong = []
    for (note, things), said in product(_PAIRS, _SAID):
        for thing in things:
            whole = f"{note}{sign}{said.format(thing)}"
            kept = " ".join(f"{line.words} {line.typed}" for line in read_fasteners(whole).lines)
            if _counted(whole) != _counted(note) or said.format(thing) not in kept:
                wrong.append(whole)
    assert not wrong


@pytest.mark.parametrize(("note", "said"), _ABROAD)
@pytest.mark.parametrize("sign", _SIGNS[:2])
def test_so_it_is_in_other_languages(note: str, said: str, sign: str) -> None:
    assert _counted(f"{note}{sign}{said}") == _counted(note)


@pytest.mark.parametrize(
    ("clause", "before"),
    [
        ("the nuts are M8", "4 nuts"),  # news
        ("the washer is missing", "2 bolts M8"),  # not named before
        ("the nut has 2 washers", "1 nut"),  # names more
        ("a nut is rounded", "1 nut"),  # another one
        ("the nut", "1 nut"),  # says nothing
    ],
)
def test_what_is_no_remark_about_it_stays(clause: str, before: str) -> None:
    assert not refers_back(clause, before)


@pytest.mark.parametrize(
    ("typed", "counts", "kept"),
    [
        ("woodruff key, 5hp mower. KEY HALF SHEARED get new", [1], "KEY HALF SHEARED get new"),
        ("3 weights, 3 springs. One spring cracked at the hole", [3, 3], "One spring cracked"),
        ("4 screws 2BA. SLOT CHEWED 1 OFF.", [4], "SLOT CHEWED 1 OFF"),
        ("4 bolts, 4 nuts; nut cracked 1 off", [4, 4], "nut cracked 1 off"),
        ("2 nuts 1/2 BSF, one left hand", [2], "one left hand"),
        ("U bolts 2 nuts 4 one nut wrong thread", [2, 4], "one nut wrong thread"),
        ("2 springs, one spring longer than the other", [2], "longer than the other"),
        ("screws missing 2 of 6", [4], "missing 2 of 6"),
        ("wrist pin and one c clip. other one went ping", [1, 1], "other one went ping"),
    ],
)
def test_what_is_said_of_some_without_a_new_name_counts_none(
    typed: str, counts: list[int], kept: str
) -> None:
    reading = read_fasteners(typed)
    assert [line.quantity for line in reading.lines] == counts
    assert kept in " ".join(line.words for line in reading.lines)
    assert not reading.asks


def test_one_more_than_were_counted_is_asked() -> None:
    (line,) = (reading := read_fasteners("5 snap rings. 1 snap ring extra??")).lines
    assert line.quantity == 5
    assert [option.meaning for option in reading.asks[0].options] == ["count:5", "count:6"]


@pytest.mark.parametrize(
    ("typed", "counts"),
    [
        ("2 bolts. one nut wrong", [2, 1]),
        ("2 bolts one stud came out with nut", [2, 1]),
        ("4 nuts M8 and one nut rusty M10", [4, 1]),
        ("mirror bolts. one m8 normal one m8 BACKWARDS thread", [1, 1]),
    ],
)
def test_another_thing_is_counted(typed: str, counts: list[int]) -> None:
    assert [line.quantity for line in read_fasteners(typed).lines] == counts


def test_how_some_are_goes_to_the_line_before() -> None:
    (line,) = read_fasteners("GRUB SCR 1/4 BSW X 3/8, 3 OFF\nHEX SKT ROUNDED 1 OFF").lines
    assert line.quantity == 3
    assert "HEX SKT ROUNDED 1 OFF" in line.words
