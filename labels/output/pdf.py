"""A PDF of 1-bit pictures at their true size, written page by page as the pages come.

Written by hand from ISO 32000-1, because the pictures must stay exact dots, a word that many
tags share is stored once, and a long run must not grow in memory: only the places of the
objects in the file are kept.
"""

import zlib
from collections import OrderedDict
from typing import BinaryIO

from PIL import Image

from labels.face.drawing import Bar, Drawing, Element, PlacedPhoto
from labels.output.correction import NONE, Correction
from labels.stock.geometry import Box
from labels.stock.sheet import Page, Stroke

POINTS_PER_MM = 72 / 25.4
_MOST_PICTURES = 1024
"""Pictures remembered as already written; a forgotten one is only written again."""
_EASE = 0.02
"""Marks are so many dots smaller all round than their dots, which they still fill: else rounding
in a printer's raster could make them touch, and so ink, a row of dots more."""
_HEADER = b"%PDF-1.6\n%\xe2\xe3\xcf\xd3\n"


class PdfWriter:
    """Writes pages into a binary stream; `close` adds the list of pages."""

    def __init__(
        self, stream: BinaryIO, title: str, dots_per_mm: float, correction: Correction = NONE
    ) -> None:
        self._stream = stream
        self._dots_per_mm = dots_per_mm
        self._title = title
        self._correction = correction
        self._offsets: dict[int, int] = {}
        self._pages: list[int] = []
        self._pictures: OrderedDict[int, tuple[int, Image.Image]] = OrderedDict()
        # Objects 1 to 3 are the catalogue, the page tree and the title, written last.
        self._next = 4
        self._position = 0
        self._write(_HEADER)

    def add(self, page: Page) -> None:
        """Write one page: the pictures not yet in the file, then the steps that place them."""
        used: dict[int, None] = {}
        steps = []
        width, height = self._whole_dots(page.width), self._whole_dots(page.height)
        for placed in page.placed:
            box = self._correction.box(placed.box)
            steps.append(_frame(box, placed.drawing, height))
            steps += [
                self._step(one, placed.drawing.height, used) for one in placed.drawing.elements
            ]
            steps.append("Q")
        steps += [_stroke(self._correction.stroke(stroke), height) for stroke in page.strokes]
        content = self._stream_object("", zlib.compress("\n".join(steps).encode("ascii"), 6))
        names = " ".join(f"/P{number} {number} 0 R" for number in used)
        across, up = width * POINTS_PER_MM, height * POINTS_PER_MM
        self._pages.append(
            self._object(
                f"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 {across:.5f} {up:.5f}] "
                f"/Resources << /XObject << {names} >> >> /Contents {content} 0 R >>"
            )
        )

    def _whole_dots(self, millimetres: float) -> float:
        """A length of the page as a whole number of dots (hundredths of a mm off), so that dots
        counted from the top, as printers do, and from the bottom, as PDF does, are the same."""
        return round(millimetres * self._dots_per_mm) / self._dots_per_mm

    def _step(self, one: Element, height: int, used: dict[int, None]) -> str:
        """One element, in dots from the label's lower left corner."""
        x, y = one.x + _EASE, height - one.y - one.height + _EASE
        wide, high = one.width - 2 * _EASE, one.height - 2 * _EASE
        if isinstance(one, Bar):
            return f"{one.ink} g {x:.2f} {y:.2f} {wide:.2f} {high:.2f} re f"
        if isinstance(one, PlacedPhoto):
            number = self._photo(one)
            used[number] = None
            return f"q {wide:.2f} 0 0 {high:.2f} {x:.2f} {y:.2f} cm /P{number} Do Q"
        number = self._picture(one.picture)
        used[number] = None
        return f"q {one.ink} g {wide:.2f} 0 0 {high:.2f} {x:.2f} {y:.2f} cm /P{number} Do Q"

    def _photo(self, one: PlacedPhoto) -> int:
        """The number of a photograph, whose JPEG bytes go into the file as they are."""
        wide, high = one.pixels
        head = (
            f"<< /Type /XObject /Subtype /Image /Width {wide} /Height {high} /ColorSpace "
            "/DeviceRGB /BitsPerComponent 8 /Filter /DCTDecode "
            f"/Length {len(one.jpeg)} >>\nstream\n"
        )
        return self._raw_object(head.encode("ascii") + one.jpeg + b"\nendstream", None)

    def _picture(self, picture: Image.Image) -> int:
        """The number of a picture in the file; it is written when it is met first."""
        kept = self._pictures.get(id(picture))
        if kept:
            self._pictures.move_to_end(id(picture))
            return kept[0]
        number = self._stream_object(
            f"/Type /XObject /Subtype /Image /Width {picture.width} /Height {picture.height} "
            "/ImageMask true /BitsPerComponent 1 /Decode [1 0] /Interpolate false ",
            zlib.compress(picture.tobytes(), 6),
        )
        # Holding the picture keeps its id from being given to another one.
        self._pictures[id(picture)] = number, picture
        if len(self._pictures) > _MOST_PICTURES:
            self._pictures.popitem(last=False)
        return number

    def close(self) -> None:
        """Write what ties the pages together. `PrintScaling None` asks viewers for 100 %."""
        kids = " ".join(f"{number} 0 R" for number in self._pages)
        self._object(
            "<< /Type /Catalog /Pages 2 0 R /ViewerPreferences << /PrintScaling /None "
            "/PickTrayByPDFSize true >> >>",
            1,
        )
        self._object(f"<< /Type /Pages /Count {len(self._pages)} /Kids [{kids}] >>", 2)
        self._object(f"<< /Title <{_hex(self._title)}> >>", 3)
        start = self._position
        rows = "".join(
            f"{self._offsets[number]:010d} 00000 n \n" for number in sorted(self._offsets)
        )
        self._write(
            f"xref\n0 {self._next}\n0000000000 65535 f \n{rows}trailer\n<< /Size {self._next} "
            f"/Root 1 0 R /Info 3 0 R >>\nstartxref\n{start}\n%%EOF\n".encode("ascii")
        )

    def _stream_object(self, entries: str, packed: bytes) -> int:
        head = f"<< {entries}/Filter /FlateDecode /Length {len(packed)} >>\nstream\n"
        return self._raw_object(head.encode("ascii") + packed + b"\nendstream", None)

    def _object(self, body: str, number: int | None = None) -> int:
        return self._raw_object(body.encode("ascii"), number)

    def _raw_object(self, body: bytes, number: int | None) -> int:
        if number is None:
            number = self._next
            self._next += 1
        self._offsets[number] = self._position
        self._write(b"%d 0 obj\n%b\nendobj\n" % (number, body))
        return number

    def _write(self, data: bytes) -> None:
        self._stream.write(data)
        self._position += len(data)


def _frame(box: Box, drawing: Drawing, page_height: float) -> str:
    """From here on lengths are dots of this label, from its lower left corner."""
    across = POINTS_PER_MM * box.width / drawing.width
    up = POINTS_PER_MM * box.height / drawing.height
    x, y = POINTS_PER_MM * box.x, POINTS_PER_MM * (page_height - box.bottom)
    return f"q {across:.8f} 0 0 {up:.8f} {x:.5f} {y:.5f} cm"


def _stroke(stroke: Stroke, page_height: float) -> str:
    x1, x2, thick = (POINTS_PER_MM * value for value in (stroke.x1, stroke.x2, stroke.thick))
    y1, y2 = (POINTS_PER_MM * (page_height - value) for value in (stroke.y1, stroke.y2))
    return f"{thick:.3f} w {x1:.4f} {y1:.4f} m {x2:.4f} {y2:.4f} l S"


def _hex(text: str) -> str:
    return (b"\xfe\xff" + text.encode("utf-16-be")).hex()
