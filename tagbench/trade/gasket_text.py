"""A gasket as people type it: its outline and its holes."""

from __future__ import annotations

import re
from fractions import Fraction

from tagbench.errors import BadInput
from tagbench.records import GasketHole
from tagbench.trade.threads.designation import parse_thread
from tagbench.trade.typed import parse_length, tidy
from tagbench.trade.units import Quantity

_TIMES = re.compile(r"(?P<count>[0-9]{1,3})\s*(?:x\s+|×\s*|off\s+|x(?=[M#Ø]))", re.IGNORECASE)
_HOLE_WORDS = re.compile(
    r"^(?:Ø|⌀|diameter|dia\.?)\s*|\s*\b(?:holes?|bolts?|dia\.?)$", re.IGNORECASE
)
_CROSS = re.compile(r"\s*[x×*]\s*|\s+by\s+", re.IGNORECASE)
_SIZE = "write width and height as 80x60 mm or 3 x 2-1/2 in"


def parse_outline(text: str) -> tuple[Quantity, Quantity]:
    """Width and height: `80x60`, `80 x 60 mm`, `3 x 2-1/2 in`; in mm without a unit.

    BadInput for anything else, and for nothing.
    """
    pieces = _CROSS.split(tidy(text))
    if len(pieces) != 2:
        raise BadInput(f'"{text}" is no size of a gasket; {_SIZE}.')
    try:
        height = parse_length(pieces[1], "mm")
        width = parse_length(pieces[0], height.unit)
    except BadInput as error:
        raise BadInput(f'"{text}" is no size of a gasket; {_SIZE}.') from error
    if not (width.value > 0 and height.value > 0):
        raise BadInput(f"A gasket is wider and higher than zero; {_SIZE}.")
    return width, height


def parse_holes(text: str) -> tuple[GasketHole, ...]:
    """The holes, apart by semicolons: `4x M6; 22 mm`, `2 off 1/4-20`, `M8`.

    A thread is the bolt that passes through, a length the hole itself, in mm without a unit.
    BadInput for anything else.
    """
    return tuple(_hole(tidy(piece)) for piece in re.split(r"[;\n]", text) if piece.strip())


def _hole(text: str) -> GasketHole:
    times = _TIMES.match(text)
    count = int(times["count"]) if times else 1
    size = _HOLE_WORDS.sub("", text[times.end() if times else 0 :]).strip()
    if count < 1:
        raise BadInput(f'"{text}" is no hole; leave it out, or write how many as 4x M6.')
    try:
        return GasketHole(quantity=count, thread=parse_thread(size).designation)
    except BadInput:
        return GasketHole(quantity=count, diameter_mm=_diameter(size, text))


def _diameter(size: str, text: str) -> float:
    try:
        diameter = parse_length(size, "mm").to("mm").value
    except BadInput as error:
        raise BadInput(
            f'"{text}" is no hole; write the bolt, as 4x M6, or the diameter, as 22 mm.'
        ) from error
    if diameter <= Fraction(0):
        raise BadInput(f'"{text}" is no hole; its diameter is more than zero, such as 22 mm.')
    return float(diameter)
