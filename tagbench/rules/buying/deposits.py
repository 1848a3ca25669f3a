"""The deposit on an exchange piece: paid with the order, back when the old piece was given in."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from tagbench.errors import BadInput, Refused
from tagbench.records import Tables, Want, replace
from tagbench.rules.buying.money import Price, parse_price
from tagbench.rules.describe.phrases import day, named_want


def with_deposit(want: Want, text: str, preferred: str = "") -> Want:
    """The want with the deposit that was typed, for all of it; an empty text takes it out."""
    _refuse_back(want)
    found = parse_price(text, want.currency or preferred)
    if found is None:
        return replace(want, deposit="")
    if want.price and want.currency != found.currency:
        name = named_want(want)
        raise BadInput(f"The price of {name} is in {want.currency}; give its deposit in that too.")
    return replace(want, deposit=found.plain, currency=found.currency)


def deposit_back(want: Want, on: date, today: date) -> Want:
    """The want with its deposit paid back. Refused without one, twice, or on a day to come."""
    if not want.deposit:
        raise Refused(f"No deposit was paid for {named_want(want)}.")
    _refuse_back(want)
    if on > today:
        raise Refused(f"{day(on)} is still to come; give today or a day before it.")
    if want.ordered is None and want.arrived is None:
        raise Refused(f"{named_want(want)} is not ordered, so no deposit can have been paid.")
    if want.ordered is not None and on < want.ordered:
        raise Refused(f"{named_want(want)} was ordered on {day(want.ordered)}; give a later day.")
    return replace(want, deposit_back=on)


def deposit_out(want: Want) -> bool:
    """Whether a deposit was paid that has not come back."""
    return bool(want.deposit) and want.deposit_back is None and bool(want.ordered or want.arrived)


def deposit_words(tables: Tables, want: Want) -> str:
    """`deposit 20.00 EUR, give the old piece back for it`; empty without one."""
    if not want.deposit:
        return ""
    said = f"deposit {Price(Decimal(want.deposit), want.currency).words}"
    if want.deposit_back is not None:
        return f"{said}, back {day(want.deposit_back)}"
    if not deposit_out(want):
        return f"{said} to be paid"
    parts = [tables.parts[code] for code in want.parts if code in tables.parts]
    if parts and all(part.old_piece == "exchanged" for part in parts):
        return f"{said}, the old piece was given back: ask for it"
    if any(part.old_piece in ("gone", "pattern") for part in parts):
        return f"{said}, the old piece is not there to be given back"
    return f"{said}, back for the old piece"


def deposits_out(tables: Tables, mark: str) -> list[Want]:
    """The wants of a machine whose deposit is still out, oldest first."""
    mine = [one for one in tables.wants.values() if one.machine == mark and deposit_out(one)]
    return sorted(mine, key=lambda want: want.id)


def _refuse_back(want: Want) -> None:
    if want.deposit_back is not None:
        back = day(want.deposit_back)
        raise Refused(f"{named_want(want)}: its deposit came back on {back} already.")
