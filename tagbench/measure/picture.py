"""A picture file as numbers, and what the file says of how it was taken."""

from __future__ import annotations

import struct
import warnings
import zlib
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, UnidentifiedImageError

from labels.upright import upright
from tagbench.book.exif import by_camera, focal_35
from tagbench.errors import BadInput

Pixels = NDArray[np.uint8]
LARGEST_PIXELS = 80_000_000
"""An A4 page at 600 dpi has 35 million."""
SMALLEST_SIDE = 200
_DIAGONAL_35 = 43.27
"""Diagonal of the 36 x 24 mm frame that focal lengths are told for, mm."""
_TOO_LARGE = "{} has more than 80 million pixels; scan at 300 dpi, or take it with fewer pixels."
_BROKEN = (
    OSError, SyntaxError, ValueError, EOFError, LookupError, TypeError, ArithmeticError,
    MemoryError, RuntimeError, struct.error, zlib.error,
)  # fmt: skip
"""What Pillow raises for files that are damaged inside, by format."""
_SCREEN_DPI = 100
"""What programs write that know nothing is below this: 72 and 96."""


@dataclass(frozen=True, slots=True)
class UprightPicture:
    """A picture, turned upright as its file says."""

    pixels: Pixels
    """Rows of grey values, or of blue, green and red."""
    dpi: tuple[float, float] | None
    """Dots per inch across and down as the file says, where a scanner may have written it."""
    focal: float | None
    """Focal length in px as the file says, None where it does not."""
    name: str

    @property
    def grey(self) -> Pixels:
        """Light alone: the green and red that lenses and sensors draw sharpest weigh most."""
        if self.pixels.ndim == 2:
            return self.pixels
        import cv2

        return np.asarray(cv2.cvtColor(self.pixels, cv2.COLOR_BGR2GRAY))

    @property
    def size(self) -> tuple[int, int]:
        """Width and height, px."""
        return self.pixels.shape[1], self.pixels.shape[0]


def open_picture(path: Path) -> UprightPicture:
    """The picture of a file; BadInput where it is none, too small or too large."""
    if not path.is_file():
        raise BadInput(f"There is no picture {path}; check the name.")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # what Pillow says of damage is said below
            with Image.open(path) as image:
                wide, high = image.size
                if wide * high > LARGEST_PIXELS:
                    raise BadInput(_TOO_LARGE.format(path.name))
                return _read(image, path.name)
    except Image.DecompressionBombError:
        raise BadInput(_TOO_LARGE.format(path.name)) from None
    except UnidentifiedImageError:
        raise BadInput(f"{path.name} is not a picture; give a JPEG, PNG or TIFF file.") from None
    except _BROKEN as error:
        why = str(error).rstrip(".") or type(error).__name__
        raise BadInput(f"{path.name} cannot be read as a picture: {why}; take it again.") from None


def _read(image: Image.Image, name: str) -> UprightPicture:
    dpi = None if by_camera(image) else _dpi(image)
    held = upright(image)
    if dpi and held.size != image.size:
        dpi = dpi[::-1]
    if min(held.size) < SMALLEST_SIDE:
        raise BadInput(
            f"{name} is only {held.width} x {held.height} pixels; send the picture in full size."
        )
    focal = None
    told = focal_35(image)
    if told is not None and told > 5:
        focal = told / _DIAGONAL_35 * float(np.hypot(*held.size))
    if held.mode in ("1", "L", "I", "F") or held.mode.startswith("I;16"):
        grey = _eight_bits(held)
        return UprightPicture(grey, dpi, focal, name)
    import cv2

    colour = cv2.cvtColor(np.asarray(_flat(held)), cv2.COLOR_RGB2BGR)
    return UprightPicture(np.asarray(colour), dpi, focal, name)


def _eight_bits(image: Image.Image) -> Pixels:
    if image.mode in ("I", "F") or image.mode.startswith("I;16"):
        values = np.asarray(image, dtype=np.float32)
        values = np.nan_to_num(values, posinf=0.0, neginf=0.0)
        top = 65535.0 if values.max() > 255 else 255.0
        return np.asarray(np.clip(values * (255 / top), 0, 255), dtype=np.uint8)
    return np.array(image.convert("L"))


def _flat(image: Image.Image) -> Image.Image:
    """Red, green and blue; what is transparent lies on white."""
    if image.mode in ("RGBA", "PA", "LA") or "transparency" in image.info:
        over = image.convert("RGBA")
        white = Image.new("RGBA", over.size, "white")
        return Image.alpha_composite(white, over).convert("RGB")
    return image if image.mode == "RGB" else image.convert("RGB")


def _dpi(image: Image.Image) -> tuple[float, float] | None:
    told = image.info.get("dpi")
    if not told:
        return None
    across, down = float(told[0]), float(told[1])
    if min(across, down) < _SCREEN_DPI or max(across, down) > 10000:
        return None
    return across, down
