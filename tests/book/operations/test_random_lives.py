# ruff: noqa: ARG005 - every verb is called alike, whatever of it is needed
"""Whatever happens to the parts of a machine, in any order: everything is in exactly one place."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.book.integrity import faults
from tagbench.book.operations import away, batches, buying, care, finishing, loose
from tagbench.book.operations.away import AwayForm
from tagbench.book.operations.building import FitForm, fit_part, missing_fasteners, take_off_again
from tagbench.book.operations.machines import add
from tagbench.book.operations.strip import StripForm, strip_part
from tagbench.errors import TagbenchError
from tagbench.records import Finish, Tables
from tagbench.rules.count.closing import open_lines
from tagbench.rules.count.fastener_lines import count_lost, in_bag
from tagbench.rules.count.identity import machine_count
from tagbench.rules.whereabouts import OLD_PIECES, whereabouts
from tagbench.trade.fasteners.text import parse_fasteners
from tests.book.conftest import Clock

FORM = AwayForm("Hill Plating", "zinc plating")
LINES = ("4x M6x1x20 hex", "6x M6x1x20 hex; 2x M5x0.8x12 pan", "cotter pin 3.2x32", "")

Verb = Callable[[Book, str, random.Random], object]


def _batch(book: Book, dice: random.Random) -> int:
    return int(dice.choice([*book.records.batches, "99"]))


def _sort(book: Book, dice: random.Random) -> object:
    number = _batch(book, dice)
    pieces = batches.batch_by_number(book.records, number).pieces
    piece = dice.choice(pieces)
    amount = dice.choice((None, 1, 3))
    return batches.sort_into_bag(book, number, piece.code, piece.line, amount)


VERBS: dict[str, Verb] = {
    "strip": lambda book, _, dice: strip_part(
        book, StripForm("part", fasteners=tuple(parse_fasteners(dice.choice(LINES))))
    ),
    "fit": lambda book, code, dice: fit_part(
        book, code, FitForm(snug=dice.random() < 0.5, anyway=dice.random() < 0.7, why="late")
    ),
    "off": lambda book, code, dice: take_off_again(book, code, with_outer=dice.random() < 0.3),
    "dry fit": lambda book, code, dice: finishing.dry_fit(book, code),
    "stays": lambda book, code, dice: away.never_off(book, [code]),
    "send": lambda book, code, dice: away.send_away(book, [code], FORM),
    "back": lambda book, code, dice: away.bring_back(book, [code]),
    "lose": lambda book, code, dice: away.lose(book, code, want=dice.random() < 0.5),
    "found": lambda book, code, dice: away.found_again(book, code),
    "care": lambda book, code, dice: care.tick_off(
        book, [code], dice.choice(("degreased", "inspected", "reuse", "replace"))
    ),
    "undecide": lambda book, code, dice: care.undecided(book, [code]),
    "old piece": lambda book, code, dice: care.old_piece_gone(
        book, [code], dice.choice(OLD_PIECES)
    ),
    "arrive": lambda book, code, dice: buying.arrive(
        book, [int(dice.choice([*book.records.wants, "99"]))]
    ),
    "short": lambda book, code, dice: missing_fasteners(book, code, {1: dice.randint(0, 3)}),
    "plan": lambda book, code, dice: finishing.plan(book, [code], Finish(what="painted")),
    "paint": lambda book, code, dice: finishing.finish(book, [code], Finish(what="painted")),
    "pack": lambda book, code, dice: batches.pack(
        book,
        FORM,
        [code] if dice.random() < 0.5 else [],
        dice.choice(((), ("M6",))),
        [code] if dice.random() < 0.3 else [],
    ),
    "count batch": lambda book, code, dice: batches.count_back(
        book, _batch(book, dice), {"M6": dice.randint(0, 6)}
    ),
    "sort": lambda book, code, dice: _sort(book, dice),
    "close batch": lambda book, code, dice: batches.close(book, _batch(book, dice)),
    "find": lambda book, code, dice: loose.write_down(book, "M6 bolt 20 long, bench floor"),
    "explain": lambda book, code, dice: loose.belongs_to(
        book, int(dice.choice([*book.records.loose, "99"])), code, 1
    ),
    "undo": lambda book, code, dice: book.undo(),
}


def check(tables: Tables) -> None:
    """Every part and every fastener is in exactly one place, by every way of counting them."""
    counted = machine_count(tables, "TP")
    parts = tables.parts_of("TP")
    assert sum(counted.places.values()) == counted.parts == len(parts)
    off = [part for part in parts if whereabouts(part) not in ("on", "never off")]
    assert off == counted.parts_off
    for thread in counted.threads:
        assert thread.out == thread.back + thread.in_bag + thread.away + thread.lost
        assert min(thread[1:]) >= 0
    back = sum(thread.back for thread in counted.threads)
    bag = sum(in_bag(line.fastener) for line in counted.missing)
    gone = sum(count_lost(line.fastener) for line in counted.missing)
    sent = sum(thread.away for thread in counted.threads)
    assert counted.fasteners_out == back + bag + gone + sent
    assert _by_line(tables) == _in_buckets(tables)
    keys = {line.key for line in open_lines(counted)}
    assert {f"off:{part.code}" for part in off} <= keys
    assert not list(faults(tables))


def _by_line(tables: Tables) -> Counter[tuple[str, int]]:
    """What the records of the parts say is away."""
    found: Counter[tuple[str, int]] = Counter()
    for part in tables.parts.values():
        if part.away is not None and part.away.batch:
            found[part.code, 0] += 1
        for number, line in enumerate(part.fasteners, 1):
            found[part.code, number] += line.away
    return +found


def _in_buckets(tables: Tables) -> Counter[tuple[str, int]]:
    """What the records of the batches say is away."""
    found: Counter[tuple[str, int]] = Counter()
    for batch in tables.batches.values():
        for piece in batch.pieces if batch.closed is None else ():
            found[piece.code, piece.line] += piece.quantity - piece.sorted
    return +found


@pytest.mark.parametrize("seed", range(12))
def test_everything_is_in_exactly_one_place_whatever_happens(seed: int, tmp_path: Path) -> None:
    """A refused verb writes nothing; an allowed one keeps every sum."""
    dice = random.Random(f"life {seed}")
    clock = Clock()
    done: Counter[str] = Counter()
    with Book(tmp_path / "book", now=clock) as book:
        add(book, "Tarnbrook Packman", mark="TP")
        for _ in range(4):
            VERBS["strip"](book, "", dice)
        for _ in range(90):
            clock.on(minutes=7)
            name = dice.choice([*VERBS])
            before = book.revision
            try:
                VERBS[name](book, dice.choice(sorted(book.records.parts) or [""]), dice)
            except TagbenchError:
                assert book.revision == before, name
            else:
                done[name] += 1
            check(book.records)
    assert sum(done.values()) > 20
