"""Readings propose a verdict. Common practice, no source; limits from trade_practice.csv."""

from __future__ import annotations

import pytest

from tagbench.errors import BadInput
from tagbench.records import Reading
from tagbench.rules.care.inspecting import kinds
from tagbench.rules.care.proposal import proposal
from tagbench.rules.care.readings import parse_values, usual_readings
from tagbench.rules.describe.care import describe_reading
from tests.rules.making import part

LINING = Reading(what="lining thickness", low=2.0, uncertainty=0.05)


def measured(*values: float, reading: Reading = LINING) -> Reading:
    """The reading with values."""
    return Reading(
        what=reading.what,
        values=values,
        unit=reading.unit,
        low=reading.low,
        high=reading.high,
        uncertainty=reading.uncertainty,
    )


@pytest.mark.parametrize(
    ("readings", "verdict", "said"),
    [
        ((measured(3.1, 2.6),), "reuse", "Good"),
        ((measured(3.1, 1.9),), "replace", "Worn"),
        ((measured(3.1, 2.03),), "undecided", "Marginal"),
        ((measured(3.1), LINING), "undecided", "still to be measured"),
        ((measured(1.0), LINING), "replace", "Worn"),
        ((Reading(what="width", values=(20.0,)),), "undecided", "no limit is known"),
        ((), "undecided", "nothing measured"),
    ],
)
def test_worn_is_replace_and_all_good_is_reuse(
    readings: tuple[Reading, ...], verdict: str, said: str
) -> None:
    """The worst reading decides; what the uncertainty reaches over is left to the person."""
    found = proposal(part(1, "brake shoe", readings=readings))
    assert found.verdict == verdict
    assert said in found.words


def test_what_is_used_once_is_replaced_whatever_it_measures() -> None:
    """Gaskets, cotter pins, crush washers (trade practice; cotter pins AC 43.13-1B 7-127)."""
    for name in ("head gasket", "cotter pin", "crush washer", "self-locking nut"):
        assert proposal(part(1, name)).verdict == "replace", name


def test_a_gap_outside_its_range_is_set_and_replaces_nothing() -> None:
    """Points gap 0.3 to 0.4 mm: 0.6 is an adjustment, no wear (common practice, no source)."""
    gap = kinds()["contact breaker"].readings[0]
    found = proposal(part(1, "points", readings=(measured(0.6, reading=gap),)))
    assert found.verdict == "undecided"
    assert "set it again" in found.words


def test_chain_past_three_percent_is_replaced() -> None:
    """3 % in general drives: two chain makers referring to ANSI B29.1 (S48)."""
    usual = usual_readings(part(1, "drive chain"))[0]
    assert usual.high == 3
    assert proposal(part(1, "drive chain", readings=(measured(3.2, reading=usual),))).verdict == (
        "replace"
    )
    assert proposal(part(1, "drive chain", readings=(measured(1.2, reading=usual),))).verdict == (
        "reuse"
    )


def test_readings_are_typed_as_people_do() -> None:
    """Point or comma, several with blanks or semicolons, the unit behind."""
    assert parse_values("2.1; 2,3 mm") == ((2.1, 2.3), "mm")
    assert parse_values("2.1 %") == ((2.1,), "%")
    assert parse_values("3/8 in") == ((0.375,), "in")
    assert parse_values("  ") == ((), "")
    with pytest.raises(BadInput, match="is not a reading"):
        parse_values("about two")


def test_readings_in_words_with_their_limits() -> None:
    """What is still to be measured is said so."""
    shoe = part(1)
    said = [
        describe_reading(shoe, one).fact.words
        for one in (
            measured(2.1, 2.3),
            Reading(what="gap", low=0.3, high=0.4),
            Reading(what="x", values=(1.0,), high=3, unit="%"),
        )
    ]
    assert said[0].endswith(": 2.1, 2.3 mm ± 0.05 (at least 2 mm)")
    assert said[1:] == ["gap: to measure (0.3 to 0.4 mm)", "x: 1 % (at most 3 %)"]
