"""The date code of a tyre: the last figures of the DOT number in its oval.

Four figures since 2000: week and year. Three figures before: week and the last figure of the
year, whose decade the code does not tell (a small triangle after it points to the nineties).
Sources: public pages on tyre codes, read; the age limits are advice, 5 to 10 years.
"""

from __future__ import annotations

import re
from datetime import date

import msgspec

from tagbench.errors import BadInput

TRIANGLES = "◁△<^"
"""The small triangle, and what people type for it."""
WATCH_YEARS, END_YEARS = 5, 10
"""From the first on a tyre is looked at each year; at the second it is not trusted."""


class TyreDate(msgspec.Struct, frozen=True):
    """When a tyre was made."""

    week: int
    """Week of the year, 1 to 53."""
    year: int | None
    """The year; None where the code does not tell the decade."""
    years: tuple[int, ...]
    """The years that it may be, latest first."""
    age: float | None
    """Years from then to today; for an old code at least this many."""
    sentence: str
    """The same in words."""


def tyre_date(code: str, today: date) -> TyreDate:
    """`2501` is week 25 of 2001; `317` week 31 of a year that ends in 7, `317◁` of 1997.

    `code` may be the whole DOT number. BadInput for figures that are no date.
    """
    found = re.search(r"(?<![0-9])([0-9]{4}|[0-9]{3})\s*$", code.strip(f" {TRIANGLES}"))
    week = int(found[1][:2]) if found else 0
    if not found or not 1 <= week <= 53:
        raise BadInput(
            f"“{code}” is not a tyre date; read the last four figures in the oval, as 2319"
            " (week 23 of 2019), or three on one made before 2000."
        )
    if len(found[1]) == 3:
        return _before_2000(week, int(found[1][2]), today, any(sign in code for sign in TRIANGLES))
    year = 2000 + int(found[1][2:])
    age = _age(year, week, today)
    if age < 0:
        raise BadInput(f"“{code}” would be week {week} of {year}, which is still to come.")
    return TyreDate(week, year, (year,), age, f"Week {week} of {year}: {_advice(age)}")


def _before_2000(week: int, figure: int, today: date, triangle: bool) -> TyreDate:
    years = (1990 + figure,) if triangle else (1990 + figure, 1980 + figure, 1970 + figure)
    age = _age(years[0], week, today)
    which = " or ".join(map(str, years))
    sentence = f"Three figures: week {week} of {which}; at least {age:.0f} years old, not trusted."
    return TyreDate(week, years[0] if triangle else None, years, age, sentence)


def _age(year: int, week: int, today: date) -> float:
    made = date(year, 1, 1).toordinal() + 7 * (week - 1)
    return (today.toordinal() - made) / 365.2425


def _advice(age: float) -> str:
    shown = f"{age:.0f} years old"
    if age >= END_YEARS:
        return f"{shown}, past {END_YEARS}: not trusted, however deep the tread."
    if age >= WATCH_YEARS:
        return f"{shown}: look for cracks every year, {END_YEARS} is the end."
    return f"{shown}; the tyre maker's advice and local rules go first."
