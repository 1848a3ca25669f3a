"""Prints the one table at the end of a run of the bench, whatever is captured."""

from __future__ import annotations

from pytest import TerminalReporter

from tests.bench.rows import SLACK, TABLE


def pytest_terminal_summary(terminalreporter: TerminalReporter) -> None:
    """One table of all rows."""
    if TABLE.rows:
        terminalreporter.section(f"against peers in the same run; a time may be {SLACK} x wanted")
        for line in TABLE.lines():
            terminalreporter.write_line(line)
