"""The tables beside the rules: CSV files whose `#` lines name the source, read once."""

from __future__ import annotations

import csv
from functools import cache
from importlib.resources import files


@cache
def read_table(name: str) -> tuple[dict[str, str], ...]:
    """The rows of `tables/<name>.csv` by column name, texts stripped."""
    text = files("tagbench.rules").joinpath("tables", f"{name}.csv").read_text("utf-8")
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("#")]
    head, *rows = csv.reader(lines, strict=True)
    return tuple({key: cell.strip() for key, cell in zip(head, row, strict=True)} for row in rows)
