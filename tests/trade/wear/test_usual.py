"""Usual figures, timing, tyre dates and compression against printed and recomputed values."""

from __future__ import annotations

import re
from datetime import date

import pytest

from tagbench.errors import BadInput
from tagbench.trade.wear.pressure import air_pressure, compression
from tagbench.trade.wear.timing import angle_before_top, piston_below_top, timing
from tagbench.trade.wear.tyre import tyre_date
from tagbench.trade.wear.usual import (
    items,
    piston_clearance,
    spring_loss,
    usual_figures,
)
from tests.trade.published import rows

_ROWS = rows("engine_wear")
_TODAY = date(2026, 6, 1)


def _of(item: str) -> list[dict[str, str]]:
    return [row for row in _ROWS if row["item"] == item]


def _figures(text: str) -> list[float]:
    return [float(figure) for figure in re.findall(r"[0-9]+(?:\.[0-9]+)?", text)]


@pytest.mark.parametrize("row", _of("timing_mm_before_top"), ids=lambda row: row["case"])
def test_timing_by_crank_and_rod(row: dict[str, str]) -> None:
    """Geometry of crank and rod; and back again by the law of cosines."""
    stroke, rod, angle = _figures(row["case"])
    below = piston_below_top(stroke, rod, angle)
    assert below == pytest.approx(float(row["low"]), abs=0.0006)
    assert angle_before_top(stroke, rod, below) == pytest.approx(angle, abs=1e-6)
    assert timing(stroke, rod, None, below).degrees == pytest.approx(angle, abs=1e-6)


def test_the_piston_runs_one_stroke_and_its_slope_is_told() -> None:
    assert piston_below_top(50, 100, 0) == 0
    assert piston_below_top(50, 100, 180) == pytest.approx(50)
    told = timing(50, 100, 24, None)
    one_more = piston_below_top(50, 100, 25) - piston_below_top(50, 100, 24)
    assert told.mm_per_degree == pytest.approx(one_more)
    assert "slanted plug hole" in told.sentence


@pytest.mark.parametrize(
    ("stroke", "rod", "degrees", "millimetres", "says"),
    [
        (50, 100, None, None, "one of them"),
        (50, 100, 20.0, 2.0, "one of them"),
        (50, 40, 20.0, None, "does not fit a stroke"),
        (50, 100, 200.0, None, "between 0 and 180"),
        (50, 100, None, 60.0, "one stroke"),
        (0, 100, 20.0, None, "Give stroke and rod"),
    ],
)
def test_impossible_timings(
    stroke: float, rod: float, degrees: float | None, millimetres: float | None, says: str
) -> None:
    with pytest.raises(BadInput, match=says):
        timing(stroke, rod, degrees, millimetres)


@pytest.mark.parametrize("row", _of("air_pressure_at_height"), ids=lambda row: row["case"])
def test_the_standard_atmosphere(row: dict[str, str]) -> None:
    """ISO 2533 as a formula page and a program print it."""
    [height] = _figures(row["case"])
    assert air_pressure(height) == pytest.approx(float(row["low"]), abs=0.01)
    factor = next(r for r in _of("compression_factor") if r["case"] == row["case"])
    assert compression(height).factor == pytest.approx(float(factor["low"]), abs=1e-4)


def test_a_compression_reading_by_height() -> None:
    """A letter prints about 100 psi at 5000 ft for 120 at sea level."""
    found = compression(5000 * 0.3048, 99.8)
    assert found.at_sea == pytest.approx(120, abs=0.1)
    with pytest.raises(BadInput, match="height above sea level"):
        compression(9000)


@pytest.mark.parametrize("row", _of("tyre_date_code"), ids=lambda row: row["case"])
def test_tyre_dates(row: dict[str, str]) -> None:
    """Printed examples; three figures never tell the decade."""
    found = tyre_date(row["case"], _TODAY)
    assert found.week == int(row["low"])
    assert found.year == (int(row["high"]) if row["high"] else None)
    assert "not trusted" in found.sentence


def test_ages_of_tyres() -> None:
    assert tyre_date("DOT XYZ ABC 2324", _TODAY).age == pytest.approx(2, abs=0.1)
    assert "look for cracks" in tyre_date("0120", _TODAY).sentence
    assert tyre_date("317◁", _TODAY).years == tyre_date("317 <", _TODAY).years == (1997,)
    assert tyre_date("317", _TODAY).years == (1997, 1987, 1977)
    for code in ("5499", "0012", "12", "abc", "2330"):
        with pytest.raises(BadInput):
            tyre_date(code, _TODAY)


@pytest.mark.parametrize("row", _of("piston_clearance_worked"), ids=lambda row: row["case"])
def test_piston_clearance_by_the_rule(row: dict[str, str]) -> None:
    """0.8 to 1.3 thousandths of the bore, from memory; recomputed."""
    bore = _figures(row["case"])[0]
    usual = usual_figures("piston clearance", bore)[0]
    assert usual.low == pytest.approx(float(row["low"]), abs=1e-6)
    assert usual.high == pytest.approx(float(row["high"]), abs=1e-6)


@pytest.mark.parametrize("row", _of("ring_end_gap_worked"), ids=lambda row: row["case"])
def test_ring_gap_by_the_rule(row: dict[str, str]) -> None:
    """Four thousandths of the bore lies in the span of three to five; never under 0.15 mm."""
    usual = usual_figures("ring gap", _figures(row["case"])[0])[0]
    assert usual.low is not None
    assert usual.high is not None
    assert usual.low - 0.002 <= float(row["low"]) <= usual.high
    assert usual.low >= 0.15


def test_printed_limits_lie_in_the_spans() -> None:
    """Printed ends of single engines: service sheets and books."""
    for item, name in (
        ("piston_clearance_limit", "piston clearance"),
        ("ring_end_gap_limit", "ring gap"),
        ("ring_side_play_limit", "ring side play"),
        ("crank_runout_limit", "crank run-out"),
        ("big_end_side_float_limit", "big-end side float"),
    ):
        [usual] = [one for one in usual_figures(name, 50) if one.use == "limit"]
        assert usual.low is not None
        assert usual.high is not None
        for row in _of(item):
            assert usual.low <= float(row["low"]) <= float(row["high"]) <= usual.high, row["case"]


def test_piston_clearance_from_two_readings() -> None:
    """JCGM 100: two uncertainties of 0.01 mm together are 0.014 mm."""
    found = piston_clearance(50.06, 50.00)
    assert found.clearance_mm == pytest.approx(0.06)
    assert found.per_mille == pytest.approx(1.2, abs=0.01)
    assert found.uncertainty_mm == pytest.approx(0.01414, abs=1e-5)
    assert found.verdict == "good"
    assert piston_clearance(50.11, 50.00).verdict == "marginal"
    assert piston_clearance(50.16, 50.00).verdict == "worn"
    assert piston_clearance(50.16, 50.00, limit_mm=0.2).verdict == "good"
    for bore, piston in ((50.0, 50.1), (52.0, 50.0), (0, 0)):
        with pytest.raises(BadInput, match="measure both again"):
            piston_clearance(bore, piston)


@pytest.mark.parametrize("row", _of("spring_loss_limit")[:3], ids=lambda row: row["case"])
def test_springs_that_have_set(row: dict[str, str]) -> None:
    """Printed free lengths new and at the limit of three clutch springs."""
    new, now = _figures(row["text_own_words"])
    assert spring_loss(new, now) == pytest.approx(float(row["low"]), abs=0.01)


def test_every_item_says_where_it_comes_from_and_that_settings_are_the_makers() -> None:
    for item in items():
        for usual in usual_figures(item, 50):
            assert "read" in usual.source or "memory" in usual.source or usual.low is None
            assert usual.sentence.startswith(usual.item[0].upper())
            if usual.item == "valve clearance":
                assert "never set from this" in usual.sentence.casefold()
    assert usual_figures("float height")[0].low is None
    with pytest.raises(BadInput, match="goes by the bore"):
        usual_figures("ring gap")
    with pytest.raises(BadInput, match="No usual figure"):
        usual_figures("moon phase")
