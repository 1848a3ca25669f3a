"""Reads the tables of the program: CSV with what the columns mean and their source in the head."""

from __future__ import annotations

import csv
from functools import cache
from importlib import import_module
from pathlib import Path


@cache
def read_table(name: str, package: str = "tagbench.trade") -> tuple[dict[str, str], ...]:
    """The rows of `tables/<name>.csv` of a package by column name, texts stripped.

    Lines that begin with "# " are the source, or say what the columns mean. A row with a cell too
    many or too few is an error.
    """
    beside = Path(str(import_module(package).__file__))
    text = beside.with_name("tables").joinpath(f"{name}.csv").read_text("utf-8")
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("# ")]
    head, *rows = csv.reader(lines, strict=True)
    return tuple({key: cell.strip() for key, cell in zip(head, row, strict=True)} for row in rows)
