"""What is said about what is with someone else: a part, a batch by size, what is found."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from tagbench.records import Batch, LooseItem, Part, Tables
from tagbench.rules.batches import BatchRow, packing_rows
from tagbench.rules.bins import kept_in_words
from tagbench.rules.describe.fact import Fact, State
from tagbench.rules.describe.phrases import day, named, plural
from tagbench.rules.whereabouts import errand_words, overdue


class BatchFacts(NamedTuple):
    """One batch."""

    title: str
    """`batch 2, 34 pieces`."""
    stands: Fact
    """`with Hill Plating for zinc plating, sent …, due …, 3 days overdue`; late is wrong."""
    rows: tuple[BatchRow, ...]
    """What is in it by size."""


def away_fact(part: Part, today: date) -> Fact:
    """Who has a part, and whether it is late; no words when it is here."""
    if part.away is None:
        return Fact("away", "")
    late = overdue(part.away, today)
    words = errand_words(part.away) + (f", {plural(late, 'day')} overdue" if late else "")
    return Fact("away", words, "wrong" if late else "open", (late,) if late else (), "day")


def describe_batch(tables: Tables, batch: Batch, today: date) -> BatchFacts:
    """One batch and what is in it."""
    rows = tuple(packing_rows(tables, batch))
    total = sum(row.out for row in rows)
    what_for = f" for {batch.what_for}" if batch.what_for else ""
    late = (today - batch.due).days if batch.due and not batch.closed else 0
    pieces = [
        f"with {batch.who}{what_for}",
        f"sent {day(batch.sent)}" if batch.sent else "",
        f"due {day(batch.due)}" if batch.due and not batch.closed else "",
        f"{plural(late, 'day')} overdue" if late > 0 else "",
        f"closed {day(batch.closed)}" if batch.closed else "",
        f"{batch.price} {batch.currency}".strip(),
    ]
    state: State = "done" if batch.closed else "wrong" if late > 0 else "open"
    stands = Fact("stands", ", ".join(filter(None, pieces)), state)
    return BatchFacts(f"batch {batch.id}, {plural(total, 'piece')}", stands, rows)


def row_words(row: BatchRow) -> str:
    """`12 × M6x1x20 hex, 11 came back, 1 short, 4 in their bags`."""
    pieces = [
        f"{row.out} × {row.size}",
        f"{row.counted} came back" if row.counted is not None else "",
        f"{row.short} short" if row.short else "",
        f"{row.sorted} in their bags" if row.sorted else "",
    ]
    return ", ".join(filter(None, pieces))


def bag_words(tables: Tables, bag: tuple[str, int, int, int]) -> str:
    """`4 into the bag of Brake drum TP-012-K, in box 2` or that they are in it."""
    code, _, quantity, back = bag
    part = tables.parts[code]
    left = quantity - back
    where = kept_in_words(part.bin, tables.bins)
    return f"{left or quantity} {'into' if left else 'are in'} the bag of {named(part)}, {where}"


def loose_words(item: LooseItem) -> str:
    """`M6 bolt 20 long, bench floor, found 9 Mar 2026`, and how it was explained."""
    found = f"found {day(item.found)}" if item.found else ""
    explained = f"explained: {item.explained}" if item.explained else ""
    return ", ".join(filter(None, [item.what, item.where, found, explained]))
