"""What to have on the bench for a set of fasteners."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Literal

import msgspec

from tagbench.errors import BadInput
from tagbench.records import Fastener
from tagbench.trade.fasteners.spelling import is_threaded, spell_torque
from tagbench.trade.fasteners.vocabulary import lock_item
from tagbench.trade.threads.designation import parse_thread
from tagbench.trade.threads.thread import Thread
from tagbench.trade.tools.drivers import cross_driver, hex_key, slot_blade
from tagbench.trade.tools.heads import head_named
from tagbench.trade.tools.spanners import SpannerPart, spanner_sizes

#: Tools in the order in which they are laid out.
_ORDER = (
    "spanner",
    "hex key",
    "screwdriver",
    "six-lobe driver",
    "pliers",
    "circlip pliers",
    "drift",
    "torque wrench",
    "thread lock",
)
#: Nuts that stay in their sheet: no spanner goes on them.
_HELD_NUTS = ("rivet nut", "captive nut", "cage nut", "clip nut", "weld nut")
_OTHER_TOOLS = {
    "cotter pin": "pliers",
    "R-clip": "pliers",
    "tab washer": "drift",
    "lock wire": "pliers",
    "circlip": "circlip pliers",
    "dowel pin": "drift",
    "spring pin": "drift",
    "taper pin": "drift",
    "thread lock": "thread lock",
}


class Tool(msgspec.Struct, frozen=True):
    """A tool to lay out, and what it is for."""

    tool: str
    """spanner, hex key, screwdriver, pliers, circlip pliers, drift, torque wrench, …"""
    size: str
    """The size that is likeliest to fit; empty for a tool without one."""
    others: tuple[str, ...] = ()
    """Sizes that heads of another standard take, with the standard."""
    used_on: tuple[str, ...] = ()
    """The fasteners it is for: thread and head or kind."""
    pieces: int = 1
    """How many are needed at once, two for a bolt and its nut."""


def bench_list(fasteners: Iterable[Fastener], year: int | None = None) -> list[Tool]:
    """The tools for all these fasteners, each once, in the order of laying out.

    `year` of the machine decides which standard of hexagon is likeliest. A fastener whose
    thread is not known yet asks for nothing.
    """
    needed: dict[tuple[str, str], Tool] = {}
    turned: dict[tuple[tuple[str, str], str], set[bool]] = {}
    for fastener in fasteners:
        for tool in tools_for(fastener, year):
            key = tool.tool, tool.size
            ends = turned.setdefault((key, fastener.thread), set())
            ends.add("nut" in fastener.kind)
            if tool.tool == "spanner" and len(ends) > 1:  # the bolt is held while its nut turns
                tool = msgspec.structs.replace(tool, pieces=2)
            needed[key] = _merged(needed.get(key), tool)
    return sorted(needed.values(), key=_place)


def _merged(before: Tool | None, tool: Tool) -> Tool:
    if before is None:
        return tool
    return msgspec.structs.replace(
        before,
        used_on=tuple(dict.fromkeys((*before.used_on, *tool.used_on))),
        pieces=max(before.pieces, tool.pieces),
    )


def _place(tool: Tool) -> tuple[int, float, str]:
    number = re.search(r"[0-9.]+", tool.size)
    return _ORDER.index(tool.tool), float(number[0]) if number else 0.0, tool.size


def tools_for(fastener: Fastener, year: int | None = None) -> list[Tool]:
    """The tools for one fastener: to turn it, hold its nut, lock it and torque it."""
    tools = _turning(fastener, year)
    for name in (fastener.kind, *map(lock_item, fastener.locking)):
        if name in _OTHER_TOOLS:
            tools.append(Tool(_OTHER_TOOLS[name], ""))
    if fastener.torque:
        tools.append(Tool("torque wrench", f"for {spell_torque(fastener.torque)}"))
    named = f"{fastener.thread} {fastener.head or fastener.kind}".strip()
    return [msgspec.structs.replace(tool, used_on=(named,)) for tool in tools]


def _turning(fastener: Fastener, year: int | None) -> list[Tool]:
    thread = _thread(fastener)
    if thread is None:
        return []
    by_hand = head_named(fastener.head).turned_by == "hand"
    tools = [] if by_hand else _on_the_head(fastener, thread, year)
    if any("nut" in lock_item(item) for item in fastener.locking):
        for nut in _spanner(thread, "nut", year):
            same = next((tool for tool in tools if tool.size == nut.size), None)
            if same:
                tools.remove(same)
            tools.append(msgspec.structs.replace(nut, pieces=2 if same else 1))
    return tools


def _thread(fastener: Fastener) -> Thread | None:
    """The thread to be turned; None without one, or with a spelling from elsewhere."""
    if not is_threaded(fastener):
        return None
    try:
        return parse_thread(fastener.thread)
    except BadInput:
        return None


def _on_the_head(fastener: Fastener, thread: Thread, year: int | None) -> list[Tool]:
    if fastener.kind in _HELD_NUTS:
        return []
    if "nut" in fastener.kind:
        return _spanner(thread, _nut_part(fastener), year)
    tools = _driver(fastener, thread)
    part = spanner_part(fastener)
    if part and fastener.drive != "hex socket":
        tools += _spanner(thread, part, year)
    return tools


def spanner_part(fastener: Fastener) -> SpannerPart | Literal[""]:
    """What a spanner finds on a screw or bolt; empty when none goes on.

    A bolt without a head named is a hexagon; a square-headed set screw is a part of its own.
    """
    if fastener.head == "square" and fastener.kind == "set screw":
        return "set screw"
    if fastener.kind == "bolt" and not fastener.head:
        return "bolt"
    return head_named(fastener.head).spanner


def _nut_part(fastener: Fastener) -> SpannerPart:
    if fastener.head == "flange" or "flange" in fastener.kind:
        return "flange nut"
    return "square nut" if fastener.head == "square" or "square" in fastener.kind else "nut"


def _driver(fastener: Fastener, thread: Thread) -> list[Tool]:
    head, drive = fastener.head, fastener.drive
    turned_by = head_named(head).turned_by
    if drive == "hex socket" or (turned_by == "hex key" and not drive):
        return [Tool("hex key", hex_key(thread, head))]
    blade, cross = _sized("slot", slot_blade(thread, head)), _sized("cross", cross_driver(thread))
    if drive == "slot":
        return [Tool("screwdriver", blade)]
    if drive == "cross":
        return [Tool("screwdriver", cross)]
    if drive == "six-lobe":
        return [Tool("six-lobe driver", "")]
    return [Tool("screwdriver", blade, (cross,))] if turned_by == "driver" else []


def _sized(shape: str, size: str) -> str:
    return f"{shape} {size}".strip()


def _spanner(thread: Thread, part: SpannerPart, year: int | None) -> list[Tool]:
    sizes = spanner_sizes(thread, part, year)
    if not sizes:
        return [Tool("spanner", f"for {thread.designation}, try which fits")]
    others = tuple(f"{other.spanner} on {other.standard}" for other in sizes[1:])
    return [Tool("spanner", sizes[0].spanner, others)]
