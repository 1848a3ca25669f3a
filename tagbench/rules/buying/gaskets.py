"""A gasket as people type it: material, thickness, outside size, holes; and back into words."""

from __future__ import annotations

import re

from tagbench.errors import BadInput
from tagbench.records import Gasket, GasketHole
from tagbench.trade.gasket import GasketCut, gasket_plan
from tagbench.trade.quantities.shown import plain_decimal
from tagbench.trade.quantities.typed import parse_length
from tagbench.trade.quantities.units import exact
from tagbench.trade.threads.clearance import nearest_punch_mm
from tagbench.trade.threads.designation import parse_thread

MATERIALS = ("gasket paper", "cork", "rubber cork", "fibre", "copper", "aluminium", "felt")
"""What gaskets are usually cut from; common practice, no source."""

LARGEST_PUNCH_MM = 50
"""Wad punches are made up to this; common practice, no source."""

_COUNT = re.compile(r"(?P<count>[0-9]{1,3})\s*(?:[x×*]|times|of)\s*(?P<hole>.+)", re.IGNORECASE)
_CROSS = re.compile(r"\s*[x×*]\s*|\s+by\s+", re.IGNORECASE)
_DIAMETER = re.compile(r"[0-9.,]+|[0-9.,/\s-]+(?:mm|cm|in|inch|inches|\"|″|”)")
_BARE = re.compile(r"[0-9.,/\s-]+")
_HOLES = "write holes as “4x M6; 1x 38 mm”: how many, then the bolt or the diameter"


def parse_gasket(material: str, thickness: str, size: str, holes: str) -> Gasket:
    """The gasket that was typed, its plan tried out; BadInput says what is missing or cannot be.

    Lengths without a unit are millimetres.
    """
    if not material.strip():
        raise BadInput(f"Say what it is cut from, for example {MATERIALS[0]}.")
    width, height = _outside(size)
    gasket = Gasket(
        material=" ".join(material.split()),
        thickness_mm=_millimetres(thickness, "the thickness, such as 0.5 mm"),
        width_mm=width,
        height_mm=height,
        holes=parse_holes(holes),
    )
    gasket_plan(gasket)
    return gasket


def _outside(text: str) -> tuple[float, float]:
    sides = [side for side in _CROSS.split(text.strip()) if side]
    if len(sides) not in (1, 2):
        raise BadInput("Say the outside size as width x height, such as 120 x 80 mm.")
    unit = re.sub(r"[0-9.,/\s-]", "", sides[-1])
    if unit and _BARE.fullmatch(sides[0]):
        sides[0] = f"{sides[0]} {unit}"
    wanted = "the outside size as width x height, such as 120 x 80 mm"
    lengths = [_millimetres(side, wanted) for side in sides]
    return lengths[0], lengths[-1]


def _millimetres(text: str, wanted: str) -> float:
    if not text.strip():
        raise BadInput(f"Say {wanted}.")
    length = parse_length(text, "mm").number("mm")
    if length <= 0:
        raise BadInput(f"Say {wanted}; more than zero.")
    return length


def parse_holes(text: str) -> tuple[GasketHole, ...]:
    """`4x M6; 38 mm`: how many, then the bolt or the diameter; nothing typed is no holes."""
    return tuple(_hole(piece.strip()) for piece in re.split(r"[;\n]|,\s", text) if piece.strip())


def _hole(text: str) -> GasketHole:
    counted = _COUNT.fullmatch(text)
    count, what = (int(counted["count"]), counted["hole"].strip()) if counted else (1, text)
    if count < 1:
        raise BadInput(f"“{text}” is not a hole; {_HOLES}.")
    if _DIAMETER.fullmatch(what):
        return GasketHole(quantity=count, diameter_mm=_millimetres(what, "how wide the hole is"))
    try:
        thread = parse_thread(what)
    except BadInput as error:
        raise BadInput(f"“{text}” is not a hole; {_HOLES}.") from error
    return GasketHole(quantity=count, thread=thread.designation)


def holes_words(gasket: Gasket) -> str:
    """The holes as they are typed: `4x M6; 1x 38 mm`."""
    return "; ".join(f"{hole.quantity}x {_hole_words(hole)}" for hole in gasket.holes)


def _hole_words(hole: GasketHole) -> str:
    return hole.thread or f"{_figure(hole.diameter_mm or 0)} mm"


def size_words(gasket: Gasket) -> str:
    """`120 x 80 mm`."""
    return f"{_figure(gasket.width_mm)} x {_figure(gasket.height_mm)} mm"


def gasket_words(gasket: Gasket) -> str:
    """`gasket paper 0.5 mm, 120 x 80 mm`."""
    return f"{gasket.material} {_figure(gasket.thickness_mm)} mm, {size_words(gasket)}"


def made_words(gasket: Gasket) -> str:
    """`gasket paper 0.5 mm, 120 x 80 mm, holes 4x M6; template kept, traced from g.jpg`."""
    holes = f", holes {holes_words(gasket)}" if gasket.holes else ""
    outline = gasket.outline
    traced = f"; template kept, traced from {outline.picture}" if outline is not None else ""
    return f"{gasket_words(gasket)}{holes}{traced}"


def _figure(length: float) -> str:
    return plain_decimal(exact(length), 3)


def cut_list(gasket: Gasket, copies: int = 1) -> list[str]:
    """What to have ready and what to cut, a line each; `copies` as many as are made.

    Raises BadInput for a gasket that cannot be cut.
    """
    plan = gasket_plan(gasket, copies)
    many = f"{copies} × " if copies > 1 else ""
    sheet = f"{_figure(plan.sheet_width_mm)} x {_figure(plan.sheet_height_mm)} mm"
    lines = [f"{many}{gasket_words(gasket)}; sheet {sheet}"]
    traced = gasket.outline is not None
    return [*lines, *(_cut_words(cut, cut.quantity * copies, traced) for cut in plan.cuts)]


def _cut_words(cut: GasketCut, count: int, traced: bool) -> str:
    punches = cut.punches
    holes = f"{count} {'hole' if count == 1 else 'holes'} {punches.hole}"
    if cut.bolt:
        holes += f" ({cut.bolt})"
    if punches.hole_mm > LARGEST_PUNCH_MM:
        return f"{holes}: too large for a punch, cut along a drawn circle"
    if traced and not cut.bolt:
        # a hole that was measured was cut with the punch it is nearest to
        return f"{holes}: punch {nearest_punch_mm(punches.hole_mm):g} mm"
    marked = punches.transfer_punch
    tool = marked if "scriber" in marked else f"transfer punch {marked}"
    return f"{holes}: punch {punches.punch}" + (f", {tool}" if cut.bolt else "")


def how_to_cut(gasket: Gasket) -> tuple[str, ...]:
    """What to do and to mind when cutting it, a sentence each."""
    return gasket_plan(gasket).sentences
