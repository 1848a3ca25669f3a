"""A bolt card as dots: symbol, code and words, and the figure beside or below them."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import ceil

from PIL import Image

from labels.boltcard.card import BoltCard, HolePattern, check_distances, holes_in_one_measure
from labels.boltcard.figure import FigureSketch
from labels.boltcard.shapes import letters
from labels.face.canvas import largest_style, symbol_picture
from labels.face.drawing import Drawing
from labels.face.flow import Cut, Flow, Obstacle, Words
from labels.face.fonts import CAPITAL, RISE, printable
from labels.face.text import tail, text_pieces
from labels.stock.geometry import Stock
from labels.stock.sizing import PREFERRED_MM, Area, SymbolFit, fit_symbol, ink_area
from labels.symbols.symbol import QUIET_MODULES

SMALLEST_MM = 1.95
CAUTION = (
    "Discs: tighten in this order, by stages; loosen the other way round. Common practice: the "
    "maker's manual, its order and its torques go first."
)
SHORT_CAUTION = "Discs: tightening order. The maker's manual goes first."
SCHEMATIC = "Not to scale."
TRUE_SIZE = "1:1 when printed at 100 %."


@dataclass(frozen=True, slots=True)
class DrawnCard:
    """A drawn bolt card."""

    drawing: Drawing
    order: tuple[int, ...]
    """Numbers of the holes, counted from 1, in the order of tightening."""
    true_size: bool
    """Whether the figure is 1:1."""
    fit: SymbolFit
    cuts: tuple[Cut, ...] = ()
    undrawable: tuple[str, ...] = ()

    @property
    def image(self) -> Image.Image:
        """The card as a 1-bit picture; 1 is white."""
        return self.drawing.image()


def draw_bolt_card(card: BoltCard, stock: Stock, others: Iterable[Stock] = ()) -> DrawnCard:
    """Draw a bolt card on one label of a stock.

    Raises `CardError` where the holes cannot be drawn, or do not fit at 1:1 (naming the nearest
    of `others` that can hold them); `FitError` where the symbol does not fit.
    """
    shape = holes_in_one_measure(card)
    others = tuple(others)
    fit = _modest(fit_symbol(card.payload or card.code, stock, others), stock)
    drawing = Drawing(*stock.label_dots)
    parts = _divided(ink_area(stock), fit)
    strange: dict[str, None] = {}

    def plain(text: str) -> str:
        shown, changed = printable(text)
        strange.update(dict.fromkeys(changed))
        return shown

    drawing.dots(symbol_picture(card.payload or card.code, fit), *parts.symbol, fit.module_dots)
    names = [plain(hole.screw) for hole in card.holes]
    left_over = FigureSketch(drawing, parts.figure, stock).draw(shape, names, others)
    scale = _scale_words(shape) if shape.true_size else SCHEMATIC
    if card.face:
        scale = f"Seen from {plain(card.face)}. {scale}"
    said = _Said(plain(card.title), plain(card.note), " · ".join(left_over), scale)
    cuts = _draw_words(drawing, card.code, said, parts.words, fit)
    order = tuple(at + 1 for at in shape.order)
    return DrawnCard(drawing, order, shape.true_size, fit, cuts, tuple(strange))


def _scale_words(shape: HolePattern) -> str:
    """That it is 1:1, and two distances between holes to check that with a rule."""
    checks = ", ".join(
        f"{letters(a)}–{letters(b)} {length:.1f}" for a, b, length in check_distances(shape)
    )
    return f"{TRUE_SIZE} Check: {checks} mm." if checks else TRUE_SIZE


def _modest(fit: SymbolFit, stock: Stock) -> SymbolFit:
    """The same symbol with modules no larger than the words on the card leave room for."""
    most = max(PREFERRED_MM, 0.011 * min(stock.label_width, stock.label_height))
    dots = min(fit.module_dots, ceil(most * stock.dots_per_mm - 1e-6))
    side = fit.side // fit.module_dots * dots
    return replace(
        fit,
        module_dots=dots,
        module_mm=dots / stock.dots_per_mm,
        side=side,
        quiet=QUIET_MODULES * dots,
    )


@dataclass(frozen=True, slots=True)
class _Parts:
    """Where things go: the symbol's corner, the words, and the figure."""

    symbol: tuple[int, int]
    words: Area
    figure: Area


def _divided(area: Area, fit: SymbolFit) -> _Parts:
    """The figure gets all the height of a card that lies, and all the width of one that stands."""
    left, top = max(area.left, fit.quiet), max(area.top, fit.quiet)
    side = fit.side + fit.quiet
    if area.height > area.width:
        bottom = top + max(side, round(area.height * 0.14))
        words = Area(left + side, top, area.right, bottom)
        return _Parts((left, top), words, Area(area.left, bottom, area.right, area.bottom))
    edge = left + max(side, round(area.width * 0.28))
    words = Area(left, top + side, edge, area.bottom)
    return _Parts((left, top), words, Area(edge + fit.quiet, area.top, area.right, area.bottom))


@dataclass(frozen=True, slots=True)
class _Said:
    """The words on a card."""

    title: str
    note: str
    screws: str
    """Those that found no room beside their holes."""
    scale: str

    def words(self, caution: str, base: float, small: int) -> list[Words]:
        words = [
            Words("name", self.title, base, bold=True, most_lines=3),
            Words("screws", self.screws, base * 0.8, bold=True, gap=base * 0.2),
            Words("note", self.note, base * 0.8, gap=base * 0.2),
            Words("scale", self.scale, small, gap=base * 0.3),
            Words("caution", caution, small, gap=base * 0.1),
        ]
        return [item for item in words if item.text]


def _draw_words(
    drawing: Drawing, code: str, said: _Said, area: Area, fit: SymbolFit
) -> tuple[Cut, ...]:
    """Code, name, note, scale and caution, from the top down; the caution short, and the code
    smaller, where else something would be cut."""
    dots = fit.module_dots / fit.module_mm
    small, base = round(SMALLEST_MM * dots), 3.4 * dots
    flow = Flow(area, Obstacle(area.left, 0), small)
    for caution, highest in ((CAUTION, 9), (SHORT_CAUTION, 9), (SHORT_CAUTION, 6)):
        style = largest_style(code, area.width, highest * dots / CAPITAL)
        baseline = area.top + ceil(RISE * style.size)
        below = baseline + max(tail(code, style), round(0.15 * style.size))
        setting = flow.set_words(said.words(caution, base, small), below)
        if not setting.cuts:
            break
    drawing.text(area.left - text_pieces(code, style)[0][1], baseline, code, style)
    for line in setting.lines:
        drawing.text(line.x, line.baseline, line.text, line.style)
    return setting.cuts
