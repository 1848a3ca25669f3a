"""A bar shows on long work only where somebody sees it, and never stands before an error."""

from __future__ import annotations

import io
import sys

import pytest

from tagbench.commands.progress import long_work


class Terminal(io.StringIO):
    """Takes what is written for a terminal."""

    def isatty(self) -> bool:
        """Somebody looks."""
        return True


@pytest.mark.parametrize(
    ("stream", "total", "shown"),
    [(Terminal(), 400, True), (Terminal(), 39, False), (io.StringIO(), 400, False)],
)
def test_a_bar_where_it_is_worth_it(
    monkeypatch: pytest.MonkeyPatch, stream: io.StringIO, total: int, shown: bool
) -> None:
    monkeypatch.setattr(sys, "stderr", stream)
    with long_work("Taking in parts") as told:
        told(1, total)
        told(total, total)
    assert ("Taking in parts" in stream.getvalue()) is shown


def test_nothing_is_written_before_the_work_begins(monkeypatch: pytest.MonkeyPatch) -> None:
    stream = Terminal()
    monkeypatch.setattr(sys, "stderr", stream)
    with long_work("Writing the demo"):
        pass
    assert stream.getvalue() == ""
