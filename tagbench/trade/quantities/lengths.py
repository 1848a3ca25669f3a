"""Several lengths typed in one go, as they are read off the caliper."""

from __future__ import annotations

import re

from tagbench.errors import BadInput
from tagbench.trade.quantities.typed import parse_range, tidy
from tagbench.trade.quantities.units import Quantity

#: Between two readings: a semicolon, a comma with a space, `and`, or a space that stands neither
#: before the unit nor inside a mixed fraction such as 1 1/4.
_BETWEEN = re.compile(
    r"\s*;\s*|,\s+|\s+and\s+|(?<=[^\s.–—±+/-])\s+(?=[0-9.,])(?![0-9]+\s?/)", re.IGNORECASE
)
_ENDS_WITH_UNIT = re.compile(r"[0-9.,]\s*([^0-9.,\s][^0-9]*)$")
_MOST = 200


def parse_lengths(text: str, default: str = "mm") -> tuple[Quantity, ...]:
    """One reading or several: `4.95mm`, `4.95 4.96 4.94 mm`, `0.248 in; 0.249 in`, `4.94-4.96`.

    A reading without a unit has the one typed behind a later reading, else `default`. A range
    stands for its two ends. BadInput for nothing, for what is no length, and for a fraction
    that would be one of a millimetre only because no unit was typed.
    """
    pieces = [piece for piece in _BETWEEN.split(tidy(text)) if piece]
    if not pieces:
        raise BadInput("Type what was measured, such as 4.95 mm, or several as 4.95 4.96 mm.")
    if len(pieces) > _MOST:
        raise BadInput(f"These are {len(pieces)} readings; {_MOST} at most can be taken at once.")
    found: list[Quantity] = []
    unit = default
    for piece in reversed(pieces):
        unit = _unit_of(piece) or unit
        if "/" in piece and unit == "mm" and not _unit_of(piece):
            raise BadInput(f"“{piece}” needs its unit: {piece} in, or the millimetres, as 6.3 mm.")
        read = parse_range(piece, "length", unit)
        ends = (read.low,) if read.single else (read.high, read.low)
        found += [Quantity(value, read.unit, piece) for value in ends]
    return tuple(reversed(found))


def _unit_of(piece: str) -> str:
    """The standard spelling of the unit behind a reading; empty when none is there."""
    if _ENDS_WITH_UNIT.search(piece) is None:
        return ""
    return parse_range(piece, "length").unit
