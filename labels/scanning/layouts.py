"""Keyboard layouts: undoing what a wrongly set layout did to a scan.

A hand scanner plays a keyboard. When it and the computer disagree about the layout, `TP-017-K`
arrives as `TPß017ßK` or `TP)à&è)K`. Each layout gives one way to undo that; which way was the
right one is for the check character to say.
"""

from collections.abc import Iterator
from functools import cache


@cache
def _tables() -> tuple[dict[int, int], ...]:
    """For each layout, what came → what was meant, ready for `str.translate`."""
    import csv
    from importlib.resources import files

    lines = (files("labels") / "layouts.csv").read_text(encoding="utf-8").splitlines()
    rows = csv.DictReader(line for line in lines if not line.startswith("#"))
    return tuple(str.maketrans(row["came"], row["meant"]) for row in rows)


def undamaged(text: str) -> Iterator[str]:
    """What `text` may have been before a wrong keyboard layout, one text a layout."""
    for table in _tables():
        meant = text.translate(table)
        if meant != text:
            yield meant
