"""Prices and days as people type them."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, strategies as st

from tagbench.errors import BadInput
from tagbench.rules.buying.money import Price, parse_price, sums
from tagbench.rules.days import parse_day

TODAY = date(2026, 3, 7)


@pytest.mark.parametrize(
    ("typed", "amount", "currency"),
    [
        ("12,50", "12.50", "SEK"),
        ("12.5", "12.5", "SEK"),
        ("€ 12,50", "12.50", "EUR"),
        ("12,50€", "12.50", "EUR"),
        ("£3", "3", "GBP"),
        ("1.234,50", "1234.50", "SEK"),
        ("1,234.50 usd", "1234.50", "USD"),
        ("1 234,50 kr", "1234.50", "SEK"),
        ("1\u00a0234,50", "1234.50", "SEK"),
        ("1'234.50 CHF", "1234.50", "CHF"),
        ("1.234.567", "1234567", "SEK"),
        ("12,-", "12", "SEK"),
        (",50", "0.50", "SEK"),
        ("$5", "5", "USD"),
        ("0", "0", "SEK"),
    ],
)
def test_a_price_is_understood_with_comma_or_point(typed: str, amount: str, currency: str) -> None:
    """The figure is exact; the preferred currency counts when none is typed."""
    assert parse_price(typed, "SEK") == Price(Decimal(amount), currency)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("1,250", "write 1250 or 1.25"),
        ("1.255", r"write 1255 or 1\.2550"),
        ("-3", "below zero"),
        ("EUR 3 EUR", "twice"),
        ("cheap", "is not a price"),
        ("12 50", "is not a price"),
        ("12.50.3", "is not a price"),
        ("3 bananas", "is not a currency"),
    ],
)
def test_what_is_no_price_is_refused_with_the_way_out(typed: str, said: str) -> None:
    """One sentence; what can be read two ways is asked back with both."""
    with pytest.raises(BadInput, match=said):
        parse_price(typed, "EUR")


@given(st.decimals(0, 999_999, places=2, allow_nan=False))
def test_any_price_is_read_back_as_it_was_said(amount: Decimal) -> None:
    """With point, comma and thousands in the fashion of either."""
    price = Price(amount, "EUR")
    assert parse_price(price.words) == price
    assert parse_price(f"{amount:.2f}".replace(".", ","), "EUR") == price
    assert parse_price(f"{amount:,.2f} EUR") == price


def test_sums_are_exact_and_never_mix_currencies() -> None:
    """A thousand times ten cents is a hundred."""
    prices = [Price(Decimal("0.10"), "EUR")] * 1000 + [Price(Decimal(1), "GBP")]
    assert sums(prices) == {"EUR": Decimal(100), "GBP": Decimal(1)}
    assert parse_price("  ") is None


@pytest.mark.parametrize(
    ("typed", "day"),
    [
        ("2026-03-09", date(2026, 3, 9)),
        ("9.3.2026", date(2026, 3, 9)),
        ("09. 03. 2026", date(2026, 3, 9)),
        ("today", TODAY),
        ("Yesterday", date(2026, 3, 6)),
        ("in 2 weeks", date(2026, 3, 21)),
        ("+5", date(2026, 3, 12)),
        ("3 days ago", date(2026, 3, 4)),
        ("", None),
    ],
)
def test_days_as_they_are_typed(typed: str, day: date | None) -> None:
    """Written out, or counted from today."""
    assert parse_day(typed, TODAY) == day


@pytest.mark.parametrize(
    ("typed", "said"),
    [("3/9/2026", "day first by some"), ("2026-02-30", "no such date"), ("soon", "is not a date")],
)
def test_days_that_cannot_be_read_are_refused(typed: str, said: str) -> None:
    """A slash is not guessed; the sentence gives the forms."""
    with pytest.raises(BadInput, match=said):
        parse_day(typed, TODAY)
