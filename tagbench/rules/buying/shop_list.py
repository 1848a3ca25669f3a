"""The list to take to the shop: what is to be ordered and the single-use items to be bought."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from tagbench.records import Tables, Want
from tagbench.rules.buying.holding import hold_ups
from tagbench.rules.buying.money import Price, sums
from tagbench.rules.buying.single_use import Needed, needed
from tagbench.rules.buying.wants import cost, open_wants_of, standing
from tagbench.rules.describe.phrases import first_few, named_codes, plural
from tagbench.rules.open_questions import open_questions
from tagbench.rules.table import csv_text

COLUMNS = (
    *("quantity", "what", "number", "for", "supplier", "price", "currency", "holds_up", "note"),
)
"""The columns of the list as CSV."""
NAMED = 3
"""So many of the parts that wait are named on a line."""


@dataclass(frozen=True)
class ShopRow:
    """One line of the list."""

    what: str
    """What to buy."""
    quantity: int
    """How many."""
    number: str = ""
    """Part number to ask for."""
    parts: tuple[str, ...] = ()
    """Codes of the parts it is for."""
    supplier: str = ""
    """Who sells it; empty when not decided."""
    price: Price | None = None
    """Price of all of it."""
    holds_up: int = 0
    """How many parts cannot go on until it is here."""
    note: str = ""
    """Anything else."""


def to_measure(tables: Tables, mark: str) -> list[str]:
    """What of one machine is to be measured before anybody can buy it again, a line each."""
    return [one.words for one in open_questions(tables, mark)]


def shop_list(tables: Tables, mark: str, today: date) -> list[ShopRow]:
    """What of one machine is to be bought, by supplier, what holds up most first."""
    held = hold_ups(tables, mark)
    wants = [w for w in open_wants_of(tables, mark) if standing(w, today) == "to order"]
    rows = [_of_want(want, len(held.get(want.id, ()))) for want in wants]
    rows += [_of_item(item) for item in needed(tables, mark) if item.to_buy]
    return sorted(rows, key=lambda row: (row.supplier.casefold(), -row.holds_up, row.what))


def _of_want(want: Want, holds_up: int) -> ShopRow:
    return ShopRow(
        what=want.what,
        quantity=want.quantity,
        number=want.number,
        parts=want.parts,
        supplier=want.supplier,
        price=cost(want),
        holds_up=holds_up,
        note=want.note,
    )


def _of_item(item: Needed) -> ShopRow:
    note = "single-use"
    if item.in_stock or item.on_order:
        note += f"; {item.quantity} wanted, {item.in_stock} in stock, {item.on_order} on order"
    return ShopRow(what=item.what, quantity=item.to_buy, parts=item.parts, note=note)


def as_text(rows: Iterable[ShopRow], tables: Tables, to_measure: Iterable[str] = ()) -> str:
    """The list to print: a box to tick before each line, under the name of its supplier.

    `to_measure`: what is to be measured before it can be bought, a line each.
    """
    bought, measured = _bought_text(list(rows), tables), list(to_measure)
    if not measured:
        return bought
    return "\n".join(
        [bought, "Measure first", "-------------", *map("[ ] {}".format, measured), ""]
    )


def _bought_text(rows: Sequence[ShopRow], tables: Tables) -> str:
    if not rows:
        return "Nothing to buy.\n"
    lines: list[str] = []
    supplier = None
    for row in rows:
        if row.supplier != supplier:
            supplier = row.supplier
            lines += ["", supplier or "Anywhere", "-" * len(supplier or "Anywhere")]
        lines += _row_text(row, tables)
    if total := total_words(rows):
        lines += ["", total]
    return "\n".join(lines).lstrip("\n") + "\n"


def total_words(rows: Sequence[ShopRow]) -> str:
    """`Together 8.50 EUR, 10 without a price`; nothing where no price is known."""
    total = ", ".join(
        Price(amount, currency).words
        for currency, amount in sums(row.price for row in rows if row.price).items()
    )
    unpriced = sum(row.price is None for row in rows)
    if not total:
        return ""
    return f"Together {total}" + (f", {unpriced} without a price" if unpriced else "")


def _row_text(row: ShopRow, tables: Tables) -> list[str]:
    first = f"[ ] {row.quantity} × {row.what}"
    if row.number:
        first += f"   no. {row.number}"
    if row.price:
        first += f"   {row.price.words}"
    under = []
    if row.parts:
        under.append(f"for {first_few(named_codes(row.parts, tables), NAMED)}")
    if row.holds_up:
        under.append(f"holds up {plural(row.holds_up, 'part')}")
    if row.note:
        under.append(row.note)
    return [first, *(f"      {line}" for line in under)]


def as_rows(rows: Iterable[ShopRow]) -> Iterator[tuple[object, ...]]:
    """The list as rows with the columns of `COLUMNS`; prices are for the whole line."""
    yield COLUMNS
    for row in rows:
        price = row.price
        yield (
            *(row.quantity, row.what, row.number, ";".join(row.parts), row.supplier),
            *(price.plain if price else "", price.currency if price else ""),
            *(row.holds_up or "", row.note),
        )


def as_csv(rows: Iterable[ShopRow]) -> str:
    """The list as CSV."""
    return csv_text(as_rows(rows))
