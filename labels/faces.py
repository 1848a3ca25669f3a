"""The faces of a tag: part, bin and spare, on any label from tiny to a hanging card."""

from dataclasses import dataclass

from PIL import Image, ImageDraw

from labels.flow import Cut, Flow, Obstacle, Setting, Words
from labels.fonts import CAPITAL, Style
from labels.geometry import Stock
from labels.sizing import Area, Fit, ink_area
from labels.symbol import make_symbol
from labels.tagtext import TagText
from labels.text import BLACK, WHITE, draw_text, text_width

SMALLEST_MM = 1.95
"""The least em; its small letters are about 1.05 mm high."""
RULE_MM = 7.0
"""Room for a line written by hand with a marker."""
_REFERENCE = 200


@dataclass(frozen=True, slots=True)
class Face:
    """A finished label."""

    image: Image.Image
    cuts: tuple[Cut, ...]
    symbol_box: tuple[int, int, int, int]


@dataclass(slots=True)
class _Sheet:
    """A label under way: the image, where ink may lie, and a length in dots."""

    image: Image.Image
    draw: ImageDraw.ImageDraw
    area: Area
    dots_per_mm: float

    def mm(self, millimetres: float) -> int:
        return round(millimetres * self.dots_per_mm)

    @property
    def base(self) -> float:
        """The em of ordinary words in dots: it grows with the label."""
        height = self.area.height / self.dots_per_mm
        return min(max(height * 0.1, 2.6), 5.2) * self.dots_per_mm


def draw_face(text: TagText, stock: Stock, fit: Fit) -> Face:
    """Draw a tag whose words are all printable."""
    image = Image.new("1", stock.label_dots, WHITE)
    sheet = _Sheet(image, ImageDraw.Draw(image), ink_area(stock), stock.dots_per_mm)
    if text.kind == "bin" and text.heading:
        _draw_band(sheet, text.heading)
    box = _place_symbol(sheet.area, fit)
    _draw_symbol(image, text.payload or text.code, fit, box)
    flow, top = _flow(sheet, fit, box)
    below = _draw_code(sheet, flow, text.code, top)
    if text.kind == "spare":
        _draw_rules(sheet, flow, text, below)
        return Face(image, (), box)
    setting = flow.set_words(_words(text, sheet.base), below)
    _draw_lines(image, setting)
    return Face(image, setting.cuts, box)


def _place_symbol(area: Area, fit: Fit) -> tuple[int, int, int, int]:
    """Top left, or in the middle of the height where there is no room for words below."""
    left = max(area.left, fit.quiet)
    top = max(area.top, fit.quiet)
    if area.height < 1.45 * (fit.side + fit.quiet):
        top = max(top, area.top + (area.height - fit.side) // 2)
    return left, top, left + fit.side, top + fit.side


def _draw_symbol(
    image: Image.Image, payload: str, fit: Fit, box: tuple[int, int, int, int]
) -> None:
    rows = make_symbol(payload, fit.level).rows
    modules = Image.frombytes("L", (len(rows), len(rows)), b"".join(rows))
    dark = modules.point([255, 0] * 128, "1")
    image.paste(dark.resize((fit.side, fit.side), Image.Resampling.NEAREST), box)


def _flow(sheet: _Sheet, fit: Fit, box: tuple[int, int, int, int]) -> tuple[Flow, int]:
    """The room for words, and how far down the first of them starts."""
    area = sheet.area
    smallest = sheet.mm(SMALLEST_MM)
    right, bottom = box[2] + fit.quiet, box[3] + fit.quiet
    if area.right - right < 0.3 * area.width:
        below = Area(area.left, bottom, area.right, area.bottom)
        return Flow(below, Obstacle(area.left, 0), smallest), bottom
    return Flow(area, Obstacle(right, bottom), smallest), min(area.top, box[1])


def _draw_code(sheet: _Sheet, flow: Flow, code: str, top: int) -> int:
    """The code as large as its room allows; gives where the next words may start."""
    left, right = flow.span(top, 1)
    highest = flow.area.height * 0.3 / CAPITAL
    style = largest_style(code, right - left, highest)
    baseline = top + round(CAPITAL * style.size)
    draw_text(sheet.image, left - round(0.04 * style.size), baseline, code, style)
    return baseline + round(0.12 * style.size)


def largest_style(text: str, room: int, highest: float) -> Style:
    """The largest bold letters for a text in a room: narrower ones only where that gains size."""
    best = Style(1, bold=True)
    for width in (100, 90, 80):
        wide = text_width(text, Style(_REFERENCE, bold=True, width=width))
        size = int(min(highest, _REFERENCE * room / wide))
        style = Style(size, bold=True, width=width)
        while size > 1 and text_width(text, style) > room:
            size -= 1
            style = Style(size, bold=True, width=width)
        if style.size > best.size:
            best = style
    return best


def _words(text: TagText, base: float) -> list[Words]:
    lines = [Words(line.name, line.text, base, line.bold, gap=base * 0.12) for line in text.lines]
    if not text.title:
        return lines
    return [Words("name", text.title, base * 1.3, bold=True, most_lines=3), *lines]


def _draw_lines(image: Image.Image, setting: Setting) -> None:
    for line in setting.lines:
        draw_text(image, line.x, line.baseline, line.text, line.style)


def _draw_band(sheet: _Sheet, heading: str) -> None:
    """The kind of bin, white on black up the right edge, so that bins stand out from parts."""
    area = sheet.area
    wide = min(sheet.mm(9), max(sheet.mm(5), round(area.height * 0.2)))
    style = largest_style(heading.upper(), area.height - sheet.mm(3), wide * 0.62 / CAPITAL)
    band = Image.new("1", (area.height, wide), BLACK)
    start = (area.height - text_width(heading.upper(), style)) // 2
    draw_text(band, start, (wide + round(CAPITAL * style.size)) // 2, heading.upper(), style, WHITE)
    sheet.image.paste(band.rotate(90, expand=True), (area.right - wide, area.top))
    sheet.area = Area(area.left, area.top, area.right - wide - sheet.mm(1.5), area.bottom)


def _draw_rules(sheet: _Sheet, flow: Flow, text: TagText, top: int) -> None:
    """Lines to write on, as many as fit, each with its small caption where one is given."""
    room = flow.area.bottom - top
    count = max(1, int(room / sheet.mm(RULE_MM)))
    step = room // count
    style = Style(sheet.mm(SMALLEST_MM * 1.1))
    thick = max(1, sheet.mm(0.18))
    captions = [line.text for line in text.lines]
    for at in range(count):
        y = top + (at + 1) * step - thick
        left, right = flow.span(y - step // 2, 1)
        sheet.draw.rectangle((left, y, right - 1, y + thick - 1), fill=BLACK)
        if at < len(captions):
            draw_text(sheet.image, left, y - sheet.mm(0.7), captions[at], style)
