"""The published tables that the tests check against, read from tests/reference."""

import csv
from pathlib import Path

FOLDER = Path(__file__).parent.parent / "reference"


def rows(name: str) -> list[dict[str, str]]:
    """The rows of a table; lines that start with # are its notes."""
    text = (FOLDER / name).read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if not line.startswith("#")]
    return list(csv.DictReader(lines))
