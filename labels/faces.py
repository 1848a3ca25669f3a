"""The faces of a tag: part, bin and spare, on any label from tiny to a hanging card."""

from dataclasses import dataclass, replace
from functools import lru_cache
from math import ceil

from PIL import Image

from labels.drawing import WHITE, Drawing
from labels.flow import Cut, Flow, Line, Obstacle, Words
from labels.fonts import CAPITAL, RISE, Style
from labels.geometry import Stock
from labels.sizing import Area, Fit, ink_area
from labels.symbol import make_symbol
from labels.tagtext import TagLine, TagText
from labels.text import text_pieces, text_width

SMALLEST_MM = 1.95
"""The least em; its small letters are about 1.05 mm high."""
RULE_MM = 6.5
"""Least room for a line written by hand with a marker."""
CODE_SHARE, LEAST_CODE_SHARE = 0.3, 0.22
"""How much of the height the code's capitals take; the less only where words would be cut."""
AIR_MM = 0.5
"""Between the quiet zone and any words, so that no accent or tail reaches into it."""
_REFERENCE = 1000

SymbolBox = tuple[int, int, int, int]


@dataclass(frozen=True, slots=True)
class Face:
    """A finished label."""

    drawing: Drawing
    cuts: tuple[Cut, ...]
    symbol_box: SymbolBox


@dataclass(slots=True)
class _Label:
    """A label under way: the drawing, and where ink may still go."""

    drawing: Drawing
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
    label = _Label(Drawing(*stock.label_dots), ink_area(stock), stock.dots_per_mm)
    if text.kind == "bin" and text.heading and not _draw_band(label, text.heading, fit):
        text = replace(text, lines=(TagLine("kind", text.heading), *text.lines))
    box = _place_symbol(label, fit)
    picture = symbol_picture(text.payload or text.code, fit)
    label.drawing.dots(picture, box[0], box[1], fit.module_dots)
    flow, top = _flow(label, fit, box)
    code = _code_line(flow, text.code, top, CODE_SHARE)
    cuts: tuple[Cut, ...] = ()
    if text.kind == "spare":
        _draw_rules(label, flow, text, _below(code))
    else:
        setting = flow.set_words(_words(text, label.base, code.style.size), _below(code))
        if setting.cuts:
            code = _code_line(flow, text.code, top, LEAST_CODE_SHARE)
            setting = flow.set_words(_words(text, label.base, code.style.size), _below(code))
        cuts = setting.cuts
        for line in setting.lines:
            label.drawing.text(line.x, line.baseline, line.text, line.style)
    label.drawing.text(code.x, code.baseline, code.text, code.style)
    return Face(label.drawing, cuts, box)


def _place_symbol(label: _Label, fit: Fit) -> SymbolBox:
    """Top left, or in the middle of the height where there is no room for words below; with its
    quiet zone on the label all round."""
    area = label.area
    left = max(area.left, fit.quiet)
    top = max(area.top, fit.quiet)
    if area.height < 1.45 * (fit.side + fit.quiet):
        top = max(top, area.top + (area.height - fit.side) // 2)
    top = min(top, label.drawing.height - fit.quiet - fit.side)
    return left, top, left + fit.side, top + fit.side


@lru_cache(maxsize=128)
def symbol_picture(payload: str, fit: Fit) -> Image.Image:
    """The symbol, one dot a module, 1 is dark."""
    rows = make_symbol(payload, fit.level).rows
    modules = Image.frombytes("L", (len(rows), len(rows)), b"".join(rows))
    return modules.point(_DARK, "1")


_DARK = [0] + [255] * 255


def _flow(label: _Label, fit: Fit, box: SymbolBox) -> tuple[Flow, int]:
    """The room for words, and how far down the first of them starts."""
    air = label.mm(AIR_MM)
    # Lines below the symbol start level with it; letters may lean a hair out of their length.
    area = replace(label.area, left=box[0], right=label.area.right - air // 2)
    smallest = label.mm(SMALLEST_MM)
    right, bottom = box[2] + fit.quiet + air, box[3] + fit.quiet + air
    narrow = area.right - right < 0.3 * area.width
    upright = area.height > area.width and area.bottom - bottom > 0.4 * area.height
    if narrow or upright:
        below = Area(area.left, bottom, area.right, area.bottom)
        return Flow(below, Obstacle(area.left, 0), smallest), bottom
    return Flow(area, Obstacle(right, bottom), smallest), _code_top(area, fit, box)


def _code_top(area: Area, fit: Fit, box: SymbolBox) -> int:
    """Level with the symbol, unless the symbol was moved down to the middle."""
    return box[1] if box[1] <= max(area.top, fit.quiet) else area.top


def _code_line(flow: Flow, code: str, top: int, share: float) -> Line:
    """The code as large as its room allows, its capitals at most a share of the height."""
    left, right = flow.span(top, 1)
    style = largest_style(code, right - left, flow.area.height * share / RISE)
    # The ink of the first letter starts at the edge, like the smaller words below it.
    start = left - text_pieces(code, style)[0][1]
    return Line(code, style, start, top + ceil(RISE * style.size))


def _below(code: Line) -> int:
    """Where the words below the code may start."""
    return code.baseline + round(0.12 * code.style.size)


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


def _words(text: TagText, base: float, code_size: int) -> list[Words]:
    """What is said below the code; nothing is as large as the code."""
    most = 0.72 * code_size
    lines = [
        Words(line.name, line.text, base, line.bold, gap=base * 0.12, largest=most * 0.8)
        for line in text.lines
    ]
    if not text.title:
        return lines
    return [Words("name", text.title, base * 1.3, bold=True, most_lines=4, largest=most), *lines]


def _draw_band(label: _Label, heading: str, fit: Fit) -> bool:
    """The kind of bin, white on black, so that bins stand out from parts: up the right edge, or
    along the lower edge where the label is upright. Whether there was room for it."""
    area, words = label.area, heading.upper()
    whole = fit.side + 2 * fit.quiet
    wide = min(label.mm(9), max(label.mm(5), round(area.height * 0.2)))
    if area.width >= area.height and area.width - wide - whole > 0.25 * area.width:
        _upright_band(label, words, wide)
        return True
    high = min(label.mm(8), max(label.mm(3), round(area.height * 0.1)))
    if area.height - high - label.mm(1.5) < fit.side + 2 * fit.quiet:
        return False
    _level_band(label, words, high)
    return True


def _level_band(label: _Label, words: str, high: int) -> None:
    area = label.area
    style = largest_style(words, area.width - label.mm(3), high * 0.62 / CAPITAL)
    label.drawing.bar(area.left, area.bottom - high, area.width, high)
    start = area.left + (area.width - text_width(words, style)) // 2
    baseline = area.bottom - (high - round(CAPITAL * style.size)) // 2
    label.drawing.text(start, baseline, words, style, WHITE)
    label.area = replace(area, bottom=area.bottom - high - label.mm(1.5))


def _upright_band(label: _Label, words: str, wide: int) -> None:
    area = label.area
    style = largest_style(words, area.height - label.mm(3), wide * 0.62 / CAPITAL)
    label.drawing.bar(area.right - wide, area.top, wide, area.height)
    start = area.bottom - (area.height - text_width(words, style)) // 2
    baseline = area.right - (wide - round(CAPITAL * style.size)) // 2
    picture, up, left = _upward(words, style)
    label.drawing.dots(picture, baseline + left, start - up, ink=WHITE)
    label.area = replace(area, right=area.right - wide - label.mm(1.5))


@lru_cache(maxsize=64)
def _upward(words: str, style: Style) -> tuple[Image.Image, int, int]:
    """Words turned to read upwards, how far they reach up from the pen, and the picture's left
    edge from the baseline."""
    picture = Image.new("1", (text_width(words, style), 2 * style.size))
    for letters, right, down in text_pieces(words, style):
        picture.paste(1, (right, style.size + down), letters)
    return picture.transpose(Image.Transpose.ROTATE_90), picture.width, -style.size


def _draw_rules(label: _Label, flow: Flow, text: TagText, top: int) -> None:
    """Lines to write on, as many as fit, each with its small caption where one is given."""
    room = flow.area.bottom - top
    count = max(1, int(room / max(label.mm(RULE_MM), 1.8 * label.base)))
    step = room // count
    style = Style(round(max(label.mm(SMALLEST_MM), 0.62 * label.base)))
    thick = max(1, label.mm(0.18))
    captions = [line.text for line in text.lines]
    for at in range(count):
        y = top + (at + 1) * step - thick
        left, right = flow.span(y - step // 2, 1)
        label.drawing.bar(left, y, right - left, thick)
        if at < len(captions):
            label.drawing.text(left, y - label.mm(0.7), captions[at], style)
