"""The known of label stock: what is shipped, and what a person adds in a TOML file of their own."""

import re
import tomllib
from collections.abc import Iterable, Mapping
from difflib import get_close_matches
from functools import cache
from importlib.resources import files
from pathlib import Path

import msgspec

from labels.errors import StockError
from labels.stock.geometry import Box, Insets, PunchedHole, Stock, StockKind

__all__ = [
    "Box",
    "Insets",
    "PunchedHole",
    "Stock",
    "find_stock",
    "load_stock",
    "shipped_stock",
    "whole_page",
]

PAGES = {"a4": (210.0, 297.0), "a5": (148.0, 210.0), "letter": (215.9, 279.4)}
"""Width and height of plain paper in mm (ISO 216, ANSI A)."""

Pair = tuple[float, float]


class _Table(msgspec.Struct, forbid_unknown_fields=True, frozen=True):
    """One table of a stock file, as `stock.toml` explains it."""

    kind: StockKind
    page: Pair
    label: Pair
    columns: int = 1
    rows: int = 1
    margin: Pair = (0.0, 0.0)
    pitch: Pair | None = None
    dots_per_mm: float | None = None
    dots_per_inch: float | None = None
    unprintable: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)
    hole: tuple[float, float, float] | None = None


@cache
def shipped_stock() -> Mapping[str, Stock]:
    """The stock that comes with the library, by name."""
    text = (files("labels") / "stock.toml").read_text(encoding="utf-8")
    return _read(text, "the stock that comes with the program")


def load_stock(extra_files: Iterable[Path] = ()) -> dict[str, Stock]:
    """All stock by name: the shipped, then that of each file, later ones winning.

    Raises `StockError` for a file that cannot be read or geometry that does not close.
    """
    known = dict(shipped_stock())
    for path in extra_files:
        try:
            text = path.read_text(encoding="utf-8-sig")  # some editors put a mark first
        except (OSError, UnicodeDecodeError) as error:
            raise StockError(f"The stock file {path} cannot be read: {error}.") from error
        known.update(_read(text, str(path)))
    return known


def _read(text: str, source: str) -> dict[str, Stock]:
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise StockError(f"The stock file {source} is not valid TOML: {error}.") from error
    return {name: _stock(name, table, source) for name, table in tables.items()}


def whole_page(name: str) -> Stock:
    """A whole sheet of plain paper as one label, for a large bolt card: `a4`, `letter`.

    Raises `StockError` for another name.
    """
    size = PAGES.get(name.lower())
    if not size:
        raise StockError(f"There is no page {name!r}; try {' or '.join(PAGES)}.")
    edges = Insets(4.3, 4.3, 4.3, 4.3)
    return Stock(name.lower(), "card", *size, *size, dots_per_mm=300 / 25.4, unprintable=edges)


def find_stock(name: str, known: Mapping[str, Stock] | None = None) -> Stock:
    """The stock of that name; raises `StockError` naming close ones."""
    known = shipped_stock() if known is None else known
    if name in known:
        return known[name]
    close = get_close_matches(name.lower(), known, n=3, cutoff=0.4) or sorted(known)
    raise StockError(f"There is no label stock {name!r}; try {', '.join(close)}.")


_WANTED = {
    "kind": "“sheet”, “roll” or “card”",
    "page": "width and height in mm, [210, 297]",
    "label": "width and height in mm, [70, 37]",
    "margin": "mm at the left and at the top, [0, 0.5]",
    "pitch": "mm across and down, [70, 37]",
    "columns": "a whole number",
    "rows": "a whole number",
    "dots_per_mm": "a number, 8",
    "dots_per_inch": "a number, 300",
    "unprintable": "mm at left, top, right and bottom, [4, 4, 4, 4]",
    "hole": "its centre from left and top and its width in mm, [8, 15, 5]",
}
"""What each line of a stock file holds, with an example."""


def _what_is_wrong(table: object, error: str) -> str:
    """The line of a table that is wrong, as it was written and as it should be; else `error`."""
    match = re.search(r"`\$\.(\w+)", error)
    key = match[1] if match else ""
    if not isinstance(table, dict) or key not in _WANTED:
        return error
    return f"{key} is {table[key]!r} and should be {_WANTED[key]}"


def _stock(name: str, table: object, source: str) -> Stock:
    if isinstance(table, dict) and any(isinstance(value, dict) for value in table.values()):
        raise StockError(f'Stock {name}… in {source}: a name with a dot needs quotes, ["a.b"].')
    try:
        row = msgspec.convert(table, _Table)
    except msgspec.ValidationError as error:
        said = _what_is_wrong(table, str(error))
        raise StockError(f"Stock {name} in {source} is not understood: {said}.") from error
    if (row.dots_per_mm is None) == (row.dots_per_inch is None):
        raise StockError(f"Stock {name} in {source} needs either dots_per_inch or dots_per_mm.")
    pitch = row.pitch or row.label
    return Stock(
        name=name,
        kind=row.kind,
        page_width=row.page[0],
        page_height=row.page[1],
        label_width=row.label[0],
        label_height=row.label[1],
        dots_per_mm=row.dots_per_mm or (row.dots_per_inch or 0) / 25.4,
        columns=row.columns,
        rows=row.rows,
        margin_left=row.margin[0],
        margin_top=row.margin[1],
        pitch_x=pitch[0],
        pitch_y=pitch[1],
        unprintable=Insets(*row.unprintable),
        hole=PunchedHole(*row.hole) if row.hole else None,
    )
