"""Reads the published tables beside this file: CSV with their source in the head."""

from __future__ import annotations

import csv
from pathlib import Path

_FOLDER = Path(__file__).with_name("tables")


def read_table(name: str) -> list[dict[str, str]]:
    """The rows of `tables/<name>.csv` by column name; lines that begin with "# " are its source."""
    with (_FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("# ")))
