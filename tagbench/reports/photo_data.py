"""A picture small enough to print: decoded at a reduced size, so that hundreds take seconds."""

from __future__ import annotations

import base64
import io
from pathlib import Path
from typing import NamedTuple

from PIL import Image

from labels.upright import upright
from tagbench.errors import BookError

LONGEST_SIDE = 500
"""Pixels; sharp at 5 cm on paper (some 230 to the inch), and an eighth of a picture of 12 MP."""
SPARE = 1.25
"""A picture that is so many times too large at most is left so: making it smaller takes longer
than decoding it did."""


class Jpeg(NamedTuple):
    """A picture as JPEG bytes in RGB."""

    data: bytes
    width: int
    height: int


def reduced(path: Path, longest: int = LONGEST_SIDE) -> Image.Image:
    """The picture upright, its longest side at most so many pixels, or `SPARE` times that.

    A JPEG is decoded at an eighth, a quarter or half of its size where that is still large enough
    (the decoder leaves out the fine parts of its cosine transform), which takes a fraction of the
    time. Raises BookError and names the file when it is missing or no picture.
    """
    try:
        with Image.open(path) as picture:
            scale = longest / max(picture.size)
            across, down = (max(1, int(side * scale)) for side in picture.size)
            picture.draft("RGB", (across, down))
            small = picture.convert("RGB")
            if max(small.size) > SPARE * longest:
                small.thumbnail((longest, longest), reducing_gap=2.0)
            small = upright(small, of=picture)
    except (OSError, SyntaxError, ValueError, Image.DecompressionBombError) as error:
        words = f"The photo {path.name} cannot be read; leave the photos out, or run check."
        raise BookError(words) from error
    return small


def jpeg(path: Path, longest: int = LONGEST_SIDE) -> Jpeg:
    """The picture as JPEG, upright, no larger than it prints. Raises BookError like `reduced`."""
    small = reduced(path, longest)
    out = io.BytesIO()
    small.save(out, "JPEG", quality=80)
    return Jpeg(out.getvalue(), *small.size)


def photo_data(path: Path) -> str:
    """The picture as a `data:` address. Raises BookError like `reduced`."""
    return f"data:image/jpeg;base64,{base64.b64encode(jpeg(path).data).decode('ascii')}"
