"""A label under way, and the two things every face is made of: large letters and the symbol."""

from dataclasses import dataclass
from functools import lru_cache

from PIL import Image

from labels.face.drawing import Drawing
from labels.face.fonts import Style
from labels.face.text import text_width
from labels.stock.sizing import Area, SymbolFit
from labels.symbols.symbol import make_symbol

_REFERENCE = 1000


@dataclass(slots=True)
class Canvas:
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


@lru_cache(maxsize=128)
def symbol_picture(payload: str, fit: SymbolFit) -> Image.Image:
    """The symbol, one dot a module, 1 is dark."""
    rows = make_symbol(payload, fit.level).rows
    modules = Image.frombytes("L", (len(rows), len(rows)), b"".join(rows))
    return modules.point(_DARK, "1")


_DARK = [0] + [255] * 255


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
