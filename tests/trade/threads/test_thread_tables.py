"""Every thread of the tables against its formula and against published figures."""

from __future__ import annotations

from math import pi, sqrt

import pytest

from tagbench.trade.threads import Thread, all_threads, limits_of, parse_thread
from tests.every import every
from tests.trade.published import examples, rows

_INCH = 25.4
_METRIC = rows("threads_metric")
_UNIFIED = rows("threads_unified")
_BRITISH = rows("threads_british")


def _named(row: dict[str, str]) -> Thread:
    return parse_thread(row["designation"])


@every(_METRIC)
def test_metric_dimensions_are_those_of_iso_724_and_iso_898(row: dict[str, str]) -> None:
    """ISO 724 restatements (diameters), ISO 898-1 (stress areas)."""
    limits = limits_of(_named(row))
    assert limits.hole_pitch_min == pytest.approx(float(row["d2_mm"]), abs=1e-4)
    assert limits.hole_minor_min == pytest.approx(float(row["d1_mm"]), abs=1e-4)
    assert limits.stress_area == pytest.approx(float(row["As_formula_mm2"]), rel=1e-5, abs=1e-4)
    if row["As_published_mm2"]:
        assert limits.stress_area == pytest.approx(float(row["As_published_mm2"]), rel=0.004)


@every(_METRIC)
def test_6g_limits_are_those_of_iso_965(row: dict[str, str]) -> None:
    """ISO 965-2 restatements: the rows that were read agree to the last printed digit."""
    limits = limits_of(_named(row))
    close = 0.0006 if row["major_6g_provenance"].startswith("read") else 0.0061
    assert limits.major_max == pytest.approx(float(row["major_max_6g_mm"]), abs=close)
    assert limits.major_min == pytest.approx(float(row["major_min_6g_mm"]), abs=close)


@every(_UNIFIED)
def test_unified_dimensions_are_those_of_asme_b1_1(row: dict[str, str]) -> None:
    """ASME B1.1 restatements: diameters, stress areas and 2A limits."""
    limits = limits_of(_named(row))
    assert limits.hole_pitch_min / _INCH == pytest.approx(float(row["pitch_dia_in"]), abs=6e-5)
    area = limits.stress_area / _INCH**2
    assert area == pytest.approx(float(row["As_formula_in2"]), abs=2e-5)
    assert area == pytest.approx(float(row["As_published_in2"]), rel=0.004)
    close = 1e-6 if row["major_2A_provenance"].startswith("read") else 1.01e-4
    assert limits.major_max / _INCH == pytest.approx(float(row["major_max_2A_in"]), abs=close)
    assert limits.major_min / _INCH == pytest.approx(float(row["major_min_2A_in"]), abs=close)


@every(_BRITISH)
def test_british_dimensions_are_the_published_ones(row: dict[str, str]) -> None:
    """BS 84, BS 811 and BS 93 as restated; the cycle depth is 0.5327 p."""
    thread, limits = _named(row), limits_of(_named(row))
    assert thread.diameter_mm == pytest.approx(float(row["major_mm"]), abs=6e-4)
    assert thread.pitch_mm == pytest.approx(float(row["pitch_mm"]), abs=6e-5)
    assert thread.angle_deg == float(row["thread_angle_deg"])
    assert limits.hole_pitch_min / _INCH == pytest.approx(float(row["effective_dia_in"]), abs=6e-5)
    assert limits.hole_minor_min / _INCH == pytest.approx(float(row["minor_dia_in"]), abs=6e-5)


@pytest.mark.parametrize(
    ("name", "minor_max_mm"),
    [("M3", 2.599), ("M5", 4.334), ("M8", 6.912), ("M10", 8.676), ("M20", 17.744), ("M24", 21.252)],
)
def test_6h_inside_diameters(name: str, minor_max_mm: float) -> None:
    """ISO 965-2, from memory."""
    assert limits_of(parse_thread(name)).hole_minor_max == pytest.approx(minor_max_mm, abs=6e-4)


@pytest.mark.parametrize(
    ("name", "low", "high"),
    [("#10-32", 0.156, 0.164), ("1/4-20", 0.196, 0.207), ("3/8-16", 0.307, 0.321)],
)
def test_2b_inside_diameters(name: str, low: float, high: float) -> None:
    """ASME B1.1 class 2B, from memory, printed to three places."""
    limits = limits_of(parse_thread(name))
    assert limits.hole_minor_min / _INCH == pytest.approx(low, abs=6e-4)
    assert limits.hole_minor_max / _INCH == pytest.approx(high, abs=6e-4)


@pytest.mark.parametrize(
    ("name", "high", "low"),
    [
        ("1/4-20", 0.2489, 0.2408),
        ("3/8-16", 0.3737, 0.3643),
        ("1/2-13", 0.4985, 0.4876),
        ("7/8-9", 0.8731, 0.8592),
        ("7/16-20", 0.4362, 0.4281),
        ("1-12", 0.9982, 0.9868),
    ],
)
def test_2a_outside_diameters(name: str, high: float, low: float) -> None:
    """ASME B1.1 class 2A: 1/4-20 in data_traps.csv, the others from memory."""
    limits = limits_of(parse_thread(name))
    assert limits.major_max / _INCH == pytest.approx(high, abs=1e-9)
    assert limits.major_min / _INCH == pytest.approx(low, abs=1e-9)


def test_the_public_slips_are_not_ours() -> None:
    """data_traps.csv: digit slips met in public tables of areas and limits."""
    assert limits_of(parse_thread("7/16-14")).stress_area / _INCH**2 == pytest.approx(
        0.1063, abs=5e-5
    )
    areas = {"M8x0.75": 41.8, "M10x0.75": 67.9, "M12x1": 96.1, "M14x1.25": 129, "M18x1.5": 216}
    for name, area in areas.items():
        assert limits_of(parse_thread(name)).stress_area == pytest.approx(area, rel=0.005)
    m2_5 = limits_of(parse_thread("M2.5"))
    assert m2_5.pitch_max == pytest.approx(2.188, abs=6e-4)
    assert limits_of(parse_thread("#2-56")).hole_minor_min / _INCH == pytest.approx(
        0.0667, abs=6e-5
    )
    half = limits_of(parse_thread("1/2-13"))
    assert half.hole_minor_min / _INCH == pytest.approx(0.4167, abs=6e-5)


@every(all_threads())
def test_every_row_obeys_the_form_of_its_standard(thread: Thread) -> None:
    """ISO 68-1, ASME B1.1, BS 84, BS 811, BS 93: depth of thread and order of the limits."""
    limits = limits_of(thread)
    depth = {"ISO metric": 3 * sqrt(3) / 8, "unified": 3 * sqrt(3) / 8}.get(thread.system)
    depth = depth or {"Whitworth": 0.640327, "cycle": 0.5327, "BA": 0.6}[thread.system]
    assert limits.hole_pitch_min == pytest.approx(thread.diameter_mm - depth * thread.pitch_mm)
    assert limits.hole_minor_min < limits.pitch_min < limits.pitch_max < limits.major_min
    assert limits.major_min < limits.major_max <= thread.diameter_mm
    assert limits.hole_minor_min < limits.hole_minor_max < limits.hole_pitch_min
    assert limits.hole_pitch_min < limits.hole_pitch_max
    gross = pi / 4 * thread.diameter_mm**2
    assert 0.5 * gross < limits.stress_area < gross


def test_ba_sizes_follow_their_rule() -> None:
    """BS 93: pitch 0.9^n mm, diameter 6 p^1.2 mm, each to two figures."""
    for number in range(17):
        thread = parse_thread(f"{number}BA")
        exact = 0.9**number
        assert thread.pitch_mm == float(f"{exact:.2g}")
        assert thread.diameter_mm == float(f"{6 * exact**1.2:.2g}")


def test_number_sizes_grow_by_thirteen_thou() -> None:
    """Worked example TH-01: 0.060 + 0.013 n in."""
    example = examples("thread")["TH-01"]
    assert parse_thread("#2-56").diameter_mm / _INCH == pytest.approx(example["expected"])
    assert parse_thread("#0-80").diameter_mm / _INCH == pytest.approx(0.060)


def test_the_stress_area_of_m8_is_36_6() -> None:
    """Worked example TH-03, ISO 898-1."""
    example = examples("thread")["TH-03"]
    assert limits_of(parse_thread("M8")).stress_area == pytest.approx(example["exact"], abs=1e-9)


def test_a_thread_outside_the_tables_is_computed() -> None:
    """M30x2 As 621 mm², ISO 898-1 fine series, from memory; 1/4-24 UNS by formula alone."""
    assert limits_of(parse_thread("M30x2")).stress_area == pytest.approx(621, rel=0.002)
    assert limits_of(parse_thread("M40x1.5")).stress_area == pytest.approx(
        pi / 4 * (40 - 0.9382 * 1.5) ** 2
    )
    assert parse_thread("1/4-24").series == "UNS"
