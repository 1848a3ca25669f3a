"""Pictures put upright: what a picture file says of how the camera was held.

Exif 2.32 (CIPA DC-008-2019), tag 0x0112 Orientation.
"""

from __future__ import annotations

from PIL import Image

_ORIENTATION = 0x0112
_TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}


def upright(picture: Image.Image, of: Image.Image | None = None) -> Image.Image:
    """The picture upright; itself where it stands so.

    `of`: the picture that it was made of, where only that one still says how it was held.
    """
    turn = _TURNS.get((of or picture).getexif().get(_ORIENTATION, 1))
    return picture if turn is None else picture.transpose(turn)
