"""Everything worth knowing about a thread on one card."""

from __future__ import annotations

import msgspec

from tagbench.trade.threads.designation import parse_thread
from tagbench.trade.threads.limits import limits_of
from tagbench.trade.threads.lookalikes import Lookalike, lookalikes
from tagbench.trade.threads.tapping import Tapping, tapping
from tagbench.trade.tools.spanners import AcrossFlats, spanner_sizes


class ThreadCard(msgspec.Struct, frozen=True):
    """A thread with its limits, its spanner and its look-alikes; the fields are the JSON keys."""

    designation: str
    """Standard spelling."""
    system: str
    """ISO metric, unified, Whitworth, cycle or BA."""
    series: str
    """coarse, fine, UNC, BSF, …; empty when not in the tables."""
    diameter_mm: float
    """Nominal outside diameter, mm."""
    pitch_mm: float
    """Pitch, mm."""
    threads_per_inch: float
    """Threads in 25.4 mm."""
    angle_deg: float
    """Flank angle, degrees."""
    stress_area_mm2: float
    """Tensile stress area, mm²."""
    major_max_mm: float
    """Largest outside diameter of the screw, mm."""
    major_min_mm: float
    """Smallest outside diameter of a new screw, mm."""
    limits_class: str
    """The class of these limits: 6g, 2A, medium, normal."""
    pitch_diameter_mm: float
    """Basic pitch (effective) diameter, mm."""
    hole_minor_min_mm: float
    """Smallest inside diameter of the hole, mm."""
    hole_minor_max_mm: float
    """Largest inside diameter of the hole, mm."""
    tapping: Tapping
    """The tap drill, and how much thread holds in which metal."""
    spanner_mm: float | None
    """Width across flats of the current hexagon, mm; None when no table holds it."""
    spanners: tuple[AcrossFlats, ...]
    """Every hexagon met on this thread, the likeliest first."""
    lookalikes: tuple[str, ...]
    """Designations of the threads mistaken for it, those that start in its hole first."""
    lookalike_notes: tuple[Lookalike, ...]
    """The same with what happens and what tells them apart."""


def thread_card(text: str, year: int | None = None) -> ThreadCard:
    """The card of a thread in any spelling; `year` of the machine puts its hexagon first.

    BadInput, with the accepted forms, for what names no thread.
    """
    thread = parse_thread(text)
    limits = limits_of(thread)
    spanners = tuple(spanner_sizes(thread, year=year))
    alike = tuple(lookalikes(thread))
    return ThreadCard(
        designation=thread.designation,
        system=thread.system,
        series=thread.series,
        diameter_mm=round(thread.diameter_mm, 4),
        pitch_mm=round(thread.pitch_mm, 4),
        threads_per_inch=round(thread.threads_per_inch, 3),
        angle_deg=thread.angle_deg,
        stress_area_mm2=round(limits.stress_area, 4),
        major_max_mm=round(limits.major_max, 4),
        major_min_mm=round(limits.major_min, 4),
        limits_class=limits.screw_class,
        pitch_diameter_mm=round(limits.hole_pitch_min, 4),
        hole_minor_min_mm=round(limits.hole_minor_min, 4),
        hole_minor_max_mm=round(limits.hole_minor_max, 4),
        tapping=tapping(thread),
        spanner_mm=spanners[0].across_mm if spanners else None,
        spanners=spanners,
        lookalikes=tuple(other.designation for other in alike),
        lookalike_notes=alike,
    )
