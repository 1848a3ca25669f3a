"""Questions typed badly, against SQLite's FTS5 on the same parts."""

from __future__ import annotations

import random

import pytest

from tagbench.rules.find.index import Index
from tests.bench.books import Peer
from tests.bench.rows import TABLE, Row, Wanted, reached
from tests.rules.find.slips import large_book, questions, with_slips

pytestmark = pytest.mark.bench

PARTS = 10_000
ASKED, SHOWN = 100, 5


@pytest.mark.parametrize(("kind", "least"), [("two slips in each word", 75), ("run together", 95)])
def test_hard_questions(kind: str, least: int) -> None:
    """How many of a hundred have their part among the first five, against FTS5 trigram."""
    tables = large_book(PARTS, 2024)
    dice, ours, theirs = random.Random(2024), 0, 0
    index, peer = Index(tables), Peer(tables)
    for words, question in questions(tables, ASKED, 2024):
        dice.shuffle(words)
        slipped = " ".join(with_slips(word, 2, dice) for word in words)
        text = slipped if kind.startswith("two") else "".join(words)
        ours += any(question.is_answered_by(hit.part) for hit in index.find(text, SHOWN))
        codes = peer.find(text)[:SHOWN]
        theirs += any(question.is_answered_by(tables.parts[code]) for code in codes)
    wanted = Wanted(least=least)
    row = Row(f"find, {kind}", "SQLite FTS5 trigram", PARTS, ours, theirs, "of 100", wanted)
    reached(TABLE.add(row))
