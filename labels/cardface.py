"""A bolt card as dots: the figure on the right, symbol, code and words on the left."""

from collections.abc import Iterable
from dataclasses import dataclass

from PIL import Image

from labels.boltcard import BoltCard, figure
from labels.canvas import largest_style, symbol_picture
from labels.cardfigure import FigureSketch
from labels.drawing import Drawing
from labels.flow import Cut, Flow, Obstacle, Words
from labels.fonts import CAPITAL, printable
from labels.geometry import Stock
from labels.sizing import Area, Fit, fit_symbol, ink_area

SMALLEST_MM = 1.95
CAUTION = (
    "Discs: tighten in this order, by stages; loosen the other way round. Common practice: the "
    "maker's manual, its order and its torques go first."
)
SCHEMATIC = "Not to scale."
TRUE_SIZE = "1:1 when printed at 100 %."


@dataclass(frozen=True, slots=True)
class Card:
    """A drawn bolt card."""

    drawing: Drawing
    order: tuple[int, ...]
    """Numbers of the holes, counted from 1, in the order of tightening."""
    true_size: bool
    """Whether the figure is 1:1."""
    fit: Fit
    cuts: tuple[Cut, ...] = ()
    undrawable: tuple[str, ...] = ()

    @property
    def image(self) -> Image.Image:
        """The card as a 1-bit picture; 1 is white."""
        return self.drawing.image()


def draw_bolt_card(card: BoltCard, stock: Stock, others: Iterable[Stock] = ()) -> Card:
    """Draw a bolt card on one label of a stock.

    Raises `CardError` where the holes cannot be drawn, or do not fit at 1:1 (naming the nearest
    of `others` that can hold them); `FitError` where the symbol does not fit.
    """
    shape = figure(card)
    others = tuple(others)
    fit = fit_symbol(card.payload or card.code, stock, others)
    area = ink_area(stock)
    drawing = Drawing(*stock.label_dots)
    column = max(fit.side + fit.quiet, round(area.width * 0.28))
    edge = area.left + column
    strange: dict[str, None] = {}

    def plain(text: str) -> str:
        shown, changed = printable(text)
        strange.update(dict.fromkeys(changed))
        return shown

    words = [plain(card.title), plain(card.note), TRUE_SIZE if shape.true_size else SCHEMATIC]
    cuts = _draw_column(drawing, card, fit, Area(area.left, area.top, edge, area.bottom), words)
    room = Area(edge + fit.quiet, area.top, area.right, area.bottom)
    names = [plain(hole.screw) for hole in card.holes]
    cuts += FigureSketch(drawing, room, stock).draw(shape, names, others)
    order = tuple(at + 1 for at in shape.order)
    return Card(drawing, order, shape.true_size, fit, cuts, tuple(strange))


def _draw_column(
    drawing: Drawing, card: BoltCard, fit: Fit, area: Area, words: list[str]
) -> tuple[Cut, ...]:
    """Symbol, code, name, note, scale and caution, from the top down."""
    dots = fit.module_dots / fit.module_mm
    left, top = max(area.left, fit.quiet), max(area.top, fit.quiet)
    drawing.dots(symbol_picture(card.payload or card.code, fit), left, top, fit.module_dots)
    style = largest_style(card.code, area.right - left, 9 * dots / CAPITAL)
    baseline = top + fit.side + fit.quiet + round(CAPITAL * style.size)
    drawing.text(left, baseline, card.code, style)
    title, note, scale = words
    small, base = round(SMALLEST_MM * dots), 3.4 * dots
    flow = Flow(Area(left, area.top, area.right, area.bottom), Obstacle(left, 0), small)
    said = [
        Words("name", title, base, bold=True, most_lines=3),
        Words("note", note, base * 0.8, gap=base * 0.2),
        Words("scale", scale, small, gap=base * 0.3),
        Words("caution", CAUTION, small, gap=base * 0.1),
    ]
    setting = flow.set_words(
        [item for item in said if item.text], baseline + round(0.15 * style.size)
    )
    for line in setting.lines:
        drawing.text(line.x, line.baseline, line.text, line.style)
    return setting.cuts
