"""A place is told whole, as it was typed, and what is no place is not torn into one; the notes and
what a mechanic reads in them: common practice, no source."""

from __future__ import annotations

import pytest

from tagbench.trade.fasteners.reading import read_fasteners


@pytest.mark.parametrize(
    ("typed", "place", "words"),
    [
        ("4 M6x20, idler bracket", "idler bracket", ""),
        ("2 hose clips, breather hose", "breather hose", ""),
        ("3 nuts M8 pinion shaft", "pinion shaft", ""),
        ("6 M5x12 hex, left blower cover", "left blower cover", ""),
        ("2 studs M8 spigot housing twisted", "spigot housing", "twisted"),
        ("4 M6x20, cover, count again", "cover", "count again"),
        ("nut M10, gear lever, mower", "gear lever", "mower"),
    ],
)
def test_the_word_beside_a_part_tells_which_part(typed: str, place: str, words: str) -> None:
    (line,) = read_fasteners(typed).lines
    assert line.place == place
    assert line.words == words


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("thrust washer, clutch, chamfer inwards", "chamfer inwards"),
        ("conical washer x2 domed side up", "domed side up"),
        ("shim 20x28x0.5, bevelled edge facing out", "bevelled edge facing out"),
        ("split link, closed end forward", "closed end forward"),
        ("oil seal 20x35x7 lip in", "lip in"),
    ],
)
def test_which_way_round_is_no_place(typed: str, words: str) -> None:
    (line,) = read_fasteners(typed).lines
    assert line.words == words
    assert words not in line.place


def test_left_side_in_the_case_is_a_place() -> None:
    (line,) = read_fasteners("M8x40 bolt left side in crankcase").lines
    assert line.place == "left side, in crankcase"
    assert not line.words


def test_a_word_that_stands_twice_is_kept_twice() -> None:
    (line,) = read_fasteners("M6 hub wibble x20 wibble").lines
    assert f"{line.place} {line.words}".count("wibble") == 2
