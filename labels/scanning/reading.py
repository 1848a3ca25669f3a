"""Reading tags back: from a picture with one or many of them, a PDF, or a camera.

The reader (zxing-cpp), the PDF renderer (pypdfium2) and the camera (OpenCV) are extras; where
one is missing, the error says what to install.
"""

import time
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from importlib import import_module
from os import environ
from pathlib import Path
from types import ModuleType
from typing import Any

from PIL import Image, ImageChops, ImageFilter, ImageOps, UnidentifiedImageError

from labels.errors import NoReaderError, ReadingError
from labels.progress import Progress
from labels.scanning.second_pass import second_looks
from labels.upright import upright

PDF_DOTS_PER_MM = 300 / 25.4
"""Resolution at which PDF pages are looked at: five dots or more a module of any tag."""
_LARGEST_SIDE = 4000
"""Larger pictures are reduced first; a module then still has dots to spare."""
_MOST_PIXELS = 60_000_000
"""A picture with more is refused, since it has to be held in memory; a JPEG is read smaller."""
_LARGEST_PAGE = 3600
"""So many dots the long side of a page is looked at: A4 at full resolution, A3 at 218 dpi."""
_MOST_PAGES = 300
"""A PDF with more pages is refused."""
_SMALL_SIDE = 500
"""Smaller pictures are also looked at enlarged."""


@dataclass(frozen=True, slots=True)
class Seen:
    """One symbol that was read."""

    text: str
    """What it holds; `code_in` finds the code."""
    x: float
    y: float
    """Its middle, as parts of the picture's width and height from the left and top edge."""
    page: int = 1
    """The page of a PDF, counted from 1."""


def read_file(path: Path, progress: Progress | None = None) -> list[Seen]:
    """Every QR symbol in a picture or a PDF, in reading order, each text once a page.

    Raises `ReadingError` where the file cannot be opened or holds no symbol, and
    `NoReaderError` where the program that reads it is not installed.
    """
    if not path.is_file():
        raise ReadingError(f"There is no file {path}.")
    with path.open("rb") as stream:
        is_pdf = stream.read(5) == b"%PDF-"
    seen = read_pdf(path, progress) if is_pdf else read_picture(_opened(path))
    if not seen:
        raise ReadingError(
            f"No tag was found in {path.name}; take the picture closer, sharper and in even light."
        )
    return seen


def read_picture(picture: Image.Image, page: int = 1) -> list[Seen]:
    """Every QR symbol in a picture, in reading order; empty where none is found.

    What is easy to see is found first; then the picture is looked at smaller, with its contrast
    drawn out, with uneven light evened, and blurred, until nothing new turns up.
    """
    reader = _module("zxingcpp", "scan", "Reading pictures")
    found: dict[str, Seen] = {}
    for hard, look in _looks(picture):
        if hard and found:
            break
        for seen in _read(reader, look, page):
            found.setdefault(seen.text, seen)
    if not found:
        found |= _second_pass(reader, picture, page)
    return sorted(found.values(), key=lambda seen: (round(seen.y * 40), seen.x))


def _second_pass(reader: ModuleType, picture: Image.Image, page: int) -> dict[str, Seen]:
    """What is found where the first pass found nothing: ink told from paper under glare, symbols
    drawn anew from their known patterns. The first that is read ends it."""
    for look in second_looks(_grey(picture)):
        if isinstance(look, Image.Image):
            for seen in _read(reader, look, page):
                return {seen.text: seen}
        else:
            for seen in _read(reader, look.symbol, page):
                return {seen.text: replace(seen, x=look.x, y=look.y)}
    return {}


def _grey(picture: Image.Image) -> Image.Image:
    return upright(picture.convert("L"), of=picture)


def _looks(picture: Image.Image) -> Iterator[tuple[bool, Image.Image]]:
    """Ways to look at a picture: (whether it is only for when nothing was found, the picture)."""
    grey = _grey(picture)
    if max(grey.size) > _LARGEST_SIDE:
        grey = ImageOps.contain(grey, (_LARGEST_SIDE, _LARGEST_SIDE), Image.Resampling.BOX)
    lightest, darkest = grey.getextrema()
    if lightest == darkest:
        return  # nothing is drawn on it
    yield False, grey
    plain = ImageOps.autocontrast(grey, cutoff=1)
    if max(grey.size) > 1600:
        yield False, plain.reduce(2)
    yield True, plain
    yield True, _evened(plain)
    if max(grey.size) < _SMALL_SIDE:
        yield True, plain.resize((grey.width * 3, grey.height * 3), Image.Resampling.BICUBIC)
    for radius in (1.5, 3):
        yield True, plain.filter(ImageFilter.GaussianBlur(radius))
    if max(grey.size) > 1600:
        yield True, _evened(plain.reduce(2))
        yield True, plain.reduce(4)


def _evened(grey: Image.Image) -> Image.Image:
    """Black where a dot is darker than the mean of its surroundings: undoes uneven light."""
    radius = max(8, max(grey.size) // 40)
    around = grey.filter(ImageFilter.BoxBlur(radius))
    return ImageChops.subtract(around, grey).point([255] * 7 + [0] * 249)


def _read(reader: ModuleType, picture: Image.Image, page: int) -> Iterator[Seen]:
    for result in reader.read_barcodes(picture, formats=reader.BarcodeFormat.QRCode):
        if "icro" in str(result.format):  # a small one seen in the dots of a large one
            continue
        at = result.position
        corners = (at.top_left, at.top_right, at.bottom_right, at.bottom_left)
        x = sum(corner.x for corner in corners) / 4 / picture.width
        y = sum(corner.y for corner in corners) / 4 / picture.height
        if result.text:
            yield Seen(result.text, x, y, page)


def read_pdf(path: Path, progress: Progress | None = None) -> list[Seen]:
    """Every QR symbol on every page of a PDF. Raises `ReadingError` where it is damaged."""
    pdfium = _module("pypdfium2", "scan", "Reading PDF files")
    try:
        document = pdfium.PdfDocument(path)
    except pdfium.PdfiumError as error:
        why = str(error).rstrip(".")
        raise ReadingError(f"{path.name} cannot be read as a PDF: {why}.") from error
    seen: list[Seen] = []
    try:
        if len(document) > _MOST_PAGES:
            raise ReadingError(
                f"{path.name} has {len(document)} pages, and at most {_MOST_PAGES} are looked at; "
                "give the pages with the tags."
            )
        for number in range(len(document)):
            page = document[number]
            # A page larger than a picture may be is looked at coarser.
            side = max(*page.get_size(), 1.0)
            scale = min(PDF_DOTS_PER_MM * 25.4 / 72, _LARGEST_PAGE / side)
            picture = page.render(scale=scale, grayscale=True).to_pil()
            page.close()
            seen += read_picture(picture, number + 1)
            if progress:
                progress(number + 1, len(document))
    finally:
        document.close()
    return seen


def read_camera(camera: int = 0, seconds: float = 20.0) -> list[Seen]:
    """The symbols in the first picture of a camera that shows any.

    Raises `ReadingError` where there is no such camera or no tag was held before it in time.
    """
    environ.setdefault("OPENCV_LOG_LEVEL", "OFF")  # a missing camera is told in our own words
    vision = _module("cv2", "webcam", "The camera")
    _module("zxingcpp", "scan", "Reading pictures")
    end = time.monotonic() + seconds
    with _camera(vision, camera) as device:
        while time.monotonic() < end:
            good, frame = device.read()
            if not good:
                raise ReadingError(f"Camera {camera} stopped giving pictures.")
            grey = vision.cvtColor(frame, vision.COLOR_BGR2GRAY)
            seen = read_picture(Image.fromarray(grey))
            if seen:
                return seen
    raise ReadingError(f"No tag was held in front of the camera within {seconds:g} s.")


@contextmanager
def _camera(vision: ModuleType, number: int) -> Iterator[Any]:
    device = vision.VideoCapture(number)
    try:
        if not device.isOpened():
            raise ReadingError(f"There is no camera {number} here.")
        yield device
    finally:
        device.release()


def _opened(path: Path) -> Image.Image:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            picture = Image.open(path)
        if picture.format in ("JPEG", "MPO") and not picture.info.get("progressive"):
            picture.draft("L", (_LARGEST_SIDE, _LARGEST_SIDE))
        if picture.width * picture.height > _MOST_PIXELS:
            raise ReadingError(
                f"{path.name} has {picture.width * picture.height / 1e6:.0f} million pixels, more "
                f"than {_MOST_PIXELS / 1e6:.0f} million; make it smaller first."
            )
        picture.load()
    except (
        *(UnidentifiedImageError, OSError, ValueError, SyntaxError),
        Image.DecompressionBombError,
    ) as error:
        raise ReadingError(f"{path.name} is not a picture that can be read: {error}.") from error
    return picture


def _module(name: str, extra: str, what: str) -> ModuleType:
    try:
        return import_module(name)
    except ImportError:
        raise NoReaderError(
            f"{what} needs the package {name}, which is not installed; "
            "install it, in the folder of this program, with: "
            f".venv/bin/pip install -e '.[{extra}]'."
        ) from None
