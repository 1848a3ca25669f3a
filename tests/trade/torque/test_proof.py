"""Only what no screw of its size bears is told, and no figure to tighten by."""

from __future__ import annotations

import re
from math import cos, pi, radians

import pytest

from tagbench.trade.threads import limits_of, parse_thread
from tagbench.trade.torque.proof import past_proof
from tests.every import every
from tests.trade.published import rows

_CHARTS = [row for row in rows("torque_charts") if row["group"] in ("metric", "unified UNC")]


def _arm(designation: str, friction: float) -> float:
    """Torque over preload by VDI 2230-1, mm, worked out anew; Dk as 1.25 d."""
    thread = parse_thread(designation)
    half = radians(thread.angle_deg / 2)
    in_thread = thread.pitch_mm / (2 * pi) + friction * limits_of(thread).hole_pitch_min / (
        2 * cos(half)
    )
    return in_thread + friction * 1.25 * thread.diameter_mm / 2


@every(rows("proof_loads_iso898"))
def test_it_is_told_at_the_published_proof_load_of_the_class(row: dict[str, str]) -> None:
    """Proof loads as printed by ISO 898-1 tables (tests/reference/SOURCES.md, S03), within the half
    percent of their rounding; friction 0.30 is the highest of nut_factors.csv (stainless, dry)."""
    at_proof = float(row["proof_load_published_N"]) * _arm(row["thread"], 0.30) / 1000
    assert past_proof(row["thread"], row["class"], 0.99 * at_proof) is None
    told = past_proof(row["thread"], row["class"], 1.01 * at_proof)
    assert told is not None and told.own
    assert told.strength.grade == row["class"]


@every(_CHARTS)
def test_no_torque_of_a_printed_chart_is_doubted(row: dict[str, str]) -> None:
    """Twenty charts (tests/reference/SOURCES_engines_words.md), each with its own class or none."""
    thread = row["thread"] if row["group"] == "metric" else f"{row['thread']}-{row['pitch']} UNC"
    for grade in (row["class_or_grade"], ""):
        assert past_proof(thread, grade, float(row["torque_high_nm"])) is None


def test_without_a_class_the_strongest_of_the_size_counts() -> None:
    """12.9 has the highest proof stress, 970 MPa (ISO 898-1:2013 Table 3)."""
    for grade in ("", "unmarked", "brass plated"):
        told = past_proof("M5", grade, 500)
        assert told is not None
        assert (told.strength.grade, told.own) == ("12.9", False)
        assert told.words == "more than M5x0.8 bears even in class 12.9, the strongest known here"
    own = past_proof("M5", "8.8", 500)
    assert own is not None
    assert own.words == "more than M5x0.8 of class 8.8 bears"
    assert past_proof("M5", "", 15.5) is None
    assert past_proof("M5", "8.8", 15.5) is not None


@pytest.mark.parametrize("thread", ["G 1/4", "1/4-18 NPT", "M48x3", "not a thread", ""])
def test_of_what_is_not_known_nothing_is_told(thread: str) -> None:
    """Pipe threads seal and carry little; over 39 mm no standard here gives a strength."""
    assert past_proof(thread, "", 100_000) is None


def test_the_words_offer_no_torque() -> None:
    told = past_proof("M8", "10.9", 900)
    assert told is not None
    assert not re.search(r"N·m|lbf|\d\d", told.words.replace("M8x1.25", "").replace("10.9", ""))
