"""Prices as people type them: `12,50`, `€ 1.234,50`, `£3`, in exact decimal figures."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from tagbench.errors import BadInput

SIGNS = {"€": "EUR", "£": "GBP", "¥": "JPY", "zł": "PLN", "zl": "PLN", "kč": "CZK", "ft": "HUF"}
"""Signs that stand for one currency (ISO 4217 codes)."""
SHARED = {
    "$": ("USD", "CAD", "AUD", "NZD", "HKD", "SGD"),
    "kr": ("SEK", "NOK", "DKK", "ISK"),
    "fr": ("CHF",),
}
"""Signs that several currencies share; the preferred one counts if it is among them."""

_FORMS = "write it as 12.50, 12,50 or 1 234.50, with EUR or a sign before or after it"
_PRICE = re.compile(r"(?P<before>[^\d.,+-]*)(?P<figure>[\d.,'\s]*\d)(?P<after>[^\d]*)")


@dataclass(frozen=True)
class Price:
    """An amount of money."""

    amount: Decimal
    """The figure, exact."""
    currency: str
    """Three-letter code (ISO 4217); empty when neither typed nor preferred."""

    @property
    def plain(self) -> str:
        """The figure as it is kept in a record: `12.50`."""
        return format(self.amount, "f")

    @property
    def words(self) -> str:
        """`12.50 EUR`."""
        return money_words(self.amount, self.currency)


def money_words(amount: Decimal, currency: str = "") -> str:
    """`1234.50 EUR`: two decimals at least, never rounded."""
    shown = amount if -amount.as_tuple().exponent > 2 else amount.quantize(Decimal("0.01"))  # type: ignore[operator]  # a price is a finite number
    return f"{shown:f} {currency}".strip()


def parse_price(text: str, preferred: str = "") -> Price | None:
    """The price that was typed, None for nothing typed.

    `preferred` is the currency taken when none was typed, or to tell `$` and `kr` apart.
    Raises BadInput for what is not a price, is below zero, or (`1,250`) can be read two ways.
    """
    clean = " ".join(text.replace("\u00a0", " ").replace("\u202f", " ").split())
    if not clean:
        return None
    if re.match(r"[^\d]*[-−–]\s?[\d.,]", clean):
        raise BadInput(f"“{text}” is below zero; {_FORMS}.")
    found = _PRICE.fullmatch(clean.removesuffix(",-").removesuffix(".-").removesuffix("-").strip())
    if found is None:
        raise BadInput(f"“{text}” is not a price; {_FORMS}.")
    currency = _currency(text, found["before"], found["after"], preferred)
    return Price(_figure(text, found["figure"]), currency)


def _currency(text: str, before: str, after: str, preferred: str) -> str:
    named = [word.strip(" .").casefold() for word in (before, after) if word.strip(" .")]
    if not named:
        return preferred
    if len(named) > 1:
        raise BadInput(f"“{text}” names a currency twice; {_FORMS}.")
    return currency_named(named[0], preferred)


def currency_named(text: str, preferred: str = "") -> str:
    """The three-letter code (ISO 4217) of a currency by its code or sign; BadInput for others."""
    name = text.strip().casefold()
    if name in SIGNS:
        return SIGNS[name]
    if name in SHARED:
        return preferred if preferred in SHARED[name] else SHARED[name][0]
    if re.fullmatch(r"[a-z]{3}", name):
        return name.upper()
    raise BadInput(f"“{text}” is not a currency; write its three letters such as EUR, GBP or SEK.")


def _figure(text: str, typed: str) -> Decimal:
    bare = re.sub(r"(?<=\d)[ '](?=\d{3}(?!\d))", "", typed)
    if re.fullmatch(r"\d{1,9}", bare):
        return Decimal(bare)
    if re.fullmatch(r"[1-9]\d{0,2}([.,])\d{3}(?:\1\d{3})+", bare):
        return Decimal(re.sub("[.,]", "", bare))
    if re.fullmatch(r"[1-9]\d{0,2}[.,]\d{3}", bare):
        plain, point = re.sub("[.,]", "", bare), Decimal(bare.replace(",", "."))
        clear = f"{point:.2f}" if point == round(point, 2) else f"{point}0"
        raise BadInput(f"“{text}” can be read two ways: write {plain} or {clear}.")
    if re.fullmatch(r"\d{0,9}[.,]\d{1,4}", bare):
        return Decimal(bare.replace(",", ".").rjust(1, "0"))
    if re.fullmatch(r"\d{1,3}(?:,\d{3})+\.\d{1,2}", bare):
        return Decimal(bare.replace(",", ""))
    if re.fullmatch(r"\d{1,3}(?:\.\d{3})+,\d{1,2}", bare):
        return Decimal(bare.replace(".", "").replace(",", "."))
    raise BadInput(f"“{text}” is not a price; {_FORMS}.")


def sums(prices: Iterable[Price]) -> dict[str, Decimal]:
    """Currency → the exact sum of the prices in it, in order of the codes."""
    found: dict[str, Decimal] = {}
    for price in prices:
        found[price.currency] = found.get(price.currency, Decimal(0)) + price.amount
    return dict(sorted(found.items()))
