"""Clearance holes for bolts, and the punches that make and mark them."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from typing import Literal

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.published import read_table
from tagbench.trade.quantities.shown import show_length
from tagbench.trade.quantities.typed import parse_number
from tagbench.trade.quantities.units import Quantity, exact
from tagbench.trade.threads.designation import parse_thread
from tagbench.trade.threads.sizes import size_text
from tagbench.trade.threads.thread import Thread

HoleFit = Literal["fine", "medium", "coarse"]
_FITS: tuple[HoleFit, ...] = ("fine", "medium", "coarse")

#: Wad punches are made in half millimetres to 10 mm and whole ones to 50 mm, inch ones in
#: sixteenths; transfer punches in half millimetres and 64ths (common practice, no source).
_HALF, _SIXTEENTH, _SIXTY_FOURTH = Fraction(1, 2), Fraction(1, 16), Fraction(1, 64)
_WHOLE_FROM = 10
#: What a transfer punch needs to slip into its hole, mm.
_SLIP = Fraction(3, 100)


class Punches(msgspec.Struct, frozen=True):
    """The hole for a bolt and the punches for it."""

    hole_mm: float
    """Diameter of the clearance hole, mm."""
    hole: str
    """The same as it is called: `6.6 mm`, `9/32 in`."""
    punch: str
    """The wad punch that cuts it: the first size that is not smaller."""
    transfer_punch: str
    """The transfer punch that marks it through the part: the last size that goes in."""


def clearance_hole(thread: str | Thread, fit: HoleFit = "medium") -> Quantity:
    """The clearance hole for a bolt: ISO 273 in mm, or ASME B18.2.8 in inches for inch bolts.

    Between the sizes of a table the clearance of the next larger one is taken. BadInput for a
    bolt larger than the tables.
    """
    thread = parse_thread(thread) if isinstance(thread, str) else thread
    at = _FITS.index(fit)
    if thread.system not in ("ISO metric", "BA") and size_text(thread) in _inch_holes():
        return Quantity(_inch_holes()[size_text(thread)][at], "in")
    diameter = exact(round(thread.diameter_mm, 4))
    for size, holes in _metric_holes():
        if diameter <= size:
            return Quantity(holes[at] - size + diameter, "mm")
    raise BadInput(f"No clearance hole is listed for {thread.designation}; the largest is M39.")


def punches_for(thread: str | Thread, fit: HoleFit = "medium") -> Punches:
    """The hole for a bolt, the wad punch for the gasket and the transfer punch for the part."""
    return punches_for_hole(clearance_hole(thread, fit))


def punches_for_hole(hole: Quantity) -> Punches:
    """The punches for a hole of a given size, in the system of its unit; BadInput for nothing."""
    if hole.value <= 0:
        raise BadInput("A hole has a diameter of more than zero, such as 6.6 mm.")
    inches = hole.unit in ("in", "thou", "ft")
    unit = "in" if inches else "mm"
    size = hole.to(unit).value
    step = _SIXTEENTH if inches else (_HALF if size <= _WHOLE_FROM else Fraction(1))
    slip = _SLIP / Fraction("25.4") if inches else _SLIP
    transfer_step = _SIXTY_FOURTH if inches else _HALF
    transfer = (size - slip) // transfer_step * transfer_step
    return Punches(
        hole_mm=hole.number("mm"),
        hole=show_length(Quantity(size, unit)),
        punch=show_length(Quantity(-(-size // step) * step, unit)),
        transfer_punch=show_length(Quantity(transfer, unit)) if transfer > 0 else "a scriber",
    )


def nearest_punch_mm(diameter_mm: float) -> float:
    """The metric wad punch nearest to a hole that was measured, mm."""
    half = round(diameter_mm * 2) / 2
    return half if half <= _WHOLE_FROM else float(round(diameter_mm))


@cache
def _metric_holes() -> tuple[tuple[Fraction, tuple[Fraction, ...]], ...]:
    columns = [f"{fit}_mm" for fit in _FITS]
    return tuple(
        (Fraction(row["diameter_mm"]), tuple(Fraction(row[column]) for column in columns))
        for row in read_table("clearance_holes")
    )


@cache
def _inch_holes() -> dict[str, tuple[Fraction, ...]]:
    columns = ("close_in", "normal_in", "loose_in")
    return {
        row["size"]: tuple(parse_number(row[column]) for column in columns)
        for row in read_table("clearance_holes_inch")
    }
