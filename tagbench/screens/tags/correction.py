"""How a printer is corrected, in words."""

from __future__ import annotations

from labels.output.correction import Correction


def correction_words(found: Correction, *, measured: bool = True) -> str:
    """`0.50 mm right, 0.20 mm up, × 1.0021, × 0.9990`; `exact`; `not measured`."""
    if not measured:
        return "not measured"
    moves = [_move(found.shift_x, "right", "left"), _move(found.shift_y, "down", "up")]
    scales = [_scale("widths", found.scale_x), _scale("heights", found.scale_y)]
    return ", ".join(filter(None, [*moves, *scales])) or "exact"


def _move(by: float, plus: str, minus: str) -> str:
    return f"{abs(by):.2f} mm {plus if by > 0 else minus}" if abs(by) >= 0.005 else ""


def _scale(what: str, by: float) -> str:
    return f"{what} × {by:.4f}" if abs(by - 1) >= 0.00005 else ""
