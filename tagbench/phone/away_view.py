"""The page of what is away: parts, batches bag by bag, orders, and what is left over."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import NamedTuple

from tagbench.book import Book
from tagbench.book.operations import batches, buying, loose
from tagbench.book.operations.machines import chosen
from tagbench.phone.forms import Form
from tagbench.records import Machine, Tables
from tagbench.rules.buying.deposits import deposit_out, deposit_words
from tagbench.rules.buying.returns import open_wrong
from tagbench.rules.count.loose_items import candidates
from tagbench.rules.describe.away import (
    away_fact,
    bag_words,
    describe_batch,
    loose_words,
    row_words,
)
from tagbench.rules.describe.phrases import named, quantity
from tagbench.rules.describe.want import number_words, standing_words

SHOWN = 60
"""So many of one kind are shown."""


class PartAway(NamedTuple):
    """A part that somebody has."""

    code: str
    name: str
    words: str


class BagTick(NamedTuple):
    """A bag that some of a size goes back into."""

    key: str
    words: str
    done: bool


class SizeCount(NamedTuple):
    """A size of a batch."""

    size: str
    words: str
    out: int
    counted: bool
    bags: tuple[BagTick, ...]


class BatchView(NamedTuple):
    """A batch."""

    id: int
    title: str
    stands: str
    rows: tuple[SizeCount, ...]


class OrderView(NamedTuple):
    """An order under way, or one whose deposit is out."""

    id: int
    what: str
    words: str
    here: bool
    wrong: bool
    """Whether a wrong one lies here that nothing has come of yet."""
    sent_back: bool
    deposit: bool


class FoundView(NamedTuple):
    """Something found that is not explained."""

    id: int
    words: str
    lines: tuple[tuple[str, str], ...]
    """Code and line, and in words, of the lines that are short of one."""


@dataclass(frozen=True)
class AwayView:
    """What is away from the bags of the chosen machine."""

    machine: Machine | None
    parts: tuple[PartAway, ...] = ()
    batches: tuple[BatchView, ...] = ()
    orders: tuple[OrderView, ...] = ()
    found: tuple[FoundView, ...] = ()


def away_view(tables: Tables, today: date) -> AwayView:
    """Everything of the chosen machine that is with someone else, on order or left over."""
    machine = chosen(tables)
    if machine is None:
        return AwayView(None)
    mark = machine.mark
    away = [part for part in tables.parts_of(mark) if part.away and not part.away.batch]
    return AwayView(
        machine,
        tuple(PartAway(p.code, named(p), away_fact(p, today).words) for p in away[:SHOWN]),
        tuple(_batches(tables, mark, today)[:SHOWN]),
        tuple(_orders(tables, mark, today)[:SHOWN]),
        tuple(_found(tables, mark)[:SHOWN]),
    )


def _batches(tables: Tables, mark: str, today: date) -> list[BatchView]:
    told = [
        (one.id, describe_batch(tables, one, today))
        for one in tables.batches.values()
        if one.machine == mark and not one.closed
    ]
    return [
        BatchView(
            number,
            facts.title,
            facts.stands.words,
            tuple(
                SizeCount(
                    row.size,
                    row_words(row),
                    row.out,
                    row.counted is not None,
                    tuple(
                        BagTick(f"{bag[0]}/{bag[1]}", bag_words(tables, bag), bag[2] == bag[3])
                        for bag in row.bags
                    ),
                )
                for row in facts.rows
            ),
        )
        for number, facts in told
    ]


def _orders(tables: Tables, mark: str, today: date) -> list[OrderView]:
    found = []
    for want in sorted(tables.wants.values(), key=lambda one: one.id):
        wrong = open_wrong(want)
        out = deposit_out(want)
        if want.machine != mark or not ((want.ordered and not want.arrived) or wrong or out):
            continue
        said = (
            number_words(want),
            want.supplier,
            standing_words(want, today),
            deposit_words(tables, want),
        )
        found.append(
            OrderView(
                want.id,
                quantity(want.quantity, want.what),
                ", ".join(filter(None, said)),
                want.arrived is not None,
                wrong is not None,
                wrong is not None and wrong.sent_back is not None,
                out,
            )
        )
    return found


def _found(tables: Tables, mark: str) -> list[FoundView]:
    return [
        FoundView(
            item.id,
            loose_words(item),
            tuple(
                (one.line.key, f"{named(one.line.part)}: {one.line.spelled}, {one.why}")
                for one in candidates(tables, item)
                if one.sure
            ),
        )
        for item in tables.loose.values()
        if item.machine == mark and not item.explained
    ]


# What the forms of the page do


def _write_down(book: Book, form: Form) -> object:
    return loose.write_down(book, form.text("found"))


def _explain(book: Book, form: Form) -> object:
    number = form.number("id")
    code, _, line = form.text("line").partition("/")
    if code and not form.text("why"):
        return loose.belongs_to(book, number, code, int(line) if line.isdigit() else 0)
    return loose.explain(book, number, form.text("why"))


def _count(book: Book, form: Form) -> object:
    return batches.count_back(book, form.number("id"), {form.lines("size"): form.number("many")})


def _sort(book: Book, form: Form) -> object:
    code, _, line = form.text("bag").partition("/")
    many = form.number("many") if form.text("many") else None
    return batches.sort_into_bag(
        book, form.number("id"), code, int(line) if line.isdigit() else 0, many
    )


def _arrived(book: Book, form: Form) -> object:
    many = form.number("many") if form.text("many") else None
    return buying.arrive(book, [form.number("id")], count=many)


AWAY_WORK: Mapping[str, Callable[[Book, Form], object]] = MappingProxyType(
    {
        "found": _write_down,
        "explain": _explain,
        "count": _count,
        "sort": _sort,
        "arrived": _arrived,
        "wrong": lambda book, form: buying.wrong_came(book, form.number("id"), form.text("what")),
        "sent-back": lambda book, form: buying.send_back(book, form.number("id")),
        "refunded": lambda book, form: buying.settle(book, form.number("id"), "refunded"),
        "replaced": lambda book, form: buying.settle(book, form.number("id"), "replaced"),
        "deposit": lambda book, form: buying.deposit_came_back(book, form.number("id")),
    }
)
"""Last step of the path → what is done."""
