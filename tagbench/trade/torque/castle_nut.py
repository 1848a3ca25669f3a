"""Castle nuts: how far to the next slot, and how to go there."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from math import lcm

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.published import read_table
from tagbench.trade.quantities.shown import plain_decimal, show_torque
from tagbench.trade.quantities.units import Range
from tagbench.trade.threads.designation import parse_thread
from tagbench.trade.threads.thread import Thread


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
    sentences: tuple[str, ...]
    """What to do, in order."""


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
    bearing: bool = False,
) -> CastleNut:
    """Guidance for a castle nut by AC 43.13-1B 7-40 and 7-127, stricter rules first.

    `bearing` is the exception of a nut that sets a wheel bearing. BadInput for an unknown
    thread or an impossible nut.
    """
    thread = parse_thread(thread) if isinstance(thread, str) else thread
    step = alignment_step(slots, cross_holes)
    along = None if thread is None else float(step) / 360 * thread.pitch_mm
    pin = cotter_pin_for(thread) if thread else None
    sentences = _bearing(pin) if bearing else _to_the_slot(step, along, torque, pin)
    return CastleNut(slots, cross_holes, float(step), along, pin, sentences)


def _to_the_slot(
    step: Fraction, along: float | None, torque: Range | None, pin: CotterPin | None
) -> tuple[str, ...]:
    low, high = _figures(torque)
    turn = f"{plain_decimal(step, 1)} degrees"
    way = "" if along is None else f" ({along:.2f} mm along the bolt)"
    return (
        "Threads clean and dry unless the maker says otherwise.",
        f"Begin at the low figure{low}, plus the torque that the nut needs to run down.",
        f"The next slot lies at most {turn} further{way}; only ever turn on, tightening.",
        f"Never go beyond the high figure{high} to reach a slot.",
        "Never turn the nut back to a slot.",
        _change(torque),
        _new_pin(pin),
        "If more than half of the pin stands above the slots, add a washer, two at most.",
    )


def _change(torque: Range | None) -> str:
    change = "change the washer or the nut and begin again."
    if torque and torque.single:
        return f"With one figure there is no room to turn on: if no slot lines up there, {change}"
    return f"If no slot lines up, {change}"


def _figures(torque: Range | None) -> tuple[str, str]:
    if torque is None:
        return "", ""
    low = Range(torque.low, torque.low, torque.unit)
    high = Range(torque.high, torque.high, torque.unit)
    return f", {show_torque(low)}", f", {show_torque(high)},"


def _bearing(pin: CotterPin | None) -> tuple[str, ...]:
    return (
        "A nut that sets a wheel bearing is the exception: seat and back off as the maker's"
        " manual says.",
        "Without the maker's procedure, have it set by a qualified person.",
        _new_pin(pin),
    )


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
