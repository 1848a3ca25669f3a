"""One label as a 1-bit image: the code largest, the symbol, then the words in order of weight."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from PIL import Image

from labels.face.drawing import Drawing
from labels.face.flow import Cut
from labels.face.fonts import printable
from labels.face.kinds import draw_face
from labels.face.tagtext import TagKind, TagLine, TagText
from labels.stock.geometry import Stock
from labels.stock.sizing import SymbolFit, fit_symbol

__all__ = ["Cut", "TagArtwork", "TagKind", "TagLine", "TagText", "draw_tag"]


@dataclass(frozen=True, slots=True)
class TagArtwork:
    """A drawn tag, and what the person should know about it."""

    text: TagText
    drawing: Drawing
    """The marks, in dots, on a label of exactly the stock's size."""
    fit: SymbolFit
    cuts: tuple[Cut, ...] = ()
    """Words that did not fit whole."""
    undrawable: tuple[str, ...] = ()
    """Characters that no typeface has, printed as something else."""
    symbol_box: tuple[int, int, int, int] = field(default=(0, 0, 0, 0))
    """Left, top, right, bottom of the dark square in dots, without the quiet zone."""

    @property
    def image(self) -> Image.Image:
        """The label as a 1-bit picture; 1 is white."""
        return self.drawing.image()


def draw_tag(text: TagText, stock: Stock, others: Iterable[Stock] = ()) -> TagArtwork:
    """Draw one tag for a stock.

    Raises `FitError`, naming the nearest of `others` that can, when the stock cannot hold the
    symbol at a size that readers need.
    """
    fit = fit_symbol(text.payload or text.code, stock, others)
    plain, strange = _plain(text)
    face = draw_face(plain, stock, fit)
    return TagArtwork(text, face.drawing, fit, face.cuts, strange, face.symbol_box)


def _plain(text: TagText) -> tuple[TagText, tuple[str, ...]]:
    """The text with only characters that can be drawn, and those that had to be changed."""
    strange: list[str] = []

    def drawn(words: str) -> str:
        shown, changed = printable(words)
        strange.extend(changed)
        return shown

    lines = tuple(
        TagLine(line.name, drawn(line.text), line.bold, drawn(line.side)) for line in text.lines
    )
    plain = TagText(
        text.code, drawn(text.title), tuple(line for line in lines if line.text), text.kind,
        drawn(text.heading), text.payload,
    )  # fmt: skip
    return plain, tuple(dict.fromkeys(strange))
