"""The wants: the list to take to the shop, and what has been ordered and is not here yet."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

from tagbench.records import Want
from tagbench.reports.asked import Asked, Row
from tagbench.reports.page import render
from tagbench.rules.buying.holding import hold_ups
from tagbench.rules.buying.shop_list import ShopRow, as_csv, as_text, shop_list
from tagbench.rules.buying.wants import open_wants_of, standing
from tagbench.rules.describe.phrases import day, named_codes, plural, quantity
from tagbench.rules.describe.want import standing_words


def text(asked: Asked) -> Iterator[str]:
    """The wants in plain lines."""
    yield f"Wants — {asked.machine.name} ({asked.machine.mark}), {day(asked.printed)}"
    yield ""
    yield from as_text(to_buy(asked), asked.tables).splitlines()
    for want, words, held in on_order(asked):
        what = quantity(want.quantity, want.what)
        yield f"On order: {what} — {words}, holds up {plural(held, 'part')}"


def rows(asked: Asked) -> Iterator[Row]:
    """What is to be bought as lines of CSV, then what is on order, told by its note."""
    yield from (tuple(row) for row in csv.reader(io.StringIO(as_csv(to_buy(asked)))))
    for want, words, held in on_order(asked):
        yield (
            *(want.quantity, want.what, want.number, ";".join(want.parts), want.supplier),
            *(want.price, want.currency, held or "", words),
        )


def page(asked: Asked) -> str:
    """The wants as a page to print."""
    return render(
        "wants.html",
        asked,
        buy=to_buy(asked),
        ordered=list(on_order(asked)),
        names=lambda codes: ", ".join(named_codes(codes, asked.tables)),
    )


def to_buy(asked: Asked) -> list[ShopRow]:
    """What is to be bought, by supplier."""
    return shop_list(asked.tables, asked.machine.mark, asked.printed.date())


def on_order(asked: Asked) -> Iterator[tuple[Want, str, int]]:
    """What is on order: the want, where it stands, how many parts it holds up."""
    today = asked.printed.date()
    held = hold_ups(asked.tables, asked.machine.mark)
    for want in open_wants_of(asked.tables, asked.machine.mark):
        if standing(want, today) != "to order":
            yield want, standing_words(want, today), len(held.get(want.id, ()))
