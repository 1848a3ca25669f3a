"""One spelling of a day, a span of time, a number of things, a list cut short, a part's name."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime, timedelta

from tagbench.records import Part, Tables, Want

_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")

NO_ASSEMBLY = "no assembly"
"""Said of a part that was written down without one."""


def day(when: date) -> str:
    """`9 Mar 2026`, of a date or a moment: no order of figures that is read in two ways."""
    return f"{when.day} {_MONTHS[when.month - 1]} {when.year}"


def moment(when: datetime) -> str:
    """`9 Mar 2026, 18:30`."""
    return f"{day(when)}, {when:%H:%M}"


def span(time: timedelta) -> str:
    """`20 min`, `3 h`, `26 h`, `4 days`: as exact as it matters at the bench."""
    minutes = max(0, round(time.total_seconds() / 60))
    if minutes < 60:
        return f"{minutes} min"
    return f"{minutes // 60} h" if minutes < 72 * 60 else f"{minutes // (24 * 60)} days"


def plural(count: int, one: str, many: str = "") -> str:
    """`1 part`, `7 parts`; `many` where an s does not do: `2 boxes`."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def and_more(names: Iterable[str], more: int) -> str:
    """`A, B and 3 more`; without `more`, the names alone."""
    return ", ".join(names) + (f" and {more} more" if more > 0 else "")


def first_few(names: Sequence[str], most: int) -> str:
    """The first so many names, and how many more there are."""
    return and_more(names[:most], len(names) - most)


def named(part: Part) -> str:
    """A part in a sentence: `Backing plate TP-016-9`; one of twins with its side."""
    return f"{part.said} {part.code}"


def named_want(want: Want) -> str:
    """`Felt seal (want 3)`."""
    return f"{want.what} (want {want.id})"


def named_parts(parts: Sequence[Part]) -> str:
    """One part in a sentence, or how many there are: `7 parts`."""
    return named(parts[0]) if len(parts) == 1 else plural(len(parts), "part")


def named_codes(codes: Iterable[str], tables: Tables) -> list[str]:
    """Parts in a sentence by their codes; a code whose record is gone stands alone."""
    parts = tables.parts
    return [named(parts[code]) if code in parts else code for code in codes]


def quantity(count: int, what: str) -> str:
    """`2 × felt seal`."""
    return f"{count} × {what}"


def counted(part: Part) -> str:
    """The name, with how many there are when there are several: `2 × Rear wheel`."""
    return quantity(part.quantity, part.said) if part.quantity > 1 else part.said


def titled(part: Part) -> str:
    """How many, what, which side: `2 × Rear wheel, right`."""
    what = quantity(part.quantity, part.name) if part.quantity > 1 else part.name
    return ", ".join(filter(None, [what, part.position]))


def came_from(part: Part) -> str:
    """Assembly and position: `Front wheel / Brake, left`; empty when neither was said."""
    return ", ".join(filter(None, [part.assembly, part.position]))
