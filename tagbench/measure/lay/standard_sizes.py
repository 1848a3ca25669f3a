"""Sizes that screws and washers are sold in, to put a name to what was measured."""

from __future__ import annotations

#: Lengths of screws, mm (ISO 888, from memory).
LENGTHS_MM = (
    2, 2.5, 3, 4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 22, 25, 28, 30, 35, 40, 45, 50, 55, 60, 65, 70,
    75, 80,
    85, 90, 95, 100, 110, 120, 130, 140, 150, 160, 180, 200,
)  # fmt: skip
#: Inside and outside of plain washers, mm (ISO 7089 and 7093, from memory).
WASHERS_MM = (
    (2.2, 5), (2.7, 6), (3.2, 7), (3.2, 9), (4.3, 9), (4.3, 12), (5.3, 10), (5.3, 15), (6.4, 12),
    (6.4, 18), (8.4, 16), (8.4, 24), (10.5, 20), (10.5, 30), (13, 24), (13, 37), (15, 28), (17, 30),
)  # fmt: skip
_LENGTH_OFF, _WASHER_OFF = 0.7, 0.35
_SIXTEENTHS_TO = 25.4


def standard_length(length_mm: float) -> float | None:
    """The length in mm that is sold and is meant, None where none is near."""
    nearest = min(LENGTHS_MM, key=lambda size: abs(size - length_mm))
    return float(nearest) if abs(nearest - length_mm) <= _LENGTH_OFF else None


def inch_length(length_mm: float) -> float:
    """The length in inches, to a sixteenth up to one inch and to an eighth above."""
    step = 16 if length_mm <= _SIXTEENTHS_TO else 8
    return round(length_mm / 25.4 * step) / step


def standard_washer(
    inside_mm: float, outside_mm: float, doubt_mm: float = 0.0
) -> tuple[float, float] | None:
    """Inside and outside of the plain washer that is meant, None where none is near."""
    inside, outside = min(
        WASHERS_MM, key=lambda size: abs(size[0] - inside_mm) + abs(size[1] - outside_mm)
    )
    far = max(_WASHER_OFF, doubt_mm)
    near = abs(inside - inside_mm) <= far and abs(outside - outside_mm) <= far
    return (float(inside), float(outside)) if near else None
