"""Pipe threads, cycle threads and tap drills against printed tables."""

from __future__ import annotations

import pytest

from tagbench.errors import BadInput
from tagbench.trade.threads import limits_of, parse_thread
from tagbench.trade.threads.card import thread_card
from tagbench.trade.threads.lookalikes import lookalikes, would_start_in
from tagbench.trade.threads.naming import name_thread
from tagbench.trade.threads.pipe import pipe_threads
from tagbench.trade.threads.tapping import tapping
from tests.every import every
from tests.trade.published import rows

_PIPE = [row for row in rows("pipe_threads") if row["major_mm"]]


@pytest.mark.parametrize("row", _PIPE, ids=lambda row: row["designation"])
def test_pipe_threads_of_the_standards(row: dict[str, str]) -> None:
    """ISO 228-1, ISO 7-1 and ASME B1.20.1 as public copies print them."""
    for name in row["designation"].split(" / "):
        thread = parse_thread(name)
        assert thread.diameter_mm == pytest.approx(float(row["major_mm"]), abs=0.001)
        assert thread.pitch_mm == pytest.approx(float(row["pitch_mm"]), abs=0.0001)
        assert thread.angle_deg == float(row["thread_angle_deg"])
        limits = limits_of(thread)
        assert limits.pitch_max == pytest.approx(float(row["pitch_dia_mm"]), abs=0.002)


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("G1/4", "G 1/4"),
        ("1/8 BSP", "G 1/8"),
        ("1/2 BSPP", "G 1/2"),
        ("1/4 BSPT", "R 1/4"),
        ("rp 3/4", "Rp 3/4"),
        ("NPT 1/8", "1/8 NPT"),
        ("1/4-18 NPT", "1/4 NPT"),
        ("G 1 1/4", "G 1-1/4"),
        ("FG 2.3", "FG 2.3"),
        ("14g spoke", "FG 2.3"),
        ("1.370-24", "1.370-24 BSC"),
        ("1.370 x 24 tpi", "1.370-24 BSC"),
    ],
)
def test_pipe_and_cycle_threads_as_people_write_them(typed: str, name: str) -> None:
    assert parse_thread(typed).designation == name


def test_a_size_that_no_pipe_has_is_refused() -> None:
    with pytest.raises(BadInput, match="not a pipe thread size"):
        parse_thread("G 1/3")


def test_every_pipe_thread_reads_back_and_has_sound_limits() -> None:
    for name, thread in pipe_threads().items():
        assert parse_thread(name) == thread
        limits = limits_of(thread)
        assert limits.major_min < limits.major_max
        assert limits.pitch_min < limits.pitch_max <= limits.hole_pitch_max
        assert limits.hole_minor_min < limits.hole_minor_max < limits.major_max
        assert tapping(thread).drill_mm < limits.major_min


def test_the_npt_taper_at_both_ends() -> None:
    """ASME B1.20.1: 1/2 NPT crests run from 20.72 mm at the tip to 21.34 mm at the pipe."""
    limits = limits_of(parse_thread("1/2 NPT"))
    assert limits.major_min == pytest.approx(20.72, abs=0.005)
    assert limits.major_max == pytest.approx(21.336)


def test_a_pipe_thread_is_named_and_told_from_its_twin() -> None:
    """G 1/2 and 1/2 NPT have 14 threads per inch both; the taper tells, and what comes of it."""
    assert name_thread(13.1, tpi=19)[0].designation == "G 1/4"
    [twin] = [one for one in lookalikes("G 1/2") if one.designation == "1/2 NPT"]
    assert twin.told_by == "the taper"
    assert "leaks" in twin.happens
    assert not would_start_in("G 1/8", "M10x1")


@every(rows("tap_drills"))
def test_tap_drills(row: dict[str, str]) -> None:
    """Printed drills; stock steps of 0.05 to 0.5 mm stand for number and letter drills."""
    by_name = {"BSW": f"{row['designation'].split('-')[0]} BSW"}
    by_name["BSF"] = f"{row['designation'].split('-')[0]} BSF"
    name = row["designation"] if row["designation"].count("-") != 1 else None
    system = row["system"].split()[0]
    text = by_name[system] if system in by_name and name is None else row["designation"]
    found = tapping(parse_thread(text))
    printed = float(row["tap_drill_mm"])
    metric = row["system"].startswith("ISO metric")
    assert found.drill_mm == pytest.approx(printed, abs=0.051 if metric else 0.3)
    assert found.inside_limits
    if row["max_minor_internal_mm"] and metric:
        assert found.drill_mm <= float(row["max_minor_internal_mm"])


def test_the_card_has_drill_and_engaged_length() -> None:
    """Common practice, no source: one diameter in steel, two in aluminium."""
    card = thread_card("M8")
    assert card.tapping.drill_mm == 6.8
    assert card.tapping.engaged_mm == {"steel": 8, "cast iron or brass": 12, "aluminium": 16}
