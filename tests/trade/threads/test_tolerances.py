"""Tolerances of ISO 965-1 against printed rows; worn screws; what comes of a mix-up."""

from __future__ import annotations

import random

import pytest

from tagbench.trade.threads import all_threads, limits_of, parse_thread
from tagbench.trade.threads.iso import (
    allowance_g,
    hole_pitch_tolerance_6,
    major_tolerance_6,
    minor_tolerance_6,
    pitch_tolerance_6,
)
from tagbench.trade.threads.lookalikes import lookalikes, what_happens
from tagbench.trade.threads.naming import name_thread
from tests.trade.published import rows

_ROWS = rows("thread_tolerances")
_LIMITS = {
    "D1_min_mm": "hole_minor_min",
    "D1_max_mm": "hole_minor_max",
    "D2_max_mm": "hole_pitch_max",
    "d_min_6g_mm": "major_min",
    "d2_max_6g_mm": "pitch_max",
    "d2_min_6g_mm": "pitch_min",
}


@pytest.mark.parametrize(
    "row", [row for row in _ROWS if row["kind"] == "by_pitch"], ids=lambda row: row["designation"]
)
def test_tolerances_by_pitch(row: dict[str, str]) -> None:
    """ISO 965-1 tables as public copies print them; TD1 is 236 µm at pitch 1."""
    pitch = float(row["pitch_mm"])
    assert minor_tolerance_6(pitch) == pytest.approx(float(row["TD1_6H_um"]))
    assert major_tolerance_6(pitch) == pytest.approx(float(row["Td_6g_um"]))
    assert allowance_g(pitch) == pytest.approx(-float(row["es_6g_um"]))


@pytest.mark.parametrize(
    "row", [row for row in _ROWS if row["kind"] == "by_range"], ids=lambda row: row["designation"]
)
def test_tolerances_by_range_and_pitch(row: dict[str, str]) -> None:
    """Td2(6) and TD2(6), read in two copies for most."""
    pitch = float(row["pitch_mm"])
    for end in (float(row["diameter_over_mm"]) + 0.1, float(row["diameter_to_mm"])):
        assert pitch_tolerance_6(end, pitch) == pytest.approx(float(row["Td2_6g_um"]))
        assert hole_pitch_tolerance_6(end, pitch) == pytest.approx(float(row["TD2_6H_um"]))


@pytest.mark.parametrize(
    "row", [row for row in _ROWS if row["kind"] == "limits"], ids=lambda row: row["designation"]
)
def test_limits_of_single_threads(row: dict[str, str]) -> None:
    """Limits pages, 6g and 6H; the smallest pitch diameter of M3 is 2.580 mm."""
    limits = limits_of(parse_thread(row["designation"]))
    for column, name in _LIMITS.items():
        if row[column]:
            assert getattr(limits, name) == pytest.approx(float(row[column]), abs=0.0016), column


def test_worn_screws_without_a_pitch_gauge_are_listed() -> None:
    """Crests worn by up to 15 % of the pitch: the truth is in the list, marked, in nine of ten."""
    chance, listed, marked, said = random.Random(11), 0, 0, 0
    for thread in all_threads():
        if thread.common > 2:
            continue
        for _ in range(4):
            across = limits_of(thread).major_min - chance.uniform(0.02, 0.15) * thread.pitch_mm
            found = name_thread(round(across, 2))
            mine = [one for one in found if one.designation == thread.designation]
            said += 1
            listed += bool(mine)
            marked += bool(mine) and (mine[0].inside_limits or "if worn" in mine[0].note)
    assert listed >= 0.98 * said
    assert marked == listed


@pytest.mark.parametrize(
    ("screw", "hole", "says"),
    [
        ("#10-32", "M5x0.8", "then strips"),
        ("M6", "1/4 BSF", "then strips"),
        ("1/4 BSW", "1/4-20", "flanks bear on a line"),
        ("0BA", "M6", "flanks bear on a line"),
        ("2BA", "#10-32", "then binds"),
        ("1/2 NPT", "G 1/2", "leaks"),
        ("M5x0.9", "M5x0.8", "does not start"),
        ("1/2-13", "1/2 BSW", "does not start"),
        ("M8", "5/16-18", "does not start"),
    ],
)
def test_what_comes_of_a_screw_in_the_wrong_hole(screw: str, hole: str, says: str) -> None:
    """Geometry of the limits; the pairs are known traps of the trade, common practice."""
    assert says in what_happens(parse_thread(screw), parse_thread(hole))


def test_threads_of_one_angle_are_never_told_apart_by_it() -> None:
    for thread in all_threads():
        if thread.common > 2:
            continue
        for other in lookalikes(thread):
            if other.told_by == "the thread angle":
                assert parse_thread(other.designation).angle_deg != thread.angle_deg


def test_a_note_names_the_angle_only_for_threads_of_another_one() -> None:
    """Threads of 60 and 55 degrees that fit one reading are told apart each by its own means."""
    for across in [size / 50 for size in range(150, 800, 3)]:
        for one in name_thread(across, 25.4 / 20):
            for part in one.note.split("; "):
                if "thread angle decides" in part:
                    names = part.removeprefix("may also be ").split(": ")[0].split(", ")
                    for name in names:
                        assert parse_thread(name).angle_deg != one.angle_deg


def test_a_left_hand_thread_is_told_by_its_hand() -> None:
    """M6 LH and 0BA measure alike, and turn the other way."""
    [ba] = [one for one in lookalikes("M6 LH") if one.designation == "0BA"]
    assert ba.told_by == "the hand"
    assert ba.happens == "does not start"
