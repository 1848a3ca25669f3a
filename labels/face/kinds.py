"""The faces of a tag: part, bin and spare, on any label from tiny to a hanging card."""

from dataclasses import dataclass, replace
from math import ceil

from labels.face.canvas import Canvas, largest_style, symbol_picture
from labels.face.drawing import WHITE, Drawing
from labels.face.flow import Cut, Flow, Obstacle, PlacedLine, PlacedText, Words
from labels.face.fonts import RISE
from labels.face.marks import LEAST_CAPITAL_MM, TINY_CAPITAL_MM, draw_band, draw_rules
from labels.face.tagtext import TagLine, TagText
from labels.face.text import least_em, tail, text_pieces, text_width
from labels.stock.geometry import Stock
from labels.stock.sizing import Area, SymbolFit, ink_area

CODE_SHARES = (0.3, 0.26, 0.22, 0.18, 0.14)
"""How much of the height the code's capitals take; the less only where words would be cut."""
LEAST_CODE_MM = 3.5
"""The code's capitals give way to the words down to this height."""
AIR_MM = 0.5
"""Between the quiet zone and any words, so that no accent or tail reaches into it."""

_BETWEEN, _JOINED = " · ", "the rest"

SymbolBox = tuple[int, int, int, int]


@dataclass(frozen=True, slots=True)
class Face:
    """A finished label."""

    drawing: Drawing
    cuts: tuple[Cut, ...]
    symbol_box: SymbolBox


def draw_face(text: TagText, stock: Stock, fit: SymbolFit) -> Face:
    """Draw a tag whose words are all printable."""
    label = Canvas(Drawing(*stock.label_dots), ink_area(stock), stock.dots_per_mm)
    if text.kind == "bin" and text.heading and not draw_band(label, text.heading, fit):
        text = replace(text, lines=(TagLine("kind", text.heading), *text.lines))
    box = _place_symbol(label, fit)
    picture = symbol_picture(text.payload or text.code, fit)
    label.drawing.dots(picture, box[0], box[1], fit.module_dots)
    flow, top = _flow(label, fit, box)
    code = _code_line(flow, text.code, top, CODE_SHARES[0])
    cuts: tuple[Cut, ...] = ()
    if text.kind == "spare":
        draw_rules(label, flow, text, _below(code))
    else:
        code, setting = _code_and_words(text, label, flow, top)
        if any(cut.name == "name" and not cut.printed for cut in setting.cuts):
            tiny = least_em(TINY_CAPITAL_MM * label.dots_per_mm)
            code, setting = _code_and_words(text, label, Flow(flow.area, flow.obstacle, tiny), top)
        cuts = setting.cuts
        for line in setting.lines:
            _write(label, line)
    label.drawing.text(code.x, code.baseline, code.text, code.style)
    return Face(label.drawing, cuts, box)


def _write(label: Canvas, line: PlacedLine) -> None:
    """A line of words; a boxed one white on black."""
    if line.boxed:
        high = round(RISE * line.style.size) + 2 * (line.boxed // 2)
        wide = text_width(line.text, line.style) + 2 * line.boxed
        top = line.baseline + line.boxed // 2 - high
        label.drawing.bar(line.x - line.boxed, top, wide, high)
        label.drawing.text(line.x, line.baseline, line.text, line.style, WHITE)
        return
    label.drawing.text(line.x, line.baseline, line.text, line.style)


def _code_and_words(
    text: TagText, label: Canvas, flow: Flow, top: int
) -> tuple[PlacedLine, PlacedText]:
    """The code gives way before the words do: the largest code at which nothing is cut.

    Where something is cut even below the smallest code, the lines run on as one if that saves
    a whole line.
    """
    for share in CODE_SHARES:
        height = max(share * flow.area.height, LEAST_CODE_MM * label.dots_per_mm)
        code = _code_line(flow, text.code, top, height / flow.area.height)
        setting = _set(text, label, flow, code)
        if not setting.cuts:
            break
    if any(not cut.printed for cut in setting.cuts):
        setting = _fewer_cuts(setting, _set_joined(text, label, flow, code))
    return code, setting


def _place_symbol(label: Canvas, fit: SymbolFit) -> SymbolBox:
    """Top left, or in the middle of the height where there is no room for words below; with its
    quiet zone on the label all round."""
    area = label.area
    left = max(area.left, fit.quiet)
    top = max(area.top, fit.quiet)
    if area.height < 1.45 * (fit.side + fit.quiet):
        top = max(top, area.top + (area.height - fit.side) // 2)
    top = min(top, label.drawing.height - fit.quiet - fit.side)
    return left, top, left + fit.side, top + fit.side


def _flow(label: Canvas, fit: SymbolFit, box: SymbolBox) -> tuple[Flow, int]:
    """The room for words, and how far down the first of them starts."""
    air = label.mm(AIR_MM)
    # Lines below the symbol start level with it; letters may lean a hair out of their length.
    area = replace(label.area, left=box[0], right=label.area.right - air // 2)
    smallest = least_em(LEAST_CAPITAL_MM * label.dots_per_mm)
    right, bottom = box[2] + fit.quiet + air, box[3] + fit.quiet + air
    narrow = area.right - right < 0.3 * area.width
    upright = area.height > area.width and area.bottom - bottom > 0.4 * area.height
    if narrow or upright:
        below = Area(area.left, bottom, area.right, area.bottom)
        return Flow(below, Obstacle(area.left, 0), smallest), bottom
    return Flow(area, Obstacle(right, bottom), smallest), _code_top(area, fit, box)


def _code_top(area: Area, fit: SymbolFit, box: SymbolBox) -> int:
    """Level with the symbol, unless the symbol was moved down to the middle."""
    return box[1] if box[1] <= max(area.top, fit.quiet) else area.top


def _code_line(flow: Flow, code: str, top: int, share: float) -> PlacedLine:
    """The code as large as its room allows, its capitals at most a share of the height."""
    left, right = flow.span(top, 1)
    style = largest_style(code, right - left, flow.area.height * share / RISE)
    # The ink of the first letter starts at the edge, like the smaller words below it.
    start = left - text_pieces(code, style)[0][1]
    return PlacedLine(code, style, start, top + ceil(RISE * style.size))


def _below(code: PlacedLine) -> int:
    """Where the words below the code may start."""
    return code.baseline + max(tail(code.text, code.style), round(0.12 * code.style.size))


def _set(text: TagText, label: Canvas, flow: Flow, code: PlacedLine) -> PlacedText:
    return flow.set_words(_words(text, label.base, code.style.size), _below(code))


def _set_joined(text: TagText, label: Canvas, flow: Flow, code: PlacedLine) -> PlacedText:
    """All lines after the name run on as one, for labels that are wide but low."""
    whole = _BETWEEN.join(line.text for line in text.lines)
    side = next((line.side for line in text.lines if line.side), "")
    setting = _set(replace(text, lines=(TagLine(_JOINED, whole, side=side),)), label, flow, code)
    cuts: list[Cut] = []
    for cut in setting.cuts:
        cuts += _parted(cut, text.lines) if cut.name == _JOINED else [cut]
    return replace(setting, cuts=tuple(cuts))


def _parted(cut: Cut, lines: tuple[TagLine, ...]) -> list[Cut]:
    """What a cut of the joined lines means for each of them."""
    printed, start, cuts = len(cut.printed.rstrip("…")), 0, []
    for line in lines:
        if start + len(line.text) > printed:
            shown = line.text[: max(0, printed - start)].rstrip()
            cuts.append(Cut(line.name, line.text, f"{shown}…" if shown else ""))
        start += len(line.text) + len(_BETWEEN)
    return cuts


def _fewer_cuts(one: PlacedText, other: PlacedText) -> PlacedText:
    return other if len(other.cuts) < len(one.cuts) else one


def _words(text: TagText, base: float, code_size: int) -> list[Words]:
    """What is said below the code; nothing is as large as the code."""
    most = 0.72 * code_size
    lines = [
        Words(
            line.name,
            line.text,
            base,
            line.bold,
            gap=base * 0.12,
            largest=most * 0.8,
            side=line.side,
            with_last=at == 0,
        )
        for at, line in enumerate(text.lines)
    ]
    if not text.title:
        return lines
    return [Words("name", text.title, base * 1.3, bold=True, most_lines=4, largest=most), *lines]
