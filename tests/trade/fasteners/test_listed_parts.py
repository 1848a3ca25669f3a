"""Parts of a machine in a list: things of the bag, or where it was. That is asked.

Which reading a mechanic would choose is common practice, no source.
"""

from __future__ import annotations

import pytest

from tagbench.trade.fasteners.listed_parts import PLACE, THINGS, listed_parts
from tagbench.trade.fasteners.reading import read_fasteners


@pytest.mark.parametrize(
    ("note", "token", "things"),
    [
        ("headlamp rim, bulb, 2 screws", "headlamp rim, bulb", ["headlamp rim", "bulb", ""]),
        ("coil, condenser, horn", "coil, condenser, horn", ["coil", "condenser", "horn"]),
        ("clutch basket, hub, nut", "clutch basket, hub", ["clutch basket", "hub", ""]),
        ("mirror, stem, nut M8", "mirror, stem", ["mirror", "stem", ""]),
        ("Schwimmer, Schwimmernadel, Stift", "Schwimmer, Schwimmernadel",
         ["Schwimmer", "Schwimmernadel", ""]),
    ],
)  # fmt: skip
def test_several_parts_before_a_fastener_are_asked(
    note: str, token: str, things: list[str]
) -> None:
    """Nobody guesses: until it is answered they stand as where it was, or as one thing."""
    asked = {choice.token: choice for choice in read_fasteners(note).asks}
    assert token in asked
    assert {one.meaning for one in asked[token].options} == {THINGS, PLACE}
    apart = read_fasteners(note, {token: THINGS})
    assert [line.words for line in apart.lines] == things
    assert any(token in one for one in apart.lines[0].chosen)
    together = read_fasteners(note, {token: PLACE})
    assert len(together.lines) < len(things)
    assert token not in {choice.token for choice in together.asks}


def test_a_part_behind_its_heading_is_more_likely_a_thing() -> None:
    (asked,) = read_fasteners("front wheel: spindle, 2 spacers, speedo drive").asks
    assert [one.meaning for one in asked.options] == [THINGS, PLACE]


@pytest.mark.parametrize(
    "note",
    [
        "oil pump, 3 bolts",  # where they were
        "clutch cover, left side, 4 screws",
        "4 nuts M8, cylinder head",
        "main jet 95, pilot jet 38",  # each is a line of its own already
        "brake plate, bent, 2 bolts",
        "Bag 12: reed block, 6 screws",
    ],
)
def test_one_part_and_its_side_are_not_asked(note: str) -> None:
    assert not [one for one in read_fasteners(note).asks if THINGS in
                {option.meaning for option in one.options}]  # fmt: skip


def test_a_note_spelled_by_the_program_is_not_cut() -> None:
    assert listed_parts("“coil, condenser”, horn") is None


@pytest.mark.parametrize(
    "note",
    [
        "oil pump gear, thrust washer, grub screw",
        "old plug, plug cap, HT lead",
        "water pump impeller, key, clip",
    ],
)
def test_single_things_in_a_list_are_asked(note: str) -> None:
    """Whether the part among them is a thing of the bag, or where the others were."""
    reading = read_fasteners(note)
    asked = [choice for choice in reading.asks if choice.token == note]
    assert {option.says for choice in asked for option in choice.options} == {
        "where it was",
        "things in the bag",
    }
    taken = read_fasteners(note, {note: "things"})
    assert len(taken.lines) == len(note.split(", "))


def test_things_that_are_booked_each_are_not_asked() -> None:
    assert not read_fasteners("bolt, nut, washer").asks
