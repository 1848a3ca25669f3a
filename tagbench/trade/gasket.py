"""A gasket cut by hand: the holes and their punches, and the sheet it takes."""

from __future__ import annotations

from fractions import Fraction

import msgspec

from tagbench.errors import BadInput
from tagbench.records import Gasket, GasketHole
from tagbench.trade.quantities.units import Quantity, exact
from tagbench.trade.threads.clearance import HoleFit, Punches, punches_for, punches_for_hole

#: Waste to leave round the outline, mm (common practice, no source).
MARGIN_MM = 10.0
#: Never cut from this; old sheet may be it.
_BANNED = ("asbestos", "asbestus")


class GasketCut(msgspec.Struct, frozen=True):
    """Holes of one size in the gasket."""

    quantity: int
    """How many."""
    bolt: str
    """The bolt that passes through; empty for a plain hole."""
    punches: Punches
    """Hole, wad punch and transfer punch."""


class GasketPlan(msgspec.Struct, frozen=True):
    """What a gasket takes."""

    material: str
    """Material, as recorded."""
    thickness_mm: float
    """Thickness, mm."""
    sheet_width_mm: float
    """Width of the sheet to cut it from, mm."""
    sheet_height_mm: float
    """Height of the sheet, mm."""
    sheet_area_cm2: float
    """Area of the sheet, cm²."""
    cuts: tuple[GasketCut, ...]
    """The holes, in the order recorded."""
    sentences: tuple[str, ...]
    """What to do and to mind."""


def gasket_plan(gasket: Gasket, copies: int = 1, fit: HoleFit = "medium") -> GasketPlan:
    """Punches and sheet for `copies` of a gasket, side by side with 10 mm of waste all round.

    BadInput for a hole that has neither bolt nor size or does not fit the outline, for no
    copies, and for asbestos, which is not cut.
    """
    if any(word in gasket.material.lower() for word in _BANNED):
        raise BadInput("Asbestos sheet is not cut or reused; choose an asbestos-free material.")
    if not 1 <= copies <= 100:
        raise BadInput("Make from 1 to 100 gaskets at a time.")
    cuts = tuple(_cut(hole, gasket, fit) for hole in gasket.holes)
    width = copies * (gasket.width_mm + MARGIN_MM) + MARGIN_MM
    height = gasket.height_mm + 2 * MARGIN_MM
    return GasketPlan(
        material=gasket.material,
        thickness_mm=gasket.thickness_mm,
        sheet_width_mm=width,
        sheet_height_mm=height,
        sheet_area_cm2=width * height / 100,
        cuts=cuts,
        sentences=_sentences(cuts),
    )


def _cut(hole: GasketHole, gasket: Gasket, fit: HoleFit) -> GasketCut:
    if hole.thread:
        punches = punches_for(hole.thread, fit)
    elif hole.diameter_mm is not None:
        punches = punches_for_hole(_as_measured(exact(hole.diameter_mm)))
    else:
        raise BadInput("A hole needs its bolt, such as M6, or its diameter, such as 22 mm.")
    if punches.hole_mm >= min(gasket.width_mm, gasket.height_mm):
        raise BadInput(
            f"A hole of {punches.hole} does not fit a gasket of"
            f" {gasket.width_mm:g} x {gasket.height_mm:g} mm."
        )
    return GasketCut(hole.quantity, hole.thread, punches)


def _as_measured(diameter: Fraction) -> Quantity:
    """A hole in inches when it is a sixteenth of one and no half millimetre: 25.4 mm is 1 in."""
    sixteenths = diameter * 16 / Fraction("25.4")
    inch = abs(sixteenths - round(sixteenths)) < Fraction(1, 1000) and (2 * diameter) % 1 != 0
    if inch:
        return Quantity(Fraction(round(sixteenths), 16), "in")
    return Quantity(diameter, "mm")


def _sentences(cuts: tuple[GasketCut, ...]) -> tuple[str, ...]:
    bolts = ("Mark the bolt holes through the part with the transfer punch.",) if cuts else ()
    return (
        *bolts,
        "Punch the holes first, on end-grain wood or lead, then cut the outline.",
        "Measure the thickness of the old gasket where it was clamped, and keep to it.",
        "Treat an old gasket as if it held asbestos: wet it, do not sand or blow it.",
    )
