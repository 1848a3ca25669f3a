"""Tables as CSV: those beside the rules, read once, and those that are written out."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable
from functools import cache
from importlib.resources import files


@cache
def read_table(name: str) -> tuple[dict[str, str], ...]:
    """The rows of `tables/<name>.csv` by column name, texts stripped."""
    text = files("tagbench.rules").joinpath("tables", f"{name}.csv").read_text("utf-8")
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    head, *rows = csv.reader(lines, strict=True)
    return tuple({key: cell.strip() for key, cell in zip(head, row, strict=True)} for row in rows)


def csv_text(rows: Iterable[Iterable[object]]) -> str:
    """Rows as CSV in the one dialect of the project: RFC 4180, lines that end with CR LF."""
    out = io.StringIO()
    csv.writer(out, lineterminator="\r\n").writerows(rows)
    return out.getvalue()
