"""The symbol of a code as a drawing inside a page."""

from __future__ import annotations

from labels.symbols.payload import payload
from labels.symbols.symbol import QUIET_MODULES, Symbol, make_symbol

MODULE_MM = 0.6
"""Width of a module on paper; ISO/IEC 18004 asks for 0.33 mm, 0.5 mm is read easily."""


def symbol_svg(code: str, address: str = "") -> str:
    """The QR symbol of a code with its quiet zone, as an `<svg>` of exact size in mm."""
    symbol = make_symbol(payload(code, address or None))
    side = symbol.modules_with_quiet
    width = f"{side * MODULE_MM:.1f}mm"
    return (
        f'<svg class="symbol" width="{width}" height="{width}" viewBox="0 0 {side} {side}" '
        f'shape-rendering="crispEdges" role="img" aria-label="QR symbol of {code}">'
        f'<path fill="#fff" d="M0 0h{side}v{side}H0z"/><path d="{_dark(symbol)}"/></svg>'
    )


def _dark(symbol: Symbol) -> str:
    """The dark modules as one path, a run of them in a row at a time."""
    runs = []
    for y, row in enumerate(symbol.rows, QUIET_MODULES):
        start = 0
        while (start := row.find(1, start)) >= 0:
            end = row.find(0, start)
            end = len(row) if end < 0 else end
            runs.append(f"M{start + QUIET_MODULES} {y}h{end - start}v1h-{end - start}z")
            start = end
    return "".join(runs)
