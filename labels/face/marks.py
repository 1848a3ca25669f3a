"""What marks the faces off from one another: the band of a bin, the lines of a spare tag."""

from dataclasses import replace
from functools import lru_cache

from PIL import Image

from labels.face.canvas import Canvas, largest_style
from labels.face.drawing import WHITE
from labels.face.flow import Flow
from labels.face.fonts import CAPITAL, Style
from labels.face.tagtext import TagText
from labels.face.text import least_em, text_pieces, text_width
from labels.stock.sizing import SymbolFit

LEAST_CAPITAL_MM = 1.8
"""The least height of capitals in ordinary words, as they are printed."""
TINY_CAPITAL_MM = 1.4
"""The same where a label is so small that the name would find no place."""
RULE_MM = 6.5
"""Least room for a line written by hand with a marker."""


def draw_band(label: Canvas, heading: str, fit: SymbolFit) -> bool:
    """The kind of bin, white on black, so that bins stand out from parts: up the right edge, or
    along the lower edge where the label is upright. Whether there was room for it."""
    area, words = label.area, heading.upper()
    whole = fit.side + 2 * fit.quiet
    wide = min(label.mm(9), max(label.mm(5), round(area.height * 0.2)))
    if area.width >= area.height and area.width - wide - whole > 0.25 * area.width:
        _upright_band(label, words, wide)
        return True
    high = min(label.mm(8), max(label.mm(3.2), round(area.height * 0.1)))
    if area.height - high - label.mm(1.5) < fit.side + 2 * fit.quiet:
        return False
    _level_band(label, words, high)
    return True


def _level_band(label: Canvas, words: str, high: int) -> None:
    area = label.area
    style = largest_style(words, area.width - label.mm(3), high * 0.62 / CAPITAL)
    label.drawing.bar(area.left, area.bottom - high, area.width, high)
    start = area.left + (area.width - text_width(words, style)) // 2
    baseline = area.bottom - (high - round(CAPITAL * style.size)) // 2
    label.drawing.text(start, baseline, words, style, WHITE)
    label.area = replace(area, bottom=area.bottom - high - label.mm(1.5))


def _upright_band(label: Canvas, words: str, wide: int) -> None:
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


def draw_rules(label: Canvas, flow: Flow, text: TagText, top: int) -> None:
    """Lines to write on, as many as fit, each with its small caption where one is given."""
    room = flow.area.bottom - top
    count = max(1, int(room / max(label.mm(RULE_MM), 1.8 * label.base)))
    step = room // count
    least = least_em(LEAST_CAPITAL_MM * label.dots_per_mm)
    style = Style(max(least, round(0.62 * label.base)))
    thick = max(1, label.mm(0.18))
    captions = [line.text for line in text.lines]
    for at in range(count):
        y = top + (at + 1) * step - thick
        left, right = flow.span(y - step // 2, 1)
        label.drawing.bar(left, y, right - left, thick)
        if at < len(captions):
            label.drawing.text(left, y - label.mm(0.7), captions[at], style)
