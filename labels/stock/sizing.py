"""How large the symbol is on a stock: whole dots a module, fine enough to leave room for words."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil

from labels.errors import FitError
from labels.stock.geometry import PunchedHole, Stock
from labels.symbols.symbol import (
    QUIET_MODULES,
    ErrorCorrection,
    best_level,
    modules_along,
    version_for,
)

LEAST_MM = 0.33
"""No module is smaller: 4 dots of a 300 dpi printer (DENSO WAVE's guidance on module size)."""
PREFERRED_MM = 0.5
"""Modules are this large where the stock has the room."""
LARGEST_MM = 1.0
"""Larger modules read no better at arm's length and take room from the words."""
PADDING_MM = 1.5
"""The edge of a label that stays blank, since sheets and rolls shift a little in the printer."""
SAFE_DOTS = 6
"""A module of 5 or 6 dots survives a blur that one of 4 does not: up to so many are taken on coarse
printers where the words still have half of the label."""
_GENEROUS, _HALF, _ROOMY = 0.66, 0.5, 0.36
"""Shares of a label's long side that the symbol may take: at most, for modules of a few dots, and
to leave ample room."""
_EPSILON = 1e-6


@dataclass(frozen=True, slots=True)
class SymbolFit:
    """How the symbol of a payload lies on a stock. Lengths in dots unless the name says mm."""

    level: ErrorCorrection
    version: int
    module_dots: int
    module_mm: float
    side: int
    """The dark square without quiet zone."""
    quiet: int
    """The blank border on each side."""


@dataclass(frozen=True, slots=True)
class Area:
    """The part of a label that may carry ink, in dots from the label's left and top edge."""

    left: int
    top: int
    right: int
    bottom: int

    @property
    def width(self) -> int:
        return self.right - self.left

    @property
    def height(self) -> int:
        return self.bottom - self.top


def ink_area(stock: Stock) -> Area:
    """Where ink may lie on every label of a stock; a punched hole takes its whole side away: the
    side on which the largest room is left, so that a hole at any edge costs no more than that."""
    width, height = stock.label_dots
    clear = stock.keep_clear
    left, top, right, bottom = (
        max(edge, PADDING_MM) for edge in (clear.left, clear.top, clear.right, clear.bottom)
    )
    if stock.hole:
        left, top, right, bottom = _beside_the_hole(stock, stock.hole, (left, top, right, bottom))
    dots = stock.dots_per_mm
    return Area(
        round(left * dots), round(top * dots), width - round(right * dots),
        height - round(bottom * dots),
    )  # fmt: skip


def _beside_the_hole(
    stock: Stock, hole: PunchedHole, edges: tuple[float, float, float, float]
) -> tuple[float, float, float, float]:
    """The blank edges (left, top, right, bottom, mm) once the hole's side is taken away too."""
    left, top, right, bottom = edges
    reach = hole.diameter_mm / 2 + PADDING_MM
    ways = (
        (max(left, hole.x_mm + reach), top, right, bottom),
        (left, max(top, hole.y_mm + reach), right, bottom),
        (left, top, max(right, stock.label_width - hole.x_mm + reach), bottom),
        (left, top, right, max(bottom, stock.label_height - hole.y_mm + reach)),
    )

    def room(way: tuple[float, float, float, float]) -> float:
        across, down = stock.label_width - way[0] - way[2], stock.label_height - way[1] - way[3]
        return across * down if min(across, down) > 0 else 0.0

    return max(ways, key=room)


def fit_symbol(payload: str, stock: Stock, others: Iterable[Stock] = ()) -> SymbolFit:
    """The level, version and module size for a payload on a stock.

    Level Q, H when it costs no size, M only when Q would be too fine. Raises `FitError` with
    the figures, and with the nearest of `others` that can hold the payload.
    """
    fit = _fit(payload, stock)
    if fit:
        return fit
    needed = modules_along(version_for(payload, "M"))
    area, (width, height) = ink_area(stock), stock.label_dots
    with_quiet = min(width, height, max(area.width, area.height) * _GENEROUS)
    best = min(min(area.width, area.height) / needed, with_quiet / (needed + 2 * QUIET_MODULES))
    raise FitError(
        f"“{payload}” needs {needed} modules and a quiet zone of {QUIET_MODULES} on each side; "
        f"{stock.name} leaves {best / stock.dots_per_mm:.2f} mm a module and a reader needs "
        f"{_dots_at_least(stock, LEAST_MM)} dots or {LEAST_MM} mm; "
        f"{_advice(payload, stock, others)}."
    )


def _fit(payload: str, stock: Stock) -> SymbolFit | None:
    least = _dots_at_least(stock, LEAST_MM)
    most_modules = _most_modules(stock, least, _GENEROUS)
    level, version = best_level(payload, most_modules)
    modules = modules_along(version)
    if modules > most_modules:
        return None
    dots = _module_dots(stock, modules, least)
    return SymbolFit(
        level, version, dots, dots / stock.dots_per_mm, modules * dots, QUIET_MODULES * dots
    )


def _module_dots(stock: Stock, modules: int, least: int) -> int:
    """The preferred size where there is any room for it, larger where the words leave room."""
    preferred = _dots_at_least(stock, PREFERRED_MM)
    largest = int(LARGEST_MM * stock.dots_per_mm + _EPSILON)
    for dots in range(largest, least, -1):
        share = _GENEROUS if dots <= preferred else _HALF if dots <= SAFE_DOTS else _ROOMY
        if modules <= _most_modules(stock, dots, share):
            return dots
    return least


def _most_modules(stock: Stock, dots: int, share: float) -> int:
    """Modules along a symbol (without quiet zone) that a label has room for.

    The dark square must lie where ink may lie; the quiet zone may reach over the blank edge, but
    not over the label. Symbol and quiet zone together take at most a share of the long side.
    """
    area = ink_area(stock)
    width, height = stock.label_dots
    whole = min(width, height, int(max(area.width, area.height) * share))
    return min(area.width // dots, area.height // dots, whole // dots - 2 * QUIET_MODULES)


def _dots_at_least(stock: Stock, millimetres: float) -> int:
    return ceil(millimetres * stock.dots_per_mm - _EPSILON)


def _advice(payload: str, stock: Stock, others: Iterable[Stock]) -> str:
    size = stock.label_width * stock.label_height
    able = [other for other in others if _fit(payload, other)]
    if not able:
        return "use larger labels or a shorter address"
    nearest = min(able, key=lambda other: abs(other.label_width * other.label_height - size))
    fit = _fit(payload, nearest)
    return f"{nearest.name} can hold it ({fit.module_mm:.2f} mm a module)" if fit else ""
