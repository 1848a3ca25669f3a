"""A thread that nobody has named is an open question, with its pieces counted all the same."""

from __future__ import annotations

import pytest

from tagbench.errors import BadInput
from tagbench.rules.open_threads import (
    how_many_open,
    open_threads,
    thread_words,
    with_thread,
)
from tagbench.trade.fasteners.text import parse_fastener, parse_fasteners
from tests.rules.making import code, part, tables

MADE = tables(
    part(1, "cover", fasteners=parse_fasteners("3 long screws 1 short; M6x20 hex")),
    part(2, "stay", fasteners=parse_fasteners("2x 8mm bolt; split pin 2x16")),
)


def test_every_line_without_its_thread_is_told() -> None:
    found = open_threads(MADE, "TP")
    assert [(one.code, one.line) for one in found] == [(code(1), 0), (code(1), 1), (code(2), 0)]
    assert found[0].words == "3x screw (long); thread not yet known"
    assert how_many_open(found) == "6 fasteners in 3 lines have a thread not yet known"
    assert how_many_open([]) == ""


def test_a_known_thread_asks_nothing() -> None:
    assert thread_words(parse_fastener("M6x20 hex")) == "M6x1x20 hex"


def test_the_measured_thread_answers_the_question() -> None:
    """The doubtful word goes; what else was said stays."""
    line = parse_fastener("2x 8mm rusty bolt")
    answered = with_thread(line, "M8", "8mm")
    assert (answered.thread, answered.words, answered.quantity) == ("M8x1.25", "rusty", 2)
    with pytest.raises(BadInput):
        with_thread(line, "banana")
