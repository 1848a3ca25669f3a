"""A thread or size nobody has named is an open question; its pieces are counted all the same."""

from __future__ import annotations

import pytest

from tagbench.errors import BadInput
from tagbench.records import replace
from tagbench.rules.open_questions import (
    answered,
    how_many_open,
    open_question,
    open_questions,
)
from tagbench.trade.fasteners.text import parse_fasteners
from tests.fasteners import parse_fastener
from tests.rules.making import code, part, tables

MADE = tables(
    part(1, "cover", fasteners=parse_fasteners("3 long screws 1 short; M6x20 hex")),
    part(2, "stay", fasteners=parse_fasteners("2x 8mm bolt; split pin 2x16; circlip")),
)


def test_every_line_without_its_thread_or_size_is_told() -> None:
    found = open_questions(MADE, "TP")
    lines = [(code(1), 1), (code(1), 2), (code(2), 1), (code(2), 3)]
    assert [(one.code, one.line.number) for one in found] == lines
    assert found[0].words == f"cover {code(1)}: 3x screw (long), thread not yet known"
    assert found[3].words == f"stay {code(2)}: circlip, size not yet known"
    assert how_many_open(found) == "7 fasteners in 4 lines to be measured"
    assert how_many_open(found[:1]) == "3 fasteners to be measured"
    assert how_many_open([]) == ""


def test_what_is_all_back_is_asked_no_more() -> None:
    bolts = replace(parse_fastener("2x 8mm bolt"), back=2)
    assert open_questions(tables(part(1, "stay", fasteners=(bolts,))), "TP") == []


@pytest.mark.parametrize("text", ["M6x20 hex", "split pin 2x16", "2 washers", "gasket", "spring"])
def test_what_is_known_or_needs_no_size_asks_nothing(text: str) -> None:
    assert open_question(parse_fastener(text)) == ""


def test_the_measured_thread_answers_the_question() -> None:
    """The doubtful word goes; what else was said stays."""
    line = parse_fastener("2x 8mm rusty bolt")
    found = answered(line, "M8")
    assert (found.thread, found.quantity) == ("M8x1.25", 2)
    assert "rusty" in found.words
    assert "8mm" not in found.words
    with pytest.raises(BadInput):
        answered(line, "banana")


def test_the_measured_size_answers_the_question() -> None:
    pin = answered(parse_fastener("2 split pins"), "3.2x32")
    assert (pin.quantity, pin.diameter, pin.length) == (2, 3.2, 32)
    assert open_question(pin) == ""
    with pytest.raises(BadInput):
        answered(parse_fastener("split pin"), "banana")
