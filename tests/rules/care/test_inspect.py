"""The kind of a part is read from its name, with what to look for. Common practice, no source."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from tagbench.rules.care.inspecting import kind_named, kinds, part_kind
from tests.rules.making import part

PRACTICE = Path(__file__).parents[2] / "reference" / "trade_practice.csv"


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("Brake shoes LH", "brake shoe"),
        ("brake shoe, leading", "brake shoe"),
        ("front brake cable", "cable"),
        ("cable bracket", "frame"),
        ("backing plate screws", "fasteners"),
        ("wheel bearing outer 2", "ball bearing"),
        ("gasket for crankcase", "gasket"),
        ("kick start spring", "spring"),
        ("brake light switch", "switch"),
        ("king-pin bush left", "bush"),
        ("split pins", "cotter pin"),
        ("chain", "chain"),
        ("front brake drum", "brake drum"),
        ("Tyre", "tyre"),
    ],
)
def test_the_last_word_of_a_name_says_the_kind(name: str, kind: str) -> None:
    """Side words and what stands behind a comma do not count."""
    found = kind_named(name)
    assert found is not None
    assert found.name == kind


@pytest.mark.parametrize("name", ["", "chain guard", "fuel tank cap", "Bremsbacke", "thing 3", "2"])
def test_an_unknown_kind_is_none(name: str) -> None:
    """Nothing is guessed."""
    assert kind_named(name) is None


def test_the_person_has_the_last_word() -> None:
    """The kind that was typed counts before the name."""
    found = part_kind(part(1, "front brake cable", kind="spring"))
    assert found is not None
    assert found.name == "spring"


def test_every_kind_says_what_to_look_for() -> None:
    """At least one thing each, and kinds asked for by the trade are there."""
    assert all(kind.look_for for kind in kinds().values())
    wanted = "felt seal,brake shoe,chain,ball bearing,spring,cable,gasket face,brake drum,bush"
    wanted += ",sprocket,piston,piston ring,tyre"
    assert set(wanted.split(",")) <= set(kinds())


def test_friction_parts_are_never_offered_grease() -> None:
    """Linings, drums and dry plates are kept dry (common practice, no source)."""
    for name in ("brake shoe", "brake pad", "brake drum", "clutch plate"):
        assert kinds()[name].lube == ""


def test_limits_are_those_of_the_reference_table() -> None:
    """Roller chain 3 % (S48), lining 2 mm and gaps (common practice, no source)."""
    with PRACTICE.open(encoding="utf-8") as file:
        known = {row["item"]: row for row in csv.DictReader(file)}
    for kind, item, side in (
        ("chain", "roller_chain_wear_limit", "high"),
        ("brake shoe", "brake_lining_small_machine", "low"),
        ("brake pad", "brake_lining_floor", "low"),
        ("contact breaker", "points_gap", "low"),
        ("contact breaker", "points_gap", "high"),
        ("spark plug", "plug_gap", "low"),
        ("spark plug", "plug_gap", "high"),
    ):
        assert getattr(kinds()[kind].readings[0], side) == float(known[item][side]), kind


def test_a_limit_never_comes_without_its_source() -> None:
    """Whoever reads a limit can see where it stands."""
    for kind in kinds().values():
        for reading in kind.readings:
            has_limit = reading.low is not None or reading.high is not None
            assert has_limit == bool(reading.source), (kind.name, reading.what)
