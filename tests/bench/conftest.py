"""Prints the table once at the end of a run of the bench, whatever is captured."""

from __future__ import annotations

from pytest import TerminalReporter

from tests.bench.rows import TABLE


def pytest_terminal_summary(terminalreporter: TerminalReporter) -> None:
    """One table of all rows."""
    if TABLE.rows:
        terminalreporter.section("ratios, processor time")
        for line in TABLE.lines():
            terminalreporter.write_line(line)
