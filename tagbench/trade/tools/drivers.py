"""Hexagon keys, screwdriver blades and cross-recess drivers by thread and head."""

from __future__ import annotations

from functools import cache

from tagbench.trade.published import read_table
from tagbench.trade.quantities.shown import show_length
from tagbench.trade.quantities.typed import parse_number
from tagbench.trade.quantities.units import Quantity
from tagbench.trade.threads.sizes import size_text
from tagbench.trade.threads.thread import Thread
from tagbench.trade.tools.heads import head_named

_SYSTEMS = {"ISO metric": "metric", "unified": "unified"}


def hex_key(thread: Thread, head: str) -> str:
    """The hexagon key of a socket, countersunk, button or grub screw: `5 mm`, `3/16 in`.

    Empty when the tables do not hold it.
    """
    return _look_up(thread, "hex key", (head_named(head).drivers_as or head, "socket"))


def slot_blade(thread: Thread, head: str) -> str:
    """Thickness of the screwdriver blade that fills the slot: `1.2 mm`; empty when unknown."""
    return _look_up(thread, "slot", (head, "any"))


def cross_driver(thread: Thread) -> str:
    """Number of the driver for a cross recess: `no. 2`; empty when unknown."""
    return _look_up(thread, "cross", ("any",))


def _look_up(thread: Thread, tool: str, heads: tuple[str, ...]) -> str:
    system, size = _SYSTEMS.get(thread.system, ""), size_text(thread)
    for head in heads:
        if found := _rows().get((system, size, tool, head)):
            return found
    return ""


@cache
def _rows() -> dict[tuple[str, str, str, str], str]:
    return {
        (row["system"], row["size"], row["tool"], row["heads"]): _shown(row["value"], row["unit"])
        for row in read_table("drivers")
    }


def _shown(value: str, unit: str) -> str:
    if unit == "no.":
        return f"no. {value}"
    return show_length(Quantity(parse_number(value), unit))
