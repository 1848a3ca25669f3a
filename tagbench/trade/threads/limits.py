"""The limits of any thread, by the formulas of its own standard."""

from __future__ import annotations

from functools import lru_cache

from tagbench.trade.threads.british import british_limits
from tagbench.trade.threads.iso import iso_limits
from tagbench.trade.threads.pipe import pipe_limits
from tagbench.trade.threads.thread import Thread, ThreadLimits
from tagbench.trade.threads.unified import unified_limits


@lru_cache(maxsize=2048)
def limits_of(thread: Thread) -> ThreadLimits:
    """The ordinary workshop fit (6g/6H, 2A/2B, medium, normal) of `thread`, mm and mm²."""
    if thread.system == "ISO metric":
        return iso_limits(thread)
    if thread.system == "unified":
        return unified_limits(thread)
    if thread.system in ("BSP", "NPT"):
        return pipe_limits(thread)
    return british_limits(thread)
