"""Wants as commands print them: one line each, or JSON with what they hold up."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date
from typing import Any

import click

from tagbench.commands.base import Workplace, print_json
from tagbench.records import Tables, Want, to_json
from tagbench.rules.buying.holding import hold_ups
from tagbench.rules.buying.shop_list import ShopRow
from tagbench.rules.buying.wants import cost, standing, standing_words


def want_json(tables: Tables, want: Want, today: date) -> dict[str, Any]:
    """A want with where it stands, what it costs and what it holds up."""
    price = cost(want)
    held = hold_ups(tables, want.machine).get(want.id, [])
    return {
        **to_json(want),
        "standing": standing(want, today),
        "cost": price.plain if price else "",
        "holds_up": held,
    }


def want_line(want: Want, today: date, holds_up: int) -> str:
    """`12  2 × felt seal  no. A2   ordered …   holds up 7 parts`."""
    pieces = [f"{want.id:>3}  {want.quantity} × {want.what}"]
    pieces += [f"no. {want.number}"] if want.number else []
    pieces += [want.supplier] if want.supplier else []
    price = cost(want)
    pieces += [price.words] if price else []
    pieces.append(standing_words(want, today))
    if holds_up:
        pieces.append(f"holds up {holds_up} {'part' if holds_up == 1 else 'parts'}")
    return "   ".join(pieces)


def show_wants(
    workplace: Workplace, chosen: list[Want], as_json: bool, as_list: bool = False
) -> None:
    """Prints wants; as JSON one is an object, several are a list, and `as_list` one too."""
    tables, today = workplace.book.records, workplace.book.now().date()
    if as_json:
        plain = [want_json(tables, want, today) for want in chosen]
        print_json(plain[0] if len(plain) == 1 and not as_list else plain)
        return
    for want in chosen:
        click.echo(want_line(want, today, len(hold_ups(tables, want.machine).get(want.id, []))))


def shop_json(row: ShopRow) -> dict[str, Any]:
    """One line of the list for the shop; the price is for the whole line."""
    price = {
        "price": row.price.plain if row.price else "",
        "currency": row.price.currency if row.price else "",
    }
    return {**asdict(row), **price}
