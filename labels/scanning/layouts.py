"""Keyboard layouts: undoing what a wrongly set layout did to a scan.

A hand scanner plays a keyboard. When it and the computer disagree about the layout, `TP-017-K`
arrives as `TPß017ßK` or `TP)à&è)K`. Each layout gives one way to undo that; which way was the
right one is for the check character to say.
"""

from collections.abc import Iterator
from functools import cache


@cache
def _rows() -> tuple[dict[str, str], ...]:
    import csv
    from importlib.resources import files

    lines = (files("labels") / "layouts.csv").read_text(encoding="utf-8").splitlines()
    return tuple(csv.DictReader(line for line in lines if not line.startswith("#")))


@cache
def _tables() -> tuple[dict[int, int], ...]:
    """For each layout, what came → what was meant, ready for `str.translate`."""
    return tuple(str.maketrans(row["came"], row["meant"]) for row in _rows())


def undamaged(text: str) -> Iterator[str]:
    """What `text` may have been before a wrong keyboard layout, one text a layout."""
    for table in _tables():
        meant = text.translate(table)
        if meant != text:
            yield meant


def letter_by_place(sign: str, language: str = "") -> str:
    """The letter that a US keyboard has on the key that gave `sign`; empty where none is known.

    For keyboards in another script, whose letters cannot be typed for a Latin one. `language` (two
    letters, as locales have it) says which of two layouts with that sign it is.
    """
    return _places(_LAYOUT_OF.get(language, language)).get(sign, "")


_LAYOUT_OF = {"uk": "ua", "el": "gr"}
"""Language → its layout, where they are called differently."""


@cache
def _places(layout: str) -> dict[str, str]:
    places: dict[str, str] = {}
    mine = [row for row in _rows() if row["set"] == "computer" and row["layouts"] == layout]
    for row in [*mine, *_rows()]:
        if row["set"] == "computer":
            for came, meant in zip(row["came"], row["meant"], strict=True):
                if not came.isascii() and came.isalpha() and meant.isascii() and meant.isalpha():
                    places.setdefault(came, meant)
    return places
