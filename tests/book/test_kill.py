"""`kill -9` at any moment loses no acknowledged change."""

from __future__ import annotations

import random
import time
from pathlib import Path

from tagbench.book import Book
from tagbench.book.check import check_book, mend_book
from tests.book.programs import start

ROUNDS = 15


def test_kill_during_saves_loses_no_acknowledged_change(folder: Path) -> None:
    """Fifteen times on the same book; every code that was printed is still there."""
    chance = random.Random(1967)
    acknowledged: list[str] = []
    for number in range(ROUNDS):
        program = start("strip", folder, f"round {number}", 100_000)
        assert program.stdout is not None
        acknowledged += [program.stdout.readline().strip() for _ in range(chance.randint(1, 6))]
        time.sleep(chance.uniform(0.0, 0.01))
        program.kill()
        rest, _ = program.communicate()
        acknowledged += [line for line in rest.splitlines() if len(line) >= len("TP-001-N")]
        with Book(folder) as book:
            assert set(acknowledged) <= set(book.records.parts)
            assert [change.number for change in book.history(limit=10**6)] == list(
                range(book.revision, 0, -1)
            )
    assert len(acknowledged) > 2 * ROUNDS
    assert len(set(acknowledged)) == len(acknowledged)
    mend_book(folder)
    assert check_book(folder).problems == () or _only_machine(check_book(folder).problems)


def _only_machine(problems: tuple[str, ...]) -> bool:
    """The killed program wrote parts only; that their machine is missing is rightly said."""
    return len(problems) == 1 and "mark TP" in problems[0]
