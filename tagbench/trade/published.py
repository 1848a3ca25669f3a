"""Reads the published tables beside this file: CSV with their source in the head and by row."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Literal, cast

import msgspec

_FOLDER = Path(__file__).with_name("tables")

Sureness = Literal["certain", "sure", "fair", "unsure"]


class Source(msgspec.Struct, frozen=True):
    """Where a row of a table comes from."""

    words: str
    """The publication, or that it is common practice or memory."""
    sure: Sureness
    """How far to trust it; the head of `tables/sources.csv` says what each word means."""


def read_table(name: str) -> list[dict[str, str]]:
    """The rows of `tables/<name>.csv` by column name; lines that begin with "# " are its source."""
    with (_FOLDER / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("# ")))


def source_of(table: str, row: Mapping[str, str]) -> Source:
    """Where that row of the table comes from; KeyError for a row that does not say it."""
    key = row["source"]
    known = _sources()
    return known[table, key] if (table, key) in known else known["*", key]


@cache
def _sources() -> Mapping[tuple[str, str], Source]:
    return {
        (row["table"], row["key"]): Source(row["source"], cast("Sureness", row["sure"]))
        for row in read_table("sources")
    }
