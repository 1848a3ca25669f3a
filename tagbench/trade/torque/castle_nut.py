"""Castle nuts: as people say them, how far to the next slot, which pin, and how to go there."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache
from math import lcm

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.published import read_table
from tagbench.trade.quantities.units import Range
from tagbench.trade.threads.designation import parse_thread
from tagbench.trade.threads.thread import Thread
from tagbench.trade.torque.castle_nut_use import (
    ASK,
    Bearing,
    NutUse,
    Play,
    adjusting_steps,
    clamping_steps,
    free_play,
)

_SLOTS = re.compile(r"\b([0-9]{1,3})\s*-?\s*slots?\b", re.IGNORECASE)
_HOLES = re.compile(
    r"\b([0-9]{1,3}|one|two)\s*(?:cross|cotter|pin|drilled)?[\s-]*holes?\b", re.IGNORECASE
)
_NUMBERS = {"one": 1, "two": 2}


class CotterPin(msgspec.Struct, frozen=True):
    """The cotter pin that usually belongs to a castle nut."""

    diameter_mm: float
    """Nominal diameter, that of the hole, mm."""
    length_mm: float | None
    """Length, mm; None when only the diameter is known."""

    def spelled(self) -> str:
        """`3.2x22` or `3.2`, as in a fastener."""
        length = "" if self.length_mm is None else f"x{self.length_mm:g}"
        return f"{self.diameter_mm:g}{length}"


class CastleNut(msgspec.Struct, frozen=True):
    """What to know before the nut is tightened, and what to do."""

    slots: int
    """Slots of the nut."""
    cross_holes: int
    """Holes through the bolt, evenly spaced."""
    step_deg: float
    """Turn from one alignment to the next, which is also the most it can lie beyond."""
    step_mm: float | None
    """The same as movement along the bolt, mm; None without a thread."""
    cotter_pin: CotterPin | None
    """The pin that usually belongs there; None when no table holds it."""
    use: NutUse
    """clamps, adjusts or unclear."""
    play: Play | None
    """The free play that an adjusting nut leaves; None for one that clamps."""
    sentences: tuple[str, ...]
    """What to do, in order; one question where it is unclear."""


def alignment_step(slots: int = 6, cross_holes: int = 1) -> Fraction:
    """Degrees from one alignment of slot and hole to the next.

    A pin goes through two opposite slots, so the slots are an even number. BadInput otherwise.
    """
    if slots < 2 or slots % 2 or slots > 24:
        raise BadInput("A castle nut has an even number of slots, usually 6.")
    if not 1 <= cross_holes <= 4:
        raise BadInput("A bolt has one cross-hole or a few, usually 1 or 2.")
    return Fraction(360, lcm(slots, 2 * cross_holes))  # a hole has two ends


def castle_nut(
    thread: str | Thread | None = None,
    torque: Range | None = None,
    slots: int = 6,
    cross_holes: int = 1,
    use: NutUse = "clamps",
    bearing: Bearing | None = None,
) -> CastleNut:
    """Guidance for a castle nut that clamps a joint, or that adjusts a bearing.

    `bearing` is taper unless said. BadInput for an unknown thread or an impossible nut.
    """
    thread = parse_thread(thread) if isinstance(thread, str) else thread
    step = alignment_step(slots, cross_holes)
    along = None if thread is None else float(step) / 360 * thread.pitch_mm
    pin = cotter_pin_for(thread) if thread else None
    kind: Bearing = bearing or "taper"
    if use == "unclear":
        sentences: tuple[str, ...] = (ASK,)
    elif use == "adjusts":
        sentences = adjusting_steps(kind, step, along, torque, _new_pin(pin))
    else:
        sentences = clamping_steps(step, along, torque, _new_pin(pin))
    play = free_play(kind) if use == "adjusts" else None
    return CastleNut(slots, cross_holes, float(step), along, pin, use, play, sentences)


def _new_pin(pin: CotterPin | None) -> str:
    size = f" {pin.spelled()}" if pin else ""
    return f"Fit a new cotter pin{size}, the largest that hole and slot accept; never an old one."


def cotter_pin_for(thread: str | Thread) -> CotterPin | None:
    """The cotter pin of a castle nut on this thread, DIN 935-1; by ISO 1234 for other sizes."""
    thread = parse_thread(thread) if isinstance(thread, str) else thread
    diameter = thread.diameter_mm
    listed = _castle_nuts().get(diameter) if thread.system == "ISO metric" else None
    if listed:
        return listed
    for above, up_to, pin in _by_bolt():
        if above < diameter <= up_to:
            return CotterPin(pin, None)
    return None


@cache
def _castle_nuts() -> dict[float, CotterPin]:
    return {
        float(row["diameter_mm"]): CotterPin(float(row["pin_mm"]), float(row["pin_length_mm"]))
        for row in read_table("castle_nuts")
        if row["pin_mm"]
    }


@cache
def _by_bolt() -> tuple[tuple[float, float, float], ...]:
    rows = read_table("cotter_pins")
    return tuple((float(r["above_mm"]), float(r["up_to_mm"]), float(r["pin_mm"])) for r in rows)


class NutSaid(msgspec.Struct, frozen=True):
    """What was said about a castle nut."""

    thread: Thread | None = None
    """Its thread; None when it was not said."""
    slots: int = 6
    """Slots, six when not said."""
    cross_holes: int = 1
    """Holes through the bolt, one when not said."""


def parse_castle_nut(text: str) -> NutSaid:
    """`M12x1.25`, `6 slots`, `8`, `3/8-24, 6 slots, 2 holes`; BadInput for anything else."""
    slots, holes = _SLOTS.search(text), _HOLES.search(text)
    rest = _HOLES.sub(" ", _SLOTS.sub(" ", text)).strip(" ,;+")
    said = NutSaid(
        slots=int(slots[1]) if slots else 6,
        cross_holes=_NUMBERS.get(holes[1].lower()) or int(holes[1]) if holes else 1,
    )
    if not rest:
        return said
    if rest.isdecimal() and slots is None:
        return msgspec.structs.replace(said, slots=int(rest[:3]))
    try:
        return msgspec.structs.replace(said, thread=parse_thread(rest))
    except BadInput as error:
        raise BadInput(
            f"“{text}” is not a castle nut; write its thread, as M12x1.25, and 8 slots or 2 holes"
            " where it has not 6 and 1."
        ) from error
