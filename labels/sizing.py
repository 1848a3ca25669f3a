"""How large the symbol is on a stock: whole dots a module, fine enough to leave room for words."""

from collections.abc import Iterable
from dataclasses import dataclass

from labels.errors import FitError
from labels.geometry import Stock
from labels.symbol import QUIET_MODULES, Level, best_level, make_symbol, version_for

LEAST_MM = 0.33
"""No module is smaller: 4 dots of a 300 dpi printer (DENSO WAVE's guidance on module size)."""
PREFERRED_MM = 0.5
"""Modules are this large where the stock has the room."""
LARGEST_MM = 1.0
"""Larger modules read no better at arm's length and take room from the words."""
PADDING_MM = 1.5
"""The edge of a label that stays blank, since sheets and rolls shift a little in the printer."""
_EPSILON = 1e-6


@dataclass(frozen=True, slots=True)
class Fit:
    """How the symbol of a payload lies on a stock. Lengths in dots unless the name says mm."""

    level: Level
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
    """Where ink may lie on every label of a stock; a punched hole takes its whole side away."""
    width, height = stock.label_dots
    clear = stock.keep_clear
    left, top, right, bottom = (
        max(edge, PADDING_MM) for edge in (clear.left, clear.top, clear.right, clear.bottom)
    )
    if stock.hole:
        reach = stock.hole.diameter_mm / 2 + PADDING_MM
        if stock.label_width >= stock.label_height:
            left = max(left, stock.hole.x_mm + reach)
        else:
            top = max(top, stock.hole.y_mm + reach)
    dots = stock.dots_per_mm
    return Area(
        round(left * dots), round(top * dots), width - round(right * dots),
        height - round(bottom * dots),
    )  # fmt: skip


def fit_symbol(payload: str, stock: Stock, others: Iterable[Stock] = ()) -> Fit:
    """The level, version and module size for a payload on a stock.

    Level Q, H when it costs no size, M only when Q would be too fine. Raises `FitError` with
    the figures, and with the nearest of `others` that can hold the payload.
    """
    fit = _fit(payload, stock)
    if fit:
        return fit
    needed = 17 + 4 * version_for(payload, "M")
    room = _room(stock, generous=True)
    best = room / (needed + 2 * QUIET_MODULES) / stock.dots_per_mm
    raise FitError(
        f"'{payload}' needs {needed} modules and a quiet zone of {QUIET_MODULES} on each side; "
        f"{stock.name} leaves {room / stock.dots_per_mm:.1f} mm for them, {best:.2f} mm a module, "
        f"and a reader needs {LEAST_MM} mm; {_advice(payload, stock, others)}."
    )


def _fit(payload: str, stock: Stock) -> Fit | None:
    least = _least_dots(stock)
    most_modules = int(_room(stock, generous=True) / least) - 2 * QUIET_MODULES
    level, version = best_level(payload, most_modules)
    modules = 17 + 4 * version
    if modules > most_modules:
        return None
    dots = max(least, _module_dots(stock, modules))
    return Fit(level, version, dots, dots / stock.dots_per_mm, modules * dots, QUIET_MODULES * dots)


def _module_dots(stock: Stock, modules: int) -> int:
    """The preferred size where there is any room for it, larger where the words leave room."""
    whole = modules + 2 * QUIET_MODULES
    ample = int(_room(stock, generous=False) / whole)
    largest = int(LARGEST_MM * stock.dots_per_mm + _EPSILON)
    preferred = -int(-PREFERRED_MM * stock.dots_per_mm // 1)
    possible = int(_room(stock, generous=True) / whole)
    return min(max(ample, min(possible, preferred)), largest)


def _least_dots(stock: Stock) -> int:
    dots = int(LEAST_MM * stock.dots_per_mm + _EPSILON)
    return dots if dots / stock.dots_per_mm >= LEAST_MM - _EPSILON else dots + 1


def _room(stock: Stock, *, generous: bool) -> float:
    """The side of the square for symbol and quiet zone, in dots.

    The quiet zone may lie on the blank edge of the label. Generously the symbol may take two
    thirds of a label's long side, else it leaves most of it to the words.
    """
    area = ink_area(stock)
    spare = 2 * min(area.left, area.top)
    short, long = sorted((area.width, area.height))
    return min(short + spare, long * (0.66 if generous else 0.36))


def _advice(payload: str, stock: Stock, others: Iterable[Stock]) -> str:
    size = stock.label_width * stock.label_height
    able = [other for other in others if _fit(payload, other)]
    if not able:
        return "use larger labels or a shorter address"
    nearest = min(able, key=lambda other: abs(other.label_width * other.label_height - size))
    fit = _fit(payload, nearest)
    return f"{nearest.name} can hold it ({fit.module_mm:.2f} mm a module)" if fit else ""


def symbol_dots(payload: str, fit: Fit) -> tuple[bytes, ...]:
    """The rows of the symbol at the level that fits."""
    return make_symbol(payload, fit.level).rows
