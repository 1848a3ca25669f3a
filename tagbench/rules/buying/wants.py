"""Wants: what is to be bought, where it stands, what it costs, and what changes when it is here."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from tagbench.errors import BadInput, NotFound, Refused
from tagbench.records import Part, Tables, Want, replace
from tagbench.rules.buying.money import Price, currency_named, parse_price
from tagbench.rules.buying.part_numbers import Known, known_numbers, to_order
from tagbench.rules.describe.phrases import day, named_want

WantState = Literal["to order", "ordered", "overdue", "arrived"]


def standing(want: Want, today: date) -> WantState:
    """Where a want stands."""
    if want.arrived is not None:
        return "arrived"
    if want.ordered is None:
        return "to order"
    return "overdue" if want.due is not None and want.due < today else "ordered"


def want_for(tables: Tables, part: Part, number: int, known: Known | None = None) -> Want:
    """A want for the replacement of a part, with the number to order; `number` is its own id.

    `known` as from `known_numbers` of all parts, for many wants at once.
    """
    if known is None:
        known = known_numbers(tables.parts.values())
    try:
        order = to_order(part, known)
    except Refused as loop:
        return _plain_want(part, number, note=str(loop))
    note = order.words if order.substitute or (order.chain and not order.number) else ""
    return _plain_want(part, number, order.number, note)


def _plain_want(part: Part, number: int, order: str = "", note: str = "") -> Want:
    where = f" ({part.assembly})" if part.assembly else ""
    return Want(
        id=number,
        machine=part.machine,
        what=f"{part.name}{where}"[:400],
        parts=(part.code,),
        number=order,
        quantity=part.quantity,
        note=note,
    )


def check_want(tables: Tables, want: Want) -> Want:
    """The want tidied; BadInput without words, NotFound for a machine or part not in the book."""
    what = " ".join(want.what.split())
    if not what:
        raise BadInput("Say what is wanted, in a word or two.")
    if want.quantity < 1:
        raise BadInput(f"The quantity must be 1 or more, not {want.quantity}.")
    if want.machine not in tables.machines:
        raise NotFound(f"There is no machine {want.machine} in this book.")
    for code in want.parts:
        if code not in tables.parts:
            raise NotFound(f"No part goes by {code}; leave it out, or find its code first.")
        if not code.startswith(f"{want.machine}-"):
            raise BadInput(f"{code} is of another machine than the want; make one want for each.")
    parts = tuple(dict.fromkeys(want.parts))
    return replace(want, what=what, parts=parts, supplier=" ".join(want.supplier.split()))


def priced(want: Want, price: str, currency: str = "", preferred: str = "") -> Want:
    """The want with a price as it was typed; nothing typed takes the price out."""
    chosen = currency_named(currency, preferred) if currency else want.currency or preferred
    found = parse_price(price, chosen)
    if found is None:
        return replace(want, price="", currency="")
    return replace(want, price=found.plain, currency=found.currency)


def due_on(want: Want, due: date, today: date) -> Want:
    """The want due on a day; Refused for a day before it was ordered, or past and not ordered."""
    if want.ordered is not None and due < want.ordered:
        raise Refused(
            f"It cannot be due on {day(due)}, before it was ordered on {day(want.ordered)}; "
            "give a later day."
        )
    if want.ordered is None and due < today:
        raise Refused(f"{day(due)} is past and it is not even ordered; give today or a later day.")
    return replace(want, due=due)


def order_want(want: Want, on: date, today: date, due: date | None = None) -> Want:
    """The want ordered; Refused when it has arrived, or for dates that cannot be."""
    if want.arrived is not None:
        raise Refused(
            f"{named_want(want)} arrived on {day(want.arrived)}; make a new want to order more."
        )
    if on > today:
        raise Refused(
            f"{day(on)} is still to come; give the day it was ordered, today at the latest."
        )
    if due is not None and due < on:
        raise Refused(
            f"It cannot be due on {day(due)}, before it was ordered on {day(on)}; give a later day."
        )
    return replace(
        want, ordered=on, ordered_as=want.number, due=due if due is not None else want.due
    )


def not_ordered(want: Want) -> Want:
    """The want to be ordered again, since nothing comes of the order; Refused once it is here."""
    if want.arrived is not None:
        raise Refused(
            f"{named_want(want)} arrived on {day(want.arrived)}; make a new want to order more."
        )
    if want.ordered is None:
        raise Refused(f"{named_want(want)} is not ordered yet.")
    return replace(want, ordered=None, ordered_as="", due=None)


def arrive(want: Want, on: date, today: date) -> Want:
    """The want arrived; Refused when it was here already, or for dates that cannot be."""
    if want.arrived is not None:
        raise Refused(f"{named_want(want)} arrived on {day(want.arrived)} already.")
    if on > today:
        raise Refused(f"{day(on)} is still to come; give the day it arrived, today at the latest.")
    if want.ordered is not None and on < want.ordered:
        raise Refused(
            f"{named_want(want)} was ordered on {day(want.ordered)} and cannot have arrived on "
            f"{day(on)}; give a later day."
        )
    return replace(want, arrived=on)


def split_want(want: Want, here: int, number: int) -> tuple[Want, Want | None]:
    """A want of which only so many came: that many, and a want `number` for the rest."""
    if not 1 <= here <= want.quantity:
        most = f"1 to {want.quantity}" if want.quantity > 1 else "only 1"
        raise BadInput(f"Of {want.quantity} wanted, {most} can have come, not {here}.")
    if here == want.quantity:
        return want, None
    return replace(want, quantity=here), replace(want, id=number, quantity=want.quantity - here)


def parts_here(tables: Tables, want: Want) -> list[Part]:
    """The parts whose replacement is here now that a want has arrived, as they are then.

    A part that another open want still names goes on waiting for that.
    """
    others = {
        code
        for other in tables.wants.values()
        if other.id != want.id and other.arrived is None
        for code in other.parts
    }
    parts = (tables.parts[code] for code in want.parts if code in tables.parts)
    return [
        replace(part, replacement="here")
        for part in parts
        if part.verdict == "replace" and part.replacement == "wanted" and part.code not in others
    ]


def with_what_is_here(tables: Tables, part: Part) -> Part:
    """The part, its replacement here when a want for it arrived before and none is open.

    So a want that came before the verdict counts, and a part whose order came only in part waits
    no longer once the rest is dropped.
    """
    if part.verdict != "replace" or part.replacement != "wanted":
        return part
    named = [want for want in tables.wants.values() if part.code in want.parts]
    if not named or any(want.arrived is None for want in named):
        return part
    return replace(part, replacement="here")


def without_part(want: Want, code: str) -> Want | None:
    """The want without a part that no longer waits for it; None when nothing is left to order."""
    left = tuple(other for other in want.parts if other != code)
    if not left and want.ordered is None and want.arrived is None:
        return None
    return replace(want, parts=left)


def open_wants_of(tables: Tables, mark: str = "") -> list[Want]:
    """Wants that have not arrived, of one machine or of all, oldest first."""
    return [
        want
        for want in sorted(tables.wants.values(), key=lambda want: want.id)
        if want.arrived is None and mark in ("", want.machine)
    ]


@dataclass(frozen=True)
class Total:
    """What is spent, or to be spent, at one supplier in one currency."""

    supplier: str
    """Who sells it; empty when not decided."""
    currency: str
    """Three-letter code; empty when nothing is priced."""
    amount: Decimal
    """Sum of quantity × price, exact."""
    wants: int
    """How many wants."""
    unpriced: int
    """How many of them have no price, so that the sum is too low."""


def cost(want: Want) -> Price | None:
    """Quantity × price of a want; None without a price."""
    if not want.price:
        return None
    return Price(want.quantity * Decimal(want.price), want.currency)


def totals(wants: Iterable[Want]) -> list[Total]:
    """The sums by supplier and currency; wants without a price are counted, not guessed."""
    sums: dict[tuple[str, str], list[Want]] = {}
    spelled: dict[str, str] = {}
    for want in wants:
        supplier = spelled.setdefault(want.supplier.casefold(), want.supplier)
        sums.setdefault((supplier, want.currency if want.price else ""), []).append(want)
    return [
        Total(
            supplier,
            currency,
            sum((price.amount for want in group if (price := cost(want))), Decimal(0)),
            len(group),
            sum(not want.price for want in group),
        )
        for (supplier, currency), group in sorted(sums.items())
    ]
