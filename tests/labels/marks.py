"""Looking at a drawn label: where the ink is."""

from PIL import Image, ImageOps


def ink_box(picture: Image.Image) -> tuple[int, int, int, int]:
    """Left, top, right, bottom of all ink of a 1-bit picture; an empty box for none."""
    return ImageOps.invert(picture.convert("L")).getbbox() or (0, 0, 0, 0)


def ink_in(picture: Image.Image, box: tuple[int, int, int, int]) -> int:
    """How many dots of a box are inked."""
    return picture.convert("L").crop(box).histogram()[0]
