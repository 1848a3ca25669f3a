"""A bolt card at 1:1 on plain paper: words on top, the figure below, tiled where it is larger.

Every page has a scale bar and two check distances, since a printer's "fit to page" is the usual way
in which a drawing goes wrong. Pages of a tiled figure overlap; marks on the overlap are laid over
each other and the pages taped.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

from PIL import Image

from labels.boltcard.card import BoltCard, HolePattern, check_distances, holes_in_one_measure
from labels.boltcard.figure import FigureSketch
from labels.boltcard.shapes import letters
from labels.errors import CardError
from labels.face.canvas import largest_style, symbol_picture
from labels.face.drawing import Drawing
from labels.face.flow import Cut, Flow, Obstacle, Words
from labels.face.fonts import CAPITAL, RISE, Style, printable
from labels.face.text import least_em, text_pieces, text_width
from labels.stock.geometry import Box, Stock
from labels.stock.sheet import Page, Placed
from labels.stock.sizing import Area, SymbolFit, fit_symbol, ink_area

NAMES_MM = (24.0, 12.0)
"""Room for names beside, and above and below, the outermost rings."""
HEAD_MM, FOOT_MM = 62.0, 16.0
OVERLAP_MM = 15.0
"""So much of a tile is printed again on the next one."""
LARGEST_MM = 1500.0
"""A larger figure is more likely mistyped."""
BAR_MM = 100.0
_LEAST_CAPITAL_MM = 1.8
CAUTION = (
    "Discs: tighten in this order, by stages; loosen the other way round. Common practice: the "
    "maker's manual, its order and its torques go first."
)
CHECK = (
    "Print at 100 %, without “fit to page”. Before use, lay a steel rule on the bar and on the two "
    "check distances of every page."
)


@dataclass(frozen=True, slots=True)
class CardSheets:
    """A bolt card on pages."""

    pages: tuple[Page, ...]
    order: tuple[int, ...]
    """Numbers of the holes, counted from 1, in the order of tightening."""
    fit: SymbolFit
    columns: int
    rows: int
    """Tiles across and down; 1 and 1 for a figure on one page."""
    cuts: tuple[Cut, ...] = ()
    undrawable: tuple[str, ...] = ()
    true_size: bool = True


def draw_card_sheets(card: BoltCard, stock: Stock, residual: str = "") -> CardSheets:
    """Draw a card whose measure is known on plain paper. `residual` says how well its distances
    agree. Raises `CardError` for a figure without a measure, or too large to be meant."""
    shape = holes_in_one_measure(card)
    if not shape.true_size:
        raise CardError("Only holes in mm, or a bolt circle with its diameter, are drawn at 1:1.")
    maker = _Sheets(card, shape, stock, residual)
    return maker.drawn()


class _Sheets:
    def __init__(self, card: BoltCard, shape: HolePattern, stock: Stock, residual: str) -> None:
        self.card, self.shape, self.stock = card, shape, stock
        self.residual = residual
        self.dots = stock.dots_per_mm
        self.area = ink_area(stock)
        self.fit = fit_symbol(card.payload or card.code, stock)
        self.strange: dict[str, None] = {}
        self.cuts: tuple[Cut, ...] = ()

    def mm(self, millimetres: float) -> int:
        return round(millimetres * self.dots)

    def plain(self, text: str) -> str:
        shown, changed = printable(text)
        self.strange.update(dict.fromkeys(changed))
        return shown

    def drawn(self) -> CardSheets:
        canvas, left_over = self._canvas()
        head, foot = self.mm(HEAD_MM), self.mm(FOOT_MM)
        room = self.area.height - head - foot
        order = tuple(at + 1 for at in self.shape.order)
        if canvas.width <= self.area.width and canvas.height <= room:
            page = self._page()
            self._head(page, left_over)
            x = self.area.left + (self.area.width - canvas.width) // 2
            page.dots(_ink(canvas), x, self.area.top + head + (room - canvas.height) // 2)
            self._checks(page, 1, 1)
            pages, columns, rows = [page], 1, 1
        else:
            columns, rows, tiles = self._tiles(canvas)
            first = self._page()
            self._head(first, left_over, (columns, rows))
            self._checks(first, 1, columns * rows + 1)
            pages = [first, *tiles]
        return CardSheets(
            tuple(self._placed(page) for page in pages), order, self.fit, columns, rows,
            self.cuts, tuple(self.strange),
        )  # fmt: skip

    def _page(self) -> Drawing:
        return Drawing(*self.stock.page_dots)

    def _placed(self, page: Drawing) -> Page:
        box = Box(0, 0, page.width / self.dots, page.height / self.dots)
        return Page(self.stock.page_width, self.stock.page_height, (Placed(page, box),))

    def _canvas(self) -> tuple[Drawing, list[str]]:
        """The figure by itself, as large as it is, and the screws named in the list instead."""
        every = [*self.shape.points, *self.shape.outline]
        if self.shape.round:
            reach = max(max(abs(x), abs(y)) for x, y in every)
            reach = max(reach, (self.card.circle_mm or 0) / 2)
            every = [(-reach, -reach), (reach, reach)]
        across = max(x for x, _ in every) - min(x for x, _ in every)
        down = max(y for _, y in every) - min(y for _, y in every)
        if max(across, down) > LARGEST_MM:
            raise CardError(
                f"The figure would be {across:.0f} × {down:.0f} mm; give millimetres, at most "
                f"{LARGEST_MM:g}."
            )
        ring = max(self.shape.rings, default=0.0)
        wide = self.mm(across + ring + 2 * NAMES_MM[0])
        high = self.mm(down + ring + 2 * NAMES_MM[1])
        drawing = Drawing(wide, high)
        names = [self.plain(hole.screw) for hole in self.card.holes]
        sketch = FigureSketch(drawing, Area(0, 0, wide, high), self.stock)
        left_over = sketch.draw(self.shape, names, ())
        return drawing, left_over

    # The head of the first page

    def _head(
        self, page: Drawing, left_over: list[str], tiles: tuple[int, int] | None = None
    ) -> None:
        """The symbol, the code and the words; `tiles`: columns and rows of a figure that is on
        pages of its own."""
        area, fit = self.area, self.fit
        left, top = area.left + fit.quiet // 2, area.top + fit.quiet // 2
        page.dots(
            symbol_picture(self.card.payload or self.card.code, fit), left, top, fit.module_dots
        )
        edge = left + fit.side + fit.quiet
        bottom = area.top + self.mm(200.0 if tiles else HEAD_MM)
        style = largest_style(self.card.code, area.right - edge, 9 * self.dots / CAPITAL)
        baseline = area.top + ceil(RISE * style.size)
        pen = edge - text_pieces(self.card.code, style)[0][1]
        page.text(pen, baseline, self.card.code, style)
        flow = Flow(
            Area(area.left, area.top, area.right, bottom),
            Obstacle(edge, top + fit.side + fit.quiet),
            least_em(_LEAST_CAPITAL_MM * self.dots),
        )
        setting = flow.set_words(self._words(left_over, tiles), baseline + self.mm(2))
        self.cuts = setting.cuts
        for line in setting.lines:
            page.text(line.x, line.baseline, line.text, line.style)

    def _words(self, left_over: list[str], tiles: tuple[int, int] | None) -> list[Words]:
        base = 3.6 * self.dots
        order = ", ".join(letters(at) for at in self.shape.order)
        checks = "; ".join(
            f"{letters(a)} to {letters(b)} {length:.1f} mm"
            for a, b, length in check_distances(self.shape)
        )
        face = self.card.face and f"Seen from {self.card.face}."
        if self.card.mirrored:
            face = f"{face} Measured on the other face; left and right are changed.".strip()
        how = ""
        if tiles == (1, 1):
            how = "The figure is on the next page."
        elif tiles:
            columns, rows = tiles
            how = (
                f"The figure is on the next {columns * rows} pages, {rows} "
                f"row{'s' * (rows > 1)} of {columns}: lay marks of one number over each other and "
                "tape the pages."
            )
        said = (
            Words("name", self.plain(self.card.title), base * 1.3, bold=True, most_lines=3),
            Words("face", self.plain(face), base, bold=True, gap=base * 0.2),
            Words("note", self.plain(self.card.note), base * 0.85, gap=base * 0.2),
            Words("screws", " · ".join(left_over), base * 0.8, bold=True, gap=base * 0.2),
            Words("order", f"Tighten in this order: {order}.", base, bold=True, gap=base * 0.2),
            Words("checks", checks and f"Between holes, centre to centre: {checks}.", base * 0.85),
            Words("residual", self.residual, base * 0.8),
            Words("tiles", how, base * 0.8),
            Words("check", CHECK, base * 0.75, gap=base * 0.2),
            Words("caution", CAUTION, base * 0.75),
        )
        return [item for item in said if item.text]

    # What every page has

    def _checks(self, page: Drawing, number: int, count: int) -> None:
        """The scale bar and two check distances: crosses along the foot and up the right edge."""
        area = self.area
        style = Style(self.mm(3.0))
        bold = Style(self.mm(3.0), bold=True)
        thin, bar = max(1, self.mm(0.15)), max(1, self.mm(0.35))
        y = area.bottom - self.mm(4)
        wide = min(BAR_MM, 10 * (area.width / self.dots // 10) - 60)
        x = area.left
        page.bar(x, y, self.mm(wide) + thin, bar)
        for at in range(round(wide) + 1):
            long = self.mm(3.0 if at % 10 == 0 else 2.0 if at % 5 == 0 else 1.2)
            page.bar(x + self.mm(at), y - long, thin, long)
        page.text(x + self.mm(wide) + self.mm(2), y + bar, f"{wide:g} mm", bold)
        said = self.plain(f"{self.card.code}   page {number} of {count}")
        page.text(area.right - text_width(said, style), y + bar, said, style)
        across = 10 * int((area.width / self.dots - 14) / 10)
        down = 10 * int((area.height / self.dots - FOOT_MM - 14) / 10)
        low = area.bottom - self.mm(FOOT_MM - 4)
        right = area.right - self.mm(2.5)
        corners = {
            "P": (right - self.mm(across), low),
            "Q": (right, low),
            "R": (right, low - self.mm(down)),
        }
        for name, place in corners.items():
            _cross(page, *place, self.mm(2), thin)
            page.text(place[0] - self.mm(4.6), place[1] - self.mm(0.6), name, bold)
        words = f"Check: P–Q {across} mm, Q–R {down} mm"
        page.text(area.left + self.mm(24), low + self.mm(1.1), words, style)

    # Tiles

    def _tiles(self, canvas: Drawing) -> tuple[int, int, list[Drawing]]:
        wide = self.area.width
        high = self.area.height - self.mm(FOOT_MM)
        lap = self.mm(OVERLAP_MM)
        columns = max(1, ceil((canvas.width - lap) / (wide - lap)))
        rows = max(1, ceil((canvas.height - lap) / (high - lap)))
        ink = _ink(canvas)
        tiles = []
        for row in range(rows):
            for column in range(columns):
                x, y = column * (wide - lap), row * (high - lap)
                page = self._page()
                part = ink.crop((x, y, min(x + wide, canvas.width), min(y + high, canvas.height)))
                page.dots(part, self.area.left, self.area.top)
                for across, down, name in self._marks(columns, rows, wide, high, lap):
                    if x <= across < x + wide and y <= down < y + high:
                        self._mark(
                            page, self.area.left + across - x, self.area.top + down - y, name
                        )
                self._checks(page, 2 + row * columns + column, columns * rows + 1)
                if columns * rows > 1:
                    place = f"row {row + 1}, column {column + 1}"
                    style = Style(self.mm(3.0))
                    page.text(
                        self.area.left + self.mm(90), self.area.bottom - self.mm(10.9), place, style
                    )
                tiles.append(page)
        return columns, rows, tiles

    def _marks(
        self, columns: int, rows: int, wide: int, high: int, lap: int
    ) -> Iterator[tuple[int, int, str]]:
        """Places on the figure, in the middle of each overlap: two a joint, each with its name."""
        number = 0
        for column in range(1, columns):
            x = column * (wide - lap) + lap // 2
            for row in range(rows):
                for share in (0.25, 0.75):
                    number += 1
                    yield x, row * (high - lap) + round(share * high), f"{number}"
        for row in range(1, rows):
            y = row * (high - lap) + lap // 2
            for column in range(columns):
                for share in (0.25, 0.75):
                    number += 1
                    yield column * (wide - lap) + round(share * wide), y, f"{number}"

    def _mark(self, page: Drawing, x: int, y: int, name: str) -> None:
        """A match mark: a long cross with its number, the same on both pages."""
        _cross(page, x, y, self.mm(5), max(1, self.mm(0.2)))
        page.text(x + self.mm(1), y - self.mm(1), name, Style(self.mm(3.2), bold=True))


def _cross(page: Drawing, x: int, y: int, arm: int, thick: int) -> None:
    page.bar(x - arm, y - thick // 2, 2 * arm, thick)
    page.bar(x - thick // 2, y - arm, thick, 2 * arm)


def _ink(canvas: Drawing) -> Image.Image:
    """What is inked of a drawing, as ones."""
    return canvas.image().convert("L").point([255] + [0] * 255, "1")
