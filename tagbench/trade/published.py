"""Reads the tables of the program: CSV with their source in the head and by row."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Literal, cast

import msgspec

Sureness = Literal["certain", "sure", "fair", "unsure"]


class Source(msgspec.Struct, frozen=True):
    """Where a row of a table comes from."""

    words: str
    """The publication, or that it is common practice or memory."""
    sure: Sureness
    """How far to trust it; the head of `tables/sources.csv` says what each word means."""


@cache
def read_table(name: str, package: str = "tagbench.trade") -> tuple[dict[str, str], ...]:
    """The rows of `tables/<name>.csv` of a package by column name, texts stripped.

    Lines that begin with "# " are the source. A row with a cell too many or too few is an error.
    """
    text = files(package).joinpath("tables", f"{name}.csv").read_text("utf-8")
    lines = [line for line in text.splitlines() if line.strip() and not line.startswith("# ")]
    head, *rows = csv.reader(lines, strict=True)
    return tuple({key: cell.strip() for key, cell in zip(head, row, strict=True)} for row in rows)


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
