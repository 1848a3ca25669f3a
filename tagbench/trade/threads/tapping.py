"""The drill to tap a hole with, and how much thread holds."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import msgspec

from tagbench.trade.published import read_table
from tagbench.trade.threads.limits import limits_of
from tagbench.trade.threads.thread import Thread

#: Steps of drills that a shop stocks, mm: up to this diameter in this step (ISO 235 as sold).
_STEPS = ((3.0, 0.05), (14.0, 0.1), (32.0, 0.25), (1000.0, 0.5))
#: Depth of the basic profile per pitch by flank angle; a tap drill leaves 70 to 95 % of it.
_FULL_DEPTH = {60.0: 1.0825, 55.0: 1.2807, 47.5: 1.2}

_NPT_DEPTH = 1.6
"""The same of the NPT profile, 0.8 p a side."""


@cache
def engaged_diameters() -> Mapping[str, float]:
    """Metal → least thread that holds what the screw holds, in diameters."""
    return {row["metal"]: float(row["diameters"]) for row in read_table("engagement")}


class Tapping(msgspec.Struct, frozen=True):
    """How a hole for a thread is drilled and how long it must be."""

    drill_mm: float
    """Drill of the usual steps, mm; inside the limits of the hole where one of them is."""
    inside_limits: bool
    """True when the drill lies inside the limits of the hole's inside diameter."""
    depth_percent: float
    """Thread depth that it leaves, percent of the basic profile."""
    engaged_mm: dict[str, float]
    """Metal → length of thread that holds as much as the screw, mm (common practice); none for a
    pipe, which has to seal and not to hold."""


def tapping(thread: Thread) -> Tapping:
    """The drill nearest to diameter less pitch that the hole's limits allow.

    For a taper pipe thread the drill is that of its small end, before reaming.
    """
    limits = limits_of(thread)
    low, high = limits.hole_minor_min, limits.hole_minor_max
    wanted = min(max(thread.diameter_mm - thread.pitch_mm, low), high)
    step = next(step for up_to, step in _STEPS if wanted <= up_to)
    at = round(wanted / step)
    drills = [round(step * count, 3) for count in range(max(at - 4, 1), at + 5)]
    inside = [drill for drill in drills if low - 1e-6 <= drill <= high + 1e-6]
    if not inside and step > 0.1:
        at = round(wanted / 0.1)
        drills = [round(0.1 * count, 3) for count in range(max(at - 4, 1), at + 5)]
        inside = [drill for drill in drills if low - 1e-6 <= drill <= high + 1e-6]
    # of two as near the even one, as the printed tables have it: 10.2 for M12, 8.8 for M10x1.25
    drill = min(
        inside or drills,
        key=lambda one: (round(abs(one - wanted), 3), round(one / step) % 2),
    )
    taper = limits.hole_class == "taper"
    share = _NPT_DEPTH if thread.system == "NPT" else _FULL_DEPTH[thread.angle_deg]
    full = share * thread.pitch_mm
    across = limits.major_min if taper else thread.diameter_mm
    lengths = {} if thread.system in ("BSP", "NPT") else engaged_diameters()
    return Tapping(
        drill_mm=drill,
        inside_limits=bool(inside),
        depth_percent=round(100 * (across - drill) / full, 1),
        engaged_mm={
            metal: round(times * thread.diameter_mm, 2) for metal, times in lengths.items()
        },
    )
