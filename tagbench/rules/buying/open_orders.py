"""An order that is under way while its part is to be used again: called off, or kept for later."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, get_args

from tagbench.errors import Refused
from tagbench.records import Tables, Want
from tagbench.rules.describe.phrases import day, named_codes, plural

Orders = Literal["", "keep", "off"]
"""What becomes of an order that is under way: not said yet; kept, for the drawer; called off."""
ORDERS: tuple[Orders, ...] = get_args(Orders)


class OnOrder(Refused):
    """A part is to be used again while a new one is on order; says which, and asks."""


def ordered_for(tables: Tables, codes: Iterable[str]) -> list[Want]:
    """The orders under way that name one of these parts."""
    asked = set(codes)
    return [
        want
        for want in tables.wants.values()
        if want.ordered and not want.arrived and asked.intersection(want.parts)
    ]


def refuse_on_order(tables: Tables, codes: Iterable[str]) -> None:
    """Raises OnOrder while a new piece of one of the parts is on order."""
    asked = list(codes)
    orders = ordered_for(tables, asked)
    if not orders:
        return
    of = set(asked).intersection(orders[0].parts)
    due = f", due {day(orders[0].due)}" if orders[0].due else ""
    more = f" and {plural(len(orders) - 1, 'more order')}" if len(orders) > 1 else ""
    raise OnOrder(
        f"A new {', '.join(named_codes(sorted(of), tables))} is on order (want {orders[0].id}{due})"
        f"{more}; say whether the order is kept, for the drawer, or called off."
    )
