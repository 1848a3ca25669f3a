"""What the tests of the bench share: the books they ask, and the one table at the end."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from pytest import TerminalReporter

from tests.bench.books import book_of, write_book
from tests.bench.rows import SLACK, TABLE


@pytest.fixture(scope="session")
def books(tmp_path_factory: pytest.TempPathFactory) -> Callable[[int], Path]:
    """Books of so many invented parts on the disk, each made once and only to be read."""
    made: dict[int, Path] = {}

    def book(count: int) -> Path:
        if count not in made:
            made[count] = tmp_path_factory.mktemp(f"of{count}") / "book"
            write_book(made[count], book_of(count))
        return made[count]

    return book


@pytest.fixture
def own_book(books: Callable[[int], Path], tmp_path: Path) -> Callable[[int], Path]:
    """Copies of them that a test may write into."""

    def copy(count: int) -> Path:
        return Path(shutil.copytree(books(count), tmp_path / f"own{count}"))

    return copy


def pytest_terminal_summary(terminalreporter: TerminalReporter) -> None:
    """One table of all rows, with how busy the computer was."""
    if TABLE.rows:
        busy = ", ".join(f"{load:.1f}" for load in os.getloadavg())
        words = f"against peers in the same run; a time may be {SLACK} x wanted; load {busy}"
        terminalreporter.section(words)
        for line in TABLE.lines():
            terminalreporter.write_line(line)
