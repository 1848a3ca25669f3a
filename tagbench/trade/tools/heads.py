"""The registry of fastener heads: one row of `heads.csv` says how it is called and turned."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Literal

import msgspec

from tagbench.trade.published import read_table
from tagbench.trade.tools.spanners import SpannerPart


class Head(msgspec.Struct, frozen=True):
    """One kind of head."""

    head: str = ""
    """What it is called in a record: `raised countersunk`."""
    turned_by: Literal["", "spanner", "driver", "hex key", "hand"] = ""
    """What turns it; empty where only the drive says it."""
    spanner: SpannerPart | Literal[""] = ""
    """What it is for the tables of widths across flats; empty when no spanner goes on."""
    drivers_as: str = ""
    """The head whose rows of the table of drivers it shares; empty for its own."""


@cache
def _heads() -> Mapping[str, Head]:
    return {row["head"]: msgspec.convert(row, Head) for row in read_table("heads")}


def head_named(name: str) -> Head:
    """The head of that name; one that nothing is known of for any other."""
    return _heads().get(name, Head(name))
