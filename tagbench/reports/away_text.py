"""What is with someone else, in plain lines: parts, batches by size and bag; what was found."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from tagbench.records import Batch, LooseItem, Tables
from tagbench.rules.count.loose_items import candidates
from tagbench.rules.describe.away import (
    away_fact,
    bag_words,
    describe_batch,
    loose_words,
    row_words,
)
from tagbench.rules.describe.fact import BOXES
from tagbench.rules.describe.phrases import named


def away_lines(tables: Tables, mark: str, today: date) -> Iterator[str]:
    """Everything of a machine that is with someone else, the latest first."""
    away = [part for part in tables.parts_of(mark) if part.away and not part.away.batch]
    away.sort(key=lambda part: (part.away and part.away.due) or date.max)
    for part in away:
        yield f"{part.code}  {part.said}: {away_fact(part, today).words}"
    batches = [one for one in tables.batches.values() if one.machine == mark and not one.closed]
    for batch in batches:
        facts = describe_batch(tables, batch, today)
        yield f"{facts.title}: {facts.stands.words}"
    if not away and not batches:
        yield "Everything is here; send something away with: away send CODE --to WHO"


def batch_lines(tables: Tables, batch: Batch, today: date) -> Iterator[str]:
    """A batch as a packing list by size, and under each size the bags it goes back into."""
    facts = describe_batch(tables, batch, today)
    yield f"{facts.title}: {facts.stands.words}"
    for row in facts.rows:
        yield f"  {row_words(row)}"
        for bag in row.bags:
            code, line, quantity, back = bag
            box = BOXES["done" if back == quantity else "begun" if back else "open"]
            yield f"    {box} {bag_words(tables, bag)}  [{code}{f'/{line}' if line else ''}]"


def batch_rows(tables: Tables, batch: Batch) -> Iterator[tuple[object, ...]]:
    """A batch as CSV: a row a bag."""
    yield ("size", "out", "came_back", "short", "code", "name", "line", "quantity", "sorted")
    for row in describe_batch(tables, batch, batch.sent or date.min).rows:
        came = "" if row.counted is None else row.counted
        for code, line, quantity, back in row.bags:
            name = tables.parts[code].name
            yield (row.size, row.out, came, row.short, code, name, line or "", quantity, back)


def loose_lines(tables: Tables, items: Iterable[LooseItem]) -> Iterator[str]:
    """What was found, each with the lines it may be of."""
    for item in items:
        yield f"{item.id:>3}  {loose_words(item)}"
        if item.explained:
            continue
        for one in candidates(tables, item):
            line = one.line
            yield f"       {line.key}  {named(line.part)}: {line.spelled} — {one.why}"
