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
from tagbench.records import Batch, LooseItem, Machine, Part, Tables
from tagbench.rules.buying.deposits import deposit_out, deposit_words
from tagbench.rules.buying.returns import open_wrong
from tagbench.rules.count.loose_items import LineCandidate, candidates
from tagbench.rules.describe.away import BatchFacts, away_fact, describe_batch
from tagbench.rules.describe.fact import Fact
from tagbench.rules.describe.phrases import quantity
from tagbench.rules.describe.want import number_words, standing_words

SHOWN = 60
"""So many of one kind are shown."""


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


@dataclass(frozen=True)
class AwayView:
    """What is away from the bags of the chosen machine."""

    machine: Machine | None
    parts: tuple[tuple[Part, Fact], ...] = ()
    """What somebody has, and who."""
    batches: tuple[tuple[Batch, BatchFacts], ...] = ()
    orders: tuple[OrderView, ...] = ()
    found: tuple[tuple[LooseItem, tuple[LineCandidate, ...]], ...] = ()
    """What was found and is not explained, with the lines that it surely is of."""


def away_view(tables: Tables, today: date) -> AwayView:
    """Everything of the chosen machine that is with someone else, on order or left over."""
    machine = chosen(tables)
    if machine is None:
        return AwayView(None)
    mark = machine.mark
    away = [part for part in tables.parts_of(mark) if part.away and not part.away.batch]
    batches_out = [one for one in tables.batches.values() if one.machine == mark and not one.closed]
    unexplained = [
        item for item in tables.loose.values() if item.machine == mark and not item.explained
    ]
    return AwayView(
        machine,
        tuple((part, away_fact(part, today)) for part in away[:SHOWN]),
        tuple((one, describe_batch(tables, one, today)) for one in batches_out[:SHOWN]),
        tuple(_orders(tables, mark, today)[:SHOWN]),
        tuple(
            (item, tuple(one for one in candidates(tables, item) if one.sure))
            for item in unexplained[:SHOWN]
        ),
    )


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
