"""Wants as commands print them: one line each, or JSON with what they hold up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from datetime import date
from typing import Any

import click

from tagbench.commands.base import Workplace, one_or_list, print_json
from tagbench.records import Want, to_json
from tagbench.rules.buying.holding import hold_ups
from tagbench.rules.buying.shop_list import ShopRow
from tagbench.rules.buying.wants import cost, standing
from tagbench.rules.describe.want import WantFacts, describe_want


def want_json(want: Want, today: date, held: Sequence[str]) -> dict[str, Any]:
    """A want with where it stands, what it costs and what it holds up."""
    price = cost(want)
    return {
        **to_json(want),
        "standing": standing(want, today),
        "cost": price.plain if price else "",
        "holds_up": list(held),
    }


def want_line(facts: WantFacts) -> str:
    """` 12  2 × felt seal   no. A2   7.00 EUR   ordered …   holds up 7 parts`."""
    held = f"holds up {facts.holds_up.words}" if facts.holds_up.words else ""
    price = facts.price.words if facts.price.figures else ""
    said = (facts.number.words, facts.supplier.words, price)
    more = (facts.deposit.words, facts.standing.words, held)
    return "   ".join([f"{facts.id:>3}  {facts.what}", *filter(None, (*said, *more))])


def show_wants(
    workplace: Workplace, chosen: list[Want], as_json: bool, as_list: bool = False
) -> None:
    """Prints wants; as JSON one is an object, several are a list, and `as_list` one too."""
    tables, today = workplace.book.records, workplace.book.now().date()
    held: dict[int, Sequence[str]] = {}
    for mark in {want.machine for want in chosen}:
        held.update(hold_ups(tables, mark))
    if as_json:
        plain = [want_json(want, today, held.get(want.id, ())) for want in chosen]
        print_json(plain if as_list else one_or_list(plain))
        return
    for want in chosen:
        click.echo(want_line(describe_want(tables, want, today, held.get(want.id, ()))))


def shop_json(row: ShopRow) -> dict[str, Any]:
    """One line of the list for the shop; the price is for the whole line."""
    price = {
        "price": row.price.plain if row.price else "",
        "currency": row.price.currency if row.price else "",
    }
    return {**asdict(row), **price}
