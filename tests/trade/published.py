"""Reads the published figures in tests/reference/."""

from __future__ import annotations

import csv
import tomllib
from pathlib import Path
from typing import Any

_FOLDER = Path(__file__).parent.parent / "reference"


def rows(name: str) -> list[dict[str, str]]:
    """The rows of tests/reference/`name`.csv."""
    with (_FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("# ")))


def examples(topic: str) -> dict[str, dict[str, Any]]:
    """The worked examples of one topic by their id."""
    text = (_FOLDER / "worked_examples.toml").read_text(encoding="utf-8")
    found: list[dict[str, Any]] = tomllib.loads(text)["example"]
    return {example["id"]: example for example in found if example["topic"] == topic}
