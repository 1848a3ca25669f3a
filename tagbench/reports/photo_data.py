"""A picture as text inside a page, small enough to print."""

from __future__ import annotations

import base64
import io
from pathlib import Path

from PIL import Image, ImageOps

from tagbench.errors import BookError

LONGEST_SIDE = 640
"""Pixels; sharp at 5 cm on paper."""


def photo_data(path: Path) -> str:
    """The picture as a `data:` address, upright, no larger than it prints.

    Raises BookError and names the file when it is missing or no picture.
    """
    try:
        with Image.open(path) as picture:
            picture.draft("RGB", (2 * LONGEST_SIDE, 2 * LONGEST_SIDE))
            upright = ImageOps.exif_transpose(picture).convert("RGB")
    except (OSError, SyntaxError, ValueError, Image.DecompressionBombError) as error:
        words = f"The photo {path.name} cannot be read; leave the photos out, or run check."
        raise BookError(words) from error
    upright.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    out = io.BytesIO()
    upright.save(out, "JPEG", quality=80)
    return f"data:image/jpeg;base64,{base64.b64encode(out.getvalue()).decode('ascii')}"
