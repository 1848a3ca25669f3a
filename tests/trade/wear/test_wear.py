"""Readings against wear limits, chains, brakes, bores and gaskets."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, strategies as st

from tagbench.errors import BadInput
from tagbench.records import Gasket, GasketHole, Reading
from tagbench.trade.gasket import gasket_plan
from tagbench.trade.quantities.typed import parse_length
from tagbench.trade.quantities.units import Quantity
from tagbench.trade.threads.clearance import HoleFit, clearance_hole, punches_for, punches_for_hole
from tagbench.trade.wear.bore import roundness
from tagbench.trade.wear.brakes import Lining, drum_wear, lining_wear
from tagbench.trade.wear.chain import chain_limit, chain_named, chain_wear
from tagbench.trade.wear.limits import judge, judge_reading, worst
from tests.trade.published import examples, rows

_PRACTICE = {row["item"]: row for row in rows("trade_practice")}


def _mm(text: str) -> Quantity:
    return parse_length(text, "mm")


@pytest.mark.parametrize(
    ("reading", "low", "high", "verdict", "left"),
    [
        ("2.1 mm", "2 mm", None, "good", 0.1),
        ("2.02 mm", "2 mm", None, "marginal", 0.02),
        ("2 mm", "2 mm", None, "marginal", 0.0),
        ("1.98 mm", "2 mm", None, "marginal", -0.02),
        ("1.97 mm", "2 mm", None, "worn", -0.03),
        ("168.9 mm", None, "169 mm", "good", 0.1),
        ("169.1 mm", None, "169 mm", "worn", -0.1),
        ("12.5 mm", "12 mm", "13 mm", "good", 0.5),
        ("11.5 mm", "12 mm", "13 mm", "worn", -0.5),
        ("13.5 mm", "12 mm", "13 mm", "worn", -0.5),
        ("0.1 in", "2 mm", None, "good", 0.1 - 2 / 25.4),
        ("1/2 in", "12.7 mm", None, "marginal", 0.0),
    ],
)
def test_a_reading_against_its_limits(
    reading: str, low: str | None, high: str | None, verdict: str, left: float
) -> None:
    found = judge(_mm(reading), (low and _mm(low)) or None, (high and _mm(high)) or None)
    assert (found.verdict, found.unit) == (verdict, _mm(reading).unit)
    assert found.left == pytest.approx(left)
    assert found.sentence.lower().startswith(verdict)


@given(st.integers(0, 2000), st.integers(0, 2000), st.integers(0, 50))
def test_the_verdict_only_gets_worse_with_wear(reading: int, low: int, off: int) -> None:
    steps = ["good", "marginal", "worn"]
    sizes = [Quantity(Fraction(value, 100), "mm") for value in (reading, reading + 1, low, off)]
    now, before = (
        judge(sizes[0], sizes[2], None, sizes[3]),
        judge(sizes[1], sizes[2], None, sizes[3]),
    )
    assert steps.index(now.verdict) >= steps.index(before.verdict)
    assert (now.verdict == "marginal") == (abs(reading - low) <= off)


def test_a_recorded_reading_is_judged_in_any_unit() -> None:
    reading = Reading(what="oil pressure", values=(2.9, 3.1), unit="bar", low=3.0)
    worn = judge_reading(reading)
    assert worn is not None
    assert (worn.verdict, worn.left, worn.unit) == ("worn", -0.1, "bar")
    assert worn.sentence == "Worn: 0.1 bar past the limit."
    assert judge_reading(Reading(what="gap", values=(0.3,))) is None
    assert judge_reading(Reading(what="gap", low=0.3)) is None


@pytest.mark.parametrize(
    ("low", "high", "off", "says"),
    [
        (None, None, "0.02 mm", "limit is needed"),
        ("3 mm", "2 mm", "0.02 mm", "larger than the largest"),
    ],
)
def test_bad_limits_are_refused(low: str | None, high: str | None, off: str, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        judge(_mm("2 mm"), (low and _mm(low)) or None, (high and _mm(high)) or None, _mm(off))
    with pytest.raises(BadInput, match="at least one"):
        worst([], smallest=True)


def test_a_worn_out_chain() -> None:
    """Worked example CH-01: 24 pitches of 1 in at 24.75 in are past 3 percent."""
    example = examples("chain")["CH-01"]
    found = chain_wear(parse_length("24.75 in"), 24, parse_length("1 in"))
    assert found.elongation_percent == pytest.approx(example["expected"], abs=example["tolerance"])
    assert found.verdict == "worn"


def test_chain_limits() -> None:
    """Two chain makers' answers referring to ANSI B29.1; 1.5 % of a foot is 0.18 in."""
    general = Fraction(_PRACTICE["roller_chain_wear_limit"]["low"])
    assert chain_limit(final_drive=False) == general
    assert chain_limit() == 2 < general  # a vehicle's final drive: chains.csv, safe side
    fixed = Fraction(_PRACTICE["roller_chain_wear_limit_fixed_centres"]["low"])
    assert chain_limit(fixed_centres=True) == fixed
    assert chain_limit(sprocket_teeth=67, final_drive=False) < 3
    assert chain_limit(sprocket_teeth=66, final_drive=False) == 3
    assert chain_limit(sprocket_teeth=100) == 2
    found = chain_wear(parse_length("12.18 in"), 24, parse_length("1/2 in"), fixed)
    assert found.elongation_percent == pytest.approx(1.5)
    assert found.verdict == "marginal"


_CHAINS = [row for row in rows("chains") if row["pitch_mm"] and row["inner_width_mm"]]


@pytest.mark.parametrize("row", _CHAINS, ids=lambda row: row["designation"])
def test_chains_by_name(row: dict[str, str]) -> None:
    """ISO 606 B, ASME B29.1, motorcycle numbers: two public tables; widths differ by 0.15 mm."""
    chain = chain_named(row["designation"])
    assert chain.pitch.number("mm") == float(row["pitch_mm"])
    assert chain.inner_width_mm == pytest.approx(float(row["inner_width_mm"]), abs=0.15)
    assert chain.roller_mm == pytest.approx(float(row["roller_dia_mm"]), abs=0.05)


def test_the_rule_in_a_chains_name() -> None:
    """Motorcycle: first figure is eighths of an inch of pitch; ISO B: sixteenths; ASME: eighths."""
    for name, pitch in (("428", 4 / 8), ("520", 5 / 8), ("630", 6 / 8), ("06B", 6 / 16)):
        assert chain_named(name).pitch.number("in") == pytest.approx(pitch)
    for name, pitch in (("08B", 8 / 16), ("#40", 4 / 8), ("50", 5 / 8), ("12B-1", 12 / 16)):
        assert chain_named(name).pitch.number("in") == pytest.approx(pitch)
    assert chain_named("1/2 x 5/16").name == "428"
    with pytest.raises(BadInput, match="not a chain in the tables"):
        chain_named("999")


@pytest.mark.parametrize(
    "row",
    [row for row in rows("chains") if row["system"] == "worked length"],
    ids=lambda row: row["designation"],
)
def test_worked_chain_lengths(row: dict[str, str]) -> None:
    """Twenty pitches, pulled tight, printed and recomputed."""
    length = parse_length(f"{row['low']} mm")
    found = chain_wear(length, 20, parse_length(f"{row['pitch_mm']} mm"))
    percent = float(row["designation"].split(" at ")[1].split()[0])
    assert found.elongation_percent == pytest.approx(percent, abs=0.003)


def test_a_chain_that_cannot_be_is_a_wrong_count() -> None:
    with pytest.raises(BadInput, match="count the links again"):
        chain_wear(parse_length("13 in"), 24, parse_length("1 in"))
    with pytest.raises(BadInput, match="above zero"):
        chain_wear(parse_length("13 in"), 0, parse_length("1 in"))
    with pytest.raises(BadInput, match="at least 5 teeth"):
        chain_limit(sprocket_teeth=0)


@pytest.mark.parametrize(("nominal", "limit"), [("168 mm", "169 mm"), ("200 mm", "201 mm")])
def test_drum_oversize(nominal: str, limit: str) -> None:
    """Service sheets: 168.0 to 169.0, 200.0 to 201.0 mm."""
    found = drum_wear([_mm(nominal), _mm(limit)], _mm(nominal))
    assert found.limit.number("mm") == _mm(limit).number()
    assert found.wear.verdict == "marginal"
    assert found.typical
    assert "maker's figure" in found.sentence
    cast_in = drum_wear([_mm("230.5 mm")], _mm("228.6 mm"), _mm("230.6 mm"))
    assert (cast_in.wear.verdict, cast_in.typical) == ("good", False)
    with pytest.raises(BadInput, match="under the original"):
        drum_wear([_mm(nominal)], _mm(nominal), _mm("100 mm"))


@pytest.mark.parametrize(
    ("kind", "item"),
    [
        ("riveted", "brake_lining_riveted"),
        ("bonded", "brake_lining_bonded"),
        ("small drum", "brake_lining_small_machine"),
    ],
)
def test_lining_limits(kind: Lining, item: str) -> None:
    """Training texts for riveted and bonded; common practice, no source, for small drums."""
    found = lining_wear([_mm("5 mm"), _mm("4 mm")], kind=kind)
    assert found.limit.number("mm") == float(_PRACTICE[item]["low"])
    assert found.wear.left == pytest.approx(4 - float(_PRACTICE[item]["low"]))


def test_out_of_round_and_taper() -> None:
    found = roundness(
        {
            "top": [_mm("52.03 mm"), _mm("52.05 mm")],
            "middle": [_mm("52.01 mm"), _mm("52.02 mm")],
            "bottom": [_mm("52.00 mm"), _mm("52.00 mm")],
        }
    )
    assert (found.out_of_round, found.taper, found.largest) == (0.02, 0.05, 52.05)
    assert roundness({"top": [_mm("2 in")]}).taper == 0
    uneven: list[dict[str, list[Quantity]]] = [
        {},
        {"top": []},
        {"top": [_mm("2 mm")], "low": [_mm("2 mm"), _mm("2 mm")]},
    ]
    for levels in uneven:
        with pytest.raises(BadInput, match="same number of readings"):
            roundness(levels)


@pytest.mark.parametrize(
    ("thread", "fine", "medium", "coarse"),
    [
        ("M3", 3.2, 3.4, 3.6),
        ("M5", 5.3, 5.5, 5.8),
        ("M6", 6.4, 6.6, 7.0),
        ("M8x1", 8.4, 9.0, 10.0),
        ("M10", 10.5, 11.0, 12.0),
        ("M12", 13.0, 13.5, 14.5),
        ("M20", 21.0, 22.0, 24.0),
    ],
)
def test_clearance_holes(thread: str, fine: float, medium: float, coarse: float) -> None:
    """ISO 273:1979, from memory."""
    fits: list[HoleFit] = ["fine", "medium", "coarse"]
    found = [clearance_hole(thread, fit).number("mm") for fit in fits]
    assert found == [fine, medium, coarse]


def test_punches_for_bolts_and_plain_holes() -> None:
    """Punch steps are common practice, no source; 1/4 in hole by ASME B18.2.8, from memory."""
    m6 = punches_for("M6")
    assert (m6.hole, m6.punch, m6.transfer_punch) == ("6.6 mm", "7 mm", "6.5 mm")
    quarter = punches_for("1/4-20")
    assert (quarter.hole, quarter.punch) == ("9/32 in", "5/16 in")
    assert punches_for_hole(_mm("22 mm")).punch == "22 mm"
    assert punches_for("2BA").hole == "5.2 mm"
    assert punches_for_hole(_mm("0.1 mm")).transfer_punch == "a scriber"
    with pytest.raises(BadInput, match="M39"):
        punches_for("M99x2")
    with pytest.raises(BadInput, match="more than zero"):
        punches_for_hole(_mm("0 mm"))


def _gasket(*holes: GasketHole, material: str = "paper") -> Gasket:
    return Gasket(material=material, thickness_mm=0.4, width_mm=120, height_mm=80, holes=holes)


def test_a_hole_in_inches_takes_an_inch_punch() -> None:
    """25.4 mm is 1 in, 12.7 mm is 1/2 in; 22 and 10.5 mm stay metric."""
    for millimetres, punch in ((25.4, "1 in"), (12.7, "1/2 in"), (22.0, "22 mm"), (10.5, "11 mm")):
        plan = gasket_plan(_gasket(GasketHole(diameter_mm=millimetres)))
        assert plan.cuts[0].punches.punch == punch


def test_a_gasket_cut_by_hand() -> None:
    bolts, bore = GasketHole(quantity=6, thread="M6"), GasketHole(diameter_mm=22)
    plan = gasket_plan(_gasket(bolts, bore), copies=2)
    assert (plan.sheet_width_mm, plan.sheet_height_mm) == (270, 100)
    assert plan.sheet_area_cm2 == 270
    assert [(cut.quantity, cut.punches.punch) for cut in plan.cuts] == [(6, "7 mm"), (1, "22 mm")]
    assert "Punch the holes first" in " ".join(plan.sentences)


@pytest.mark.parametrize(
    ("gasket", "copies", "says"),
    [
        (_gasket(GasketHole()), 1, "needs its bolt"),
        (_gasket(GasketHole(diameter_mm=90)), 1, "does not fit"),
        (_gasket(), 0, "from 1 to 100"),
        (_gasket(material="Asbestos sheet"), 1, "not cut or reused"),
        (_gasket(GasketHole(thread="banana")), 1, "not a thread known"),
    ],
)
def test_an_impossible_gasket_is_refused(gasket: Gasket, copies: int, says: str) -> None:
    with pytest.raises(BadInput, match=says):
        gasket_plan(gasket, copies)
