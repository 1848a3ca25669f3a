"""Two readers that had no part in drawing the tags."""

from collections.abc import Callable, Iterator

import cv2
import numpy
import zxingcpp
from PIL import Image, ImageFilter


def by_zxing(picture: Image.Image) -> str:
    """What zxing-cpp reads, as the picture is; empty for nothing."""
    read = zxingcpp.read_barcode(picture)
    return read.text if read else ""


def by_opencv(picture: Image.Image) -> str:
    """What OpenCV's QRCodeDetector reads; empty for nothing.

    It wants modules of several dots with clear gaps, as a camera gives them. So it is shown the
    picture as it is, reduced, and enlarged, with dark edges thinned by up to one dot.
    """
    for look in _looks(picture):
        text, _, _ = cv2.QRCodeDetector().detectAndDecode(numpy.asarray(look))
        if text:
            return str(text)
    return ""


def _looks(picture: Image.Image) -> Iterator[Image.Image]:
    yield picture
    yield picture.reduce(2)
    yield picture.reduce(3)
    twice = picture.resize((2 * picture.width, 2 * picture.height), Image.Resampling.BICUBIC)
    yield twice
    yield twice.filter(ImageFilter.MaxFilter(3))
    yield twice.filter(ImageFilter.MaxFilter(5))


READERS: dict[str, Callable[[Image.Image], str]] = {"zxing-cpp": by_zxing, "OpenCV": by_opencv}
