"""Machines from the command line: what is refused, and what a change of units keeps."""

from __future__ import annotations

import pytest

from tests.commands.conftest import Tagbench


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("--year", "1500"), "1700"),
        (("--currency", "EURO"), "three letters"),
        (("--torque-unit", "ozf·in"), "N·m, lbf·ft, lbf·in, kgf·m, kgf·cm"),
        (("--torque-unit", "bananas"), "bananas"),
        (("--wrench", "100-20 N·m"), "high to low"),
    ],
)
def test_what_a_machine_cannot_have_is_said_in_a_sentence(
    tagbench: Tagbench, words: tuple[str, str], told: str
) -> None:
    said = tagbench("machine", "add", "Packman", *words)
    assert said.code == 2
    assert told in said.err
    assert "$" not in said.err
    assert len(said.err.splitlines()) == 1


def test_another_unit_of_torque_leaves_the_wrench_as_it_is(tagbench: Tagbench) -> None:
    """1 lbf·ft = 1.3558179483 N·m (NIST SP 811, appendix B.8)."""
    tagbench("machine", "add", "Packman", "--mark", "TP", "--wrench", "20-100 N·m")
    there = tagbench("machine", "edit", "TP", "--torque-unit", "ft-lb", "--json").json
    assert there["wrench_low"] == pytest.approx(20 / 1.3558179483)
    assert there["wrench_high"] == pytest.approx(100 / 1.3558179483)
    back = tagbench("machine", "edit", "TP", "--torque-unit", "Nm", "--json").json
    assert back["wrench_low"] == pytest.approx(20)
    new = tagbench("machine", "edit", "TP", "--torque-unit", "ft-lb", "--wrench", "10-80", "--json")
    assert (new.json["wrench_low"], new.json["wrench_high"]) == (10, 80)


@pytest.mark.parametrize(
    "words",
    [("settings", "measure", "1", "-1 mm"), ("reading", "TP-001-N", "bore", "-0.1", "mm")],
)
def test_a_negative_figure_is_no_misspelled_option(
    tagbench: Tagbench, words: tuple[str, ...]
) -> None:
    tagbench("machine", "add", "Packman", "--mark", "TP")
    tagbench("strip", "drum")
    tagbench("settings", "add", "toe-in", "0-2 mm")
    said = tagbench(*words)
    assert said.code == 2
    assert "There is no option" not in said.err
