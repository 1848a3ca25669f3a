"""A label as a list of marks in whole dots: pictures, letters and bars, later ones on top.

The same list becomes one 1-bit picture (for PNG, preview and tests) or the instructions of a
PDF page, where a word that many tags share is stored once.
"""

from dataclasses import dataclass, field
from io import BytesIO
from typing import NamedTuple

from PIL import Image

from labels.face.fonts import Style
from labels.face.text import text_pieces, text_width

BLACK, WHITE = 0, 1


class Bitmap(NamedTuple):
    """A 1-bit picture laid at a place: its ones are inked, its zeros leave what is below."""

    picture: Image.Image
    x: int
    y: int
    times: int = 1
    """Each dot of the picture becomes a square of so many dots."""
    ink: int = BLACK

    @property
    def width(self) -> int:
        return self.picture.width * self.times

    @property
    def height(self) -> int:
        return self.picture.height * self.times


class Bar(NamedTuple):
    """A filled rectangle."""

    x: int
    y: int
    width: int
    height: int
    ink: int = BLACK


class PlacedPhoto(NamedTuple):
    """A photograph as JPEG bytes in RGB, stretched over a rectangle of dots."""

    jpeg: bytes
    pixels: tuple[int, int]
    x: int
    y: int
    width: int
    height: int


Element = Bitmap | Bar | PlacedPhoto


@dataclass(slots=True)
class Drawing:
    """A label under way. Lengths in dots from the left and top edge."""

    width: int
    height: int
    elements: list[Element] = field(default_factory=list)

    def bar(self, x: int, y: int, width: int, height: int, ink: int = BLACK) -> None:
        self.elements.append(Bar(x, y, width, height, ink))

    def dots(self, picture: Image.Image, x: int, y: int, times: int = 1, ink: int = BLACK) -> None:
        self.elements.append(Bitmap(picture, x, y, times, ink))

    def text(self, x: int, baseline: int, text: str, style: Style, ink: int = BLACK) -> int:
        """Write a printable text from pen position `x`; gives the pen's new position."""
        for picture, right, down in text_pieces(text, style):
            self.elements.append(Bitmap(picture, x + right, baseline + down, 1, ink))
        return x + text_width(text, style)

    def image(self) -> Image.Image:
        """All of it as one 1-bit picture; 1 is white."""
        whole = Image.new("1", (self.width, self.height), WHITE)
        for one in self.elements:
            if isinstance(one, Bar):
                whole.paste(one.ink, (one.x, one.y, one.x + one.width, one.y + one.height))
                continue
            if isinstance(one, PlacedPhoto):
                shown = Image.open(BytesIO(one.jpeg)).convert("L")
                dithered = shown.resize((one.width, one.height)).convert("1")
                whole.paste(dithered, (one.x, one.y))
                continue
            picture = one.picture
            if one.times > 1:
                picture = picture.resize((one.width, one.height), Image.Resampling.NEAREST)
            whole.paste(one.ink, (one.x, one.y), picture)
        return whole
