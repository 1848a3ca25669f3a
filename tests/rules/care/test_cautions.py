"""Cautions stand where the work is done, in two lines, each with its source."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from tagbench.errors import NotFound
from tagbench.records import Fastener, Machine, Torque
from tagbench.rules.care.cautions import (
    DEFER,
    acknowledge,
    all_cautions,
    caution_lines,
    cautions_for,
    cautions_for_all,
    show_again,
)
from tests.rules.making import part

REFERENCE = Path(__file__).parents[2] / "reference" / "safety_cautions.csv"
BRAKE = "Front wheel / Brake"


def ids(name: str, assembly: str, step: str, with_what: str = "", **more: object) -> list[str]:
    """What is shown for one step on one part."""
    return [c.id for c in cautions_for(part(1, name, assembly=assembly, **more), step, with_what)]


@pytest.mark.parametrize(
    ("name", "assembly", "step", "with_what", "shown"),
    [
        ("brake shoe", BRAKE, "degreased", "", ["brake dust", "solvents"]),
        ("shim", BRAKE, "strip", "", ["brake dust"]),
        ("return spring", BRAKE, "strip", "", ["brake dust", "springs"]),
        ("brake light switch", "Electrics", "strip", "", []),
        ("brake cable", "Controls", "strip", "", []),
        ("gear", "Gearbox", "degreased", "kerosene", ["solvents", "oily rags"]),
        ("gear", "Gearbox", "degreased", "hot water and detergent", []),
        ("gear", "Gearbox", "degreased", "petrol", ["petrol", "solvents"]),
        ("carburettor", "Fuel", "strip", "", ["fuel"]),
        ("wheel bearing", "Front wheel", "inspected", "", ["compressed air"]),
        ("mudguard", "Body", "lubed", "linseed oil", ["oily rags", "drying oils"]),
        ("engine", "Engine", "strip", "", ["lifting"]),
        ("engine bracket", "Engine", "strip", "", []),
        ("axle nut", "Rear axle", "torque", "", ["safety fasteners"]),
        ("chain", "Drive", "reuse", "", []),
    ],
)
def test_the_right_cautions_at_the_right_step(
    name: str, assembly: str, step: str, with_what: str, shown: list[str]
) -> None:
    """From the part, its assembly, the step, and what it is done with; no more than that."""
    assert ids(name, assembly, step, with_what) == shown


def test_fasteners_can_ask_for_a_caution() -> None:
    """A circlip, a high grade, an estimated torque."""
    clip = (Fastener(kind="circlip", diameter=12.0),)
    hard = (Fastener(kind="bolt", thread="M8x1.25", grade="12.9"),)
    guess = (Fastener(kind="bolt", torque=Torque(low=8, high=10, estimate=True)),)
    assert ids("gudgeon pin", "Engine", "strip", fasteners=clip) == ["springs"]
    assert ids("bracket", "Frame", "torque", fasteners=hard) == ["high strength"]
    assert ids("bracket", "Frame", "torque", fasteners=guess) == ["estimates"]


def test_two_lines_fit_the_screen_and_defer() -> None:
    """Each fits 80 columns with margins and its mark; the second one defers to manual and rules."""
    for caution in all_cautions().values():
        assert len(caution.lines) == 2
        assert len(caution.line) <= 74, caution.id
        assert len(DEFER) <= 76
    for word in ("maker's manual", "local rules", "qualified person"):
        assert word in DEFER


def test_every_caution_has_rows_and_every_row_a_source() -> None:
    """All rows of the reference table are used and carry a document, or say that there is none."""
    with REFERENCE.open(encoding="utf-8") as file:
        reference = {row["id"]: row for row in csv.DictReader(file)}
    rows = [row for caution in all_cautions().values() for row in caution.rows]
    assert {row.id for row in rows} == set(reference)
    for row in rows:
        assert row.words == reference[row.id]["caution_own_words"]
        sourced = bool(reference[row.id]["source"])
        assert (row.source != "common practice, no source") == sourced
        assert row.source


def test_acknowledged_once_they_are_shown_shortly() -> None:
    """Per machine; they never vanish, and can be shown at full length again."""
    shoe = part(1, "brake shoe", assembly=BRAKE)
    cautions = cautions_for(shoe, "degreased")
    machine = acknowledge(Machine(mark="TP", name="Packman"), ["Brake  dust"])
    assert acknowledge(machine, ["brake dust"]) == machine
    lines = caution_lines(cautions, machine.cautions_seen)
    assert lines == [cautions[1].line, DEFER, "Seen before: brake dust."]
    assert caution_lines(cautions, ("brake dust", "solvents")) == [
        "Seen before: brake dust, solvents."
    ]
    assert caution_lines([]) == []
    assert show_again(machine).cautions_seen == ()
    with pytest.raises(NotFound, match="there are brake dust, petrol"):
        acknowledge(machine, ["dragons"])


def test_many_parts_give_each_caution_once() -> None:
    """In the order of the table."""
    parts = [part(1, "gear"), part(2, "brake shoe", assembly=BRAKE), part(3, "brake drum")]
    assert [c.id for c in cautions_for_all(parts, "degreased")] == ["brake dust", "solvents"]


@pytest.mark.parametrize(
    "name",
    [
        "Bremsbeläge",
        "Bremsbacken",
        "Kupplungslamellen",
        "mâchoires de frein",
        "disques d'embrayage",
        "zapatas",
        "pastillas de freno",
        "discos de embrague",
        "ganasce freno",
        "guarnizione del freno",
        "brakke shoes",
        "amianto",
    ],
)
def test_asbestos_is_warned_of_in_five_languages(name: str) -> None:
    """Old linings, whatever the language of the tag; common trade words, from memory."""
    assert "brake dust" in ids(name, "", "degreased")
