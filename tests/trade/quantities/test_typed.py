"""Lengths and torques are read the way people type them.

43–58 lbf·ft and 3/8–3/4 in are common practice, no source.
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, strategies as st

from tagbench.errors import BadInput
from tagbench.trade.quantities.shown import inch_fraction, show_length, show_torque, significant
from tagbench.trade.quantities.typed import (
    parse_length,
    parse_number,
    parse_range,
    parse_torque,
    read_figures,
)
from tagbench.trade.quantities.units import Quantity, Range


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("4.95mm", "4.95", "mm"),
        ("  4.95 MM ", "4.95", "mm"),
        ("3/8 in", "3/8", "in"),
        ('1-1/4"', "5/4", "in"),
        ("1 1/4 in", "5/4", "in"),
        ("1 1/4″", "5/4", "in"),
        ("1½ inches", "3/2", "in"),
        ("1-½”", "3/2", "in"),
        ("⅜''", "3/8", "in"),
        ("½ in.", "1/2", "in"),
        ("3⁄8 in", "3/8", "in"),
        (".5mm", "0.5", "mm"),
        ("1,5 mm", "1.5", "mm"),
        ("0,250 mm", "0.25", "mm"),
        ("13 thou", "13", "thou"),
        ("5 thousandths", "5", "thou"),
        ("2 ft", "2", "ft"),
        ("2'", "2", "ft"),
        ("38 µm", "38", "µm"),
        ("38 μm", "38", "µm"),
        ("12 cm", "12", "cm"),
    ],
)
def test_lengths(text: str, value: str, unit: str) -> None:
    assert parse_length(text) == Quantity(Fraction(value), unit, text)


@pytest.mark.parametrize("dash", ["-", " - ", "–", " – ", "—", "−", " to ", "..", "…"])
def test_every_dash_makes_a_range(dash: str) -> None:
    assert parse_torque(f"43{dash}58 lbf·ft").to("lbf·ft").low == 43
    assert parse_torque(f"43{dash}58 lbf·ft").high == 58


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("3/8–3/4 in", "3/8", "3/4"),
        ("1-1/4-1-1/2 in", "5/4", "3/2"),
        ("1-1/4 - 2 in", "5/4", "2"),
        ("1-5/4 in", "1", "5/4"),
        ("3/8 in to 3/4 in", "3/8", "3/4"),
        ("0.3-0.4 in", "0.3", "0.4"),
        ("1,5 - 2,5 in", "1.5", "2.5"),
        ("2 ± 1/4 in", "7/4", "9/4"),
        ("2 in +/- 0.5 in", "3/2", "5/2"),
        ("2 ± 10 % in", "1.8", "2.2"),
        ("3/4 in", "3/4", "3/4"),
    ],
)
def test_ranges(text: str, low: str, high: str) -> None:
    found = parse_range(text, "length")
    assert (found.low, found.high, found.unit) == (Fraction(low), Fraction(high), "in")


@pytest.mark.parametrize(
    ("unit", "spellings"),
    [
        ("N·m", "Nm|N-m|N·m|N.m|N m|n·m|newton metres|NM"),
        (
            "lbf·ft",
            "lbf·ft|ft-lb|lb-ft|ft·lbf|ft lbs|lb ft|lbs-ft|ft.lbs.|foot-pounds|lb/ft|FT-LB|lbf ft",
        ),
        ("lbf·in", "lbf·in|in-lb|in-lbs|lb-in|inch pounds|in·lbf|in. lb."),
        ("kgf·m", "kgf·m|m-kg|kg-m|kgm|mkg|mkp|kpm|kg·m"),
        ("kgf·cm", "kgf·cm|kg-cm|cm-kg|cmkp"),
        ("ozf·in", "ozf·in|oz-in|in-oz|inch ounces"),
        ("daN·m", "daN·m|m.daN|daNm"),
    ],
)
def test_torque_units_in_every_spelling(unit: str, spellings: str) -> None:
    for spelling in spellings.split("|"):
        assert parse_torque(f"5 {spelling}").unit == unit, spelling


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("-5 mm", "negative"),
        ("4.95", "needs a unit"),
        ("", "not understood"),
        ("mm", "not understood"),
        ("big mm", "not understood"),
        ("nan mm", "not understood"),
        ("inf mm", "not understood"),
        ("1e3 mm", "not understood"),
        ("٣ mm", "not understood"),
        ("5 furlongs", "furlongs"),
        ("5 N·m", "not a unit of length"),
        ("13 mil", "thou or mm"),
        ("1,250 mm", "1.250 or 1250"),
        ("3/0 in", "divides by zero"),
        ("4-5 mm", "is a range"),
        ("5-4 mm", "from high to low"),
        ("1 - 1/4 in", "from high to low"),
        ("2 ± 3 mm", "below zero"),
        ("2 mm to 3 in", "two units"),
        ("1-2-3 mm", "not understood"),
        ("9" * 40 + " mm", "not understood"),
        ("9" * 5000, "too long"),
    ],
)
def test_a_bad_length_is_refused_in_one_sentence(text: str, says: str) -> None:
    with pytest.raises(BadInput) as refusal:
        parse_length(text)
    sentence = str(refusal.value)
    assert says in sentence
    assert sentence.endswith(".")
    assert "\n" not in sentence
    assert len(sentence) < 200


def test_a_torque_of_nothing_is_refused() -> None:
    with pytest.raises(BadInput, match="more than zero"):
        parse_torque("0 N·m")
    assert parse_torque("0-5 N·m").low == 0


def test_a_default_unit_is_taken_only_when_none_is_typed() -> None:
    assert parse_length("4.95", "mm").unit == "mm"
    assert parse_length("4.95 in", "mm").unit == "in"
    assert parse_torque("8-10", "lbf·ft").unit == "lbf·ft"


def test_two_spellings_of_one_unit_are_one_unit() -> None:
    assert parse_torque("43 ft-lb to 58 lb-ft").high == 58


def test_figures_of_any_unit_are_read_for_settings() -> None:
    found = read_figures("26-28 ° before top")
    assert (float(found.low), float(found.high), found.unit) == (26, 28, "° before top")
    assert read_figures("0.35").unit == ""


def test_a_plain_number_takes_no_unit() -> None:
    assert parse_number("1-1/4") == Fraction(5, 4)
    with pytest.raises(BadInput, match="not a number"):
        parse_number("4 mm")


@given(st.integers(0, 40), st.integers(0, 63))
def test_a_shown_inch_fraction_is_read_back_exactly(whole: int, parts: int) -> None:
    value = whole + Fraction(parts, 64)
    shown = show_length(Quantity(value, "in"))
    assert parse_length(shown).value == value


@given(st.decimals(0, 999, places=2), st.decimals(0, 999, places=2))
def test_a_shown_torque_is_read_back_exactly(one: Fraction, other: Fraction) -> None:
    low, high = sorted((Fraction(one), Fraction(other)))
    shown = show_torque(Range(low, high + 1, "lbf·ft"))
    found = parse_torque(shown)
    assert (found.low, found.high) == (low, high + 1)


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused_never_a_crash(text: str) -> None:
    try:
        parse_torque(text)
    except BadInput as refusal:
        assert str(refusal)


def test_shown_figures_are_rounded_as_a_workshop_reads_them() -> None:
    assert show_torque(parse_torque("43-58 lbf·ft"), "N·m") == "58.3–78.6 N·m"
    assert show_torque(parse_torque("12.75 N·m")) == "12.75 N·m"
    assert show_torque(parse_torque("1500 lbf·ft"), "N·m") == "2034 N·m"
    assert show_length(parse_length("4.95 mm"), "in") == "0.195 in"
    assert show_length(parse_length("1.5 thou"), "mm") == "0.038 mm"
    assert show_length(parse_length("9.525 mm"), "in") == "3/8 in"
    assert inch_fraction(Fraction(1, 3)) == ""
    assert significant(Fraction(0)) == "0"
