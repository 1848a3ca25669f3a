"""Threads named from caliper readings, and the ones that are mistaken for each other."""

from __future__ import annotations

import random
from itertools import product

import pytest

from tagbench.errors import BadInput
from tagbench.trade.threads import (
    Thread,
    all_threads,
    limits_of,
    lookalikes,
    mix_ups,
    name_thread,
    parse_pitch,
    parse_thread,
    would_start_in,
)
from tests.every import every


@every(product(all_threads(), (False, True)))
def test_a_thread_drawn_inside_its_limits_is_named(drawn: tuple[Thread, bool]) -> None:
    """First, or inside its limits behind one that the same reading fits, which then is named."""
    thread, internal = drawn
    chance = random.Random(thread.designation)
    limits = limits_of(thread)
    low, high = limits.major_min, limits.major_max
    if internal:
        low, high = limits.hole_minor_min, limits.hole_minor_max
    for _ in range(4):
        across = round(chance.uniform(low, high), 2)
        found = name_thread(across, thread.pitch_mm, internal=internal)
        names = [candidate.designation for candidate in found]
        mine = found[names.index(thread.designation)]
        assert mine.inside_limits
        if found[0] is not mine:
            assert found[0].inside_limits
            assert thread.designation in found[0].note or len(names) > 4
        alone = name_thread(across, internal=internal)
        assert thread.designation in [each.designation for each in alone if each.inside_limits]


def test_calipers_and_gauge_name_m5() -> None:
    found = name_thread(4.95, 0.8)
    assert found[0].designation == "M5x0.8"
    assert (found[0].inside_limits, found[0].off_by_mm) == (True, 0)


def test_without_a_pitch_the_diameter_alone_cannot_decide() -> None:
    found = name_thread(7.85)
    assert {"M8x1.25", "5/16-18 UNC", "5/16-24 UNF"} <= {each.designation for each in found}
    assert "diameter alone cannot decide" in found[0].note


@pytest.mark.parametrize(
    "pair",
    ["M8|5/16-18", "M16|5/8-11", "M3.5|#6-32", "M2.5|#3-48", "M14|9/16-12", "M22|7/8-9"],
)
def test_pairs_that_diameter_cannot_separate(pair: str) -> None:
    """Notes on the published limits, second list."""
    one, other = (parse_thread(name) for name in pair.split("|"))
    assert other.designation in [each.designation for each in lookalikes(one)]
    low = max(limits_of(one).major_min, limits_of(other).major_min)
    high = min(limits_of(one).major_max, limits_of(other).major_max)
    names = {each.designation for each in name_thread((low + high) / 2)}
    assert {one.designation, other.designation} <= names


@pytest.mark.parametrize(
    ("pair", "told_by"),
    [
        ("M5|#10-32", "the diameter"),
        ("M4|#8-36", "the diameter"),
        ("M6|0BA", "the thread angle"),
        ("1/4-20|1/4 BSW", "the thread angle"),
        ("5/16-18|5/16 BSW", "the thread angle"),
        ("3/8-16|3/8 BSW", "the thread angle"),
        ("7/16-14|7/16 BSW", "the thread angle"),
        ("1/4 BSF|1/4 cycle", "the thread angle"),
        ("1/2-20|1/2-20 BSC", "only a known nut"),
    ],
)
def test_pairs_that_pitch_cannot_separate_start_in_each_other(pair: str, told_by: str) -> None:
    """Notes on the published limits, third list; the last is computed."""
    one, other = (parse_thread(name) for name in pair.split("|"))
    assert would_start_in(one, other)
    assert would_start_in(other, one)
    found = {each.designation: each for each in lookalikes(one)}
    assert found[other.designation].starts
    assert found[other.designation].told_by == told_by
    assert len(mix_ups([one.designation, other.designation])) == 1


@pytest.mark.parametrize(
    ("screw", "hole"),
    [
        ("M6", "M8"),
        ("M8", "M6"),
        ("M8", "M8x1"),
        ("1/2-13", "1/2 BSW"),
        ("1/4-20", "1/4-28"),
        ("M8", "5/16-18"),
        ("M10x1", "M10x1 LH"),
    ],
)
def test_threads_that_do_not_start(screw: str, hole: str) -> None:
    assert not would_start_in(screw, hole)
    assert mix_ups([screw, hole]) == []


def test_a_thread_starts_in_its_own_hole_and_is_no_mix_up_with_itself() -> None:
    assert all(would_start_in(thread, thread) for thread in all_threads())
    assert mix_ups(["M5", "M5x0.8", "m5"]) == []


def test_the_angle_leaves_only_threads_of_that_form() -> None:
    assert [each.designation for each in name_thread(6.3, tpi=20, angle=55)] == ["1/4 BSW"]
    first = name_thread(6.3, tpi=20)[0]
    assert first.designation == "1/4-20 UNC"
    assert "1/4 BSW: the thread angle decides" in first.note


def test_a_worn_and_a_plated_screw_are_still_named() -> None:
    worn = name_thread(4.76, 0.8, angle=60)
    mine = next(each for each in worn if each.designation == "M5x0.8")
    assert (mine.inside_limits, mine.off_by_mm) == (False, 0.066)
    assert "under the lower limit: if worn" in mine.note
    plated = name_thread(8.01, 1.25)[0]
    assert plated.designation == "M8x1.25"
    assert "over the upper limit: plated" in plated.note


def test_when_nothing_fits_the_nearest_are_named_and_none_is_inside() -> None:
    found = name_thread(7.0, 2.9)
    assert found
    assert not any(each.inside_limits for each in found)
    assert found[0].designation == "M7x1"


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("0.8", 0.8),
        ("0.8 mm", 0.8),
        ("1,25", 1.25),
        ("20 tpi", 1.27),
        ("20 threads per inch", 1.27),
        ("10 threads in 12.5 mm", 1.25),
        ("10 in 12,5 mm", 1.25),
        ("20 threads over 1 in", 1.27),
        ("26 T.P.I.", 25.4 / 26),
    ],
)
def test_a_pitch_as_it_is_found_at_the_bench(text: str, mm: float) -> None:
    assert parse_pitch(text).mm == pytest.approx(mm)


def test_a_counted_pitch_keeps_its_uncertainty() -> None:
    pitch = parse_pitch("10 threads in 12.6 mm")
    assert pitch.uncertainty_mm == pytest.approx(0.01)
    found = name_thread(7.9, pitch.mm, pitch_uncertainty_mm=pitch.uncertainty_mm)
    assert found[0].designation == "M8x1.25"


@pytest.mark.parametrize(
    ("across", "pitch", "tpi", "angle", "says"),
    [
        (0.0, None, None, None, "more than zero and less"),
        (-5.0, None, None, None, "more than zero and less"),
        (float("nan"), None, None, None, "more than zero and less"),
        (5.0, 0.8, 32.0, None, "not both"),
        (5.0, 4.0, None, None, "pitch of 4 mm"),
        (5.0, 0.0, None, None, "pitch of 0 mm"),
        (5.0, None, 0.0, None, "more than zero"),
        (5.0, None, None, 30.0, "angle of 30"),
    ],
)
def test_impossible_readings_are_refused(
    across: float, pitch: float | None, tpi: float | None, angle: float | None, says: str
) -> None:
    with pytest.raises(BadInput, match=says):
        name_thread(across, pitch, tpi, angle=angle)


@pytest.mark.parametrize("text", ["", "0", "-1 tpi", "0 tpi", "five", "0 threads in 5 mm"])
def test_what_is_no_pitch_is_refused(text: str) -> None:
    with pytest.raises(BadInput):
        parse_pitch(text)
