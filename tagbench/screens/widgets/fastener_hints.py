"""What is said about a fastener while it is being typed: its tool, and what it is mistaken for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from textual.content import Content

from tagbench.errors import BadInput
from tagbench.records import Fastener
from tagbench.rules.count.mixed_threads import mixed_threads, mixed_with
from tagbench.trade.fasteners.spelling import is_threaded
from tagbench.trade.threads import lookalikes
from tagbench.trade.tools.bench import Tool, tools_for

TURNING = ("spanner", "hex key", "screwdriver", "six-lobe driver")
"""The tools that turn a fastener; those for its locking are told on the rebuild."""


@dataclass(frozen=True, slots=True)
class Hints:
    """What is known of the machine that the fastener belongs to."""

    year: int | None = None
    """Year of the machine, which decides the likeliest hexagon."""
    threads: Mapping[str, str] = field(default_factory=dict)
    """The threads it has already, each with the code of a part."""

    def words(self, fastener: Fastener) -> Content:
        """The tool, then the thread of this machine that it is mistaken for, else any other."""
        tools = ", ".join(tool_words(fastener, self.year))
        said = [Content.styled(f"   {tools}", "$quiet")] if tools else []
        mixed = mixed_with(fastener.thread, self.threads) if is_threaded(fastener) else []
        said += [Content.styled(f"\n! {one.words}", "$warning") for one in mixed]
        if not mixed and (alike := lookalike(fastener)):
            said.append(Content.styled(f"   look-alike {alike}", "$quiet"))
        return Content("").join(said)

    def mix_ups(self, fasteners: Iterable[Fastener]) -> list[str]:
        """A sentence for each pair that the fasteners make with the machine or among themselves."""
        threads = [one.thread for one in fasteners if is_threaded(one)]
        found = (one for thread in threads for one in mixed_with(thread, self.threads))
        told = [f"{one.sentence} It is on {one.code}." for one in found]
        return list(dict.fromkeys([*told, *mixed_threads(threads)]))


def tool_words(fastener: Fastener, year: int | None) -> list[str]:
    """`spanner 8 mm`, `2 × spanner 13 mm`, `slot 1.2 mm`; nothing where no table holds it."""
    found = [tool for tool in tools_for(fastener, year) if tool.tool in TURNING and tool.size]
    return [f"{_many(tool)}{_name(tool)}{tool.size}" for tool in found]


def _many(tool: Tool) -> str:
    return f"{tool.pieces} × " if tool.pieces > 1 else ""


def _name(tool: Tool) -> str:
    """The size of a screwdriver says already what it is."""
    return "" if tool.tool == "screwdriver" else f"{tool.tool} "


def lookalike(fastener: Fastener) -> str:
    """The thread that it is likeliest mistaken for, of those that start in each other's holes."""
    if not is_threaded(fastener) or not fastener.thread:
        return ""
    try:
        first = next(iter(lookalikes(fastener.thread)), None)
    except BadInput:
        return ""
    return first.designation if first and first.starts else ""
