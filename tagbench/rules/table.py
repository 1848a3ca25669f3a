"""Tables as CSV: those beside the rules, read once, and those that are written out."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable

from tagbench.trade import published


def read_table(name: str) -> tuple[dict[str, str], ...]:
    """The rows of `tables/<name>.csv` beside the rules by column name."""
    return published.read_table(name, "tagbench.rules")


def csv_text(rows: Iterable[Iterable[object]]) -> str:
    """Rows as CSV in the one dialect of the project: RFC 4180, lines that end with CR LF."""
    out = io.StringIO()
    written = ([defused(cell) for cell in row] for row in rows)
    csv.writer(out, lineterminator="\r\n").writerows(written)
    return out.getvalue()


_RUN = re.compile(r"'*\s*[=+\-@]")
"""How a cell begins that a spreadsheet would run as a formula, or that was defused before."""


def defused(cell: object) -> object:
    """A text that a spreadsheet would run, with `'` in front; anything else as it is."""
    return f"'{cell}" if isinstance(cell, str) and _RUN.match(cell) else cell


def as_typed(cell: str) -> str:
    """The reverse of `defused`: what the cell said before."""
    return cell[1:] if cell.startswith("'") and _RUN.match(cell) else cell
