"""Previews: a tag that can be judged, and a page with what is used and what is free."""

import pytest
import zxingcpp
from PIL import Image
from rich.cells import cell_len

from labels.face.artwork import draw_tag
from labels.output.preview import tag_preview
from labels.stock.catalogue import find_stock, load_stock
from tests.labels.marks import ink_box
from tests.labels.samples import long_tag, tag

BLOCKS = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"
BRAILLE_BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))


def picture_of(lines: list[str]) -> Image.Image:
    """What a person sees: the dots of the characters, square as a terminal shows them."""
    width = 2 * max(len(line) for line in lines)
    seen = Image.new("L", (width, 4 * len(lines)), 255)
    for row, line in enumerate(lines):
        for column, character in enumerate(line):
            for y in range(4):
                for x in range(2):
                    if inked(character, x, y):
                        seen.putpixel((2 * column + x, 4 * row + y), 0)
    return seen


def inked(character: str, x: int, y: int) -> bool:
    if character in BLOCKS:
        return bool(BLOCKS.index(character) >> (2 * (y // 2) + x) & 1)
    return bool((ord(character) - 0x2800) & BRAILLE_BITS[y][x])


@pytest.mark.sampled(3)
@pytest.mark.parametrize("name", load_stock())
@pytest.mark.parametrize(("width", "height"), [(40, 12), (78, 20), (120, 36)])
def test_a_preview_keeps_its_room_and_its_proportion(name: str, width: int, height: int) -> None:
    image = draw_tag(tag(), find_stock(name)).image
    lines = tag_preview(image, width, height)
    assert len(lines) <= height
    assert max(len(line) for line in lines) <= width
    assert all(cell_len(line) == len(line) for line in lines)
    # One of the two sides is used up; blank edges of the tag give no characters.
    assert len(lines) == height or max(map(len, lines)) >= 0.85 * width
    ink = ink_box(image)
    seen = ink_box(picture_of(lines))
    across, down = ink[2] - ink[0], ink[3] - ink[1]
    assert (seen[3] - seen[1]) / down == pytest.approx((seen[2] - seen[0]) / across, rel=0.1)


def test_a_large_preview_is_so_sharp_that_it_still_decodes() -> None:
    """Read off the characters themselves by zxing-cpp."""
    image = draw_tag(tag(), find_stock("roll-50x30-203")).image
    lines = tag_preview(image, 400, 100)
    seen = picture_of(lines)
    read = zxingcpp.read_barcode(seen.resize((seen.width * 3, seen.height * 3)))
    assert read is not None
    assert read.text == tag().payload


def test_ink_is_where_the_tag_has_it() -> None:
    image = draw_tag(long_tag(), find_stock("a4-3x7-63.5x38.1")).image
    lines = tag_preview(image, 120, 60)
    seen = picture_of(lines).resize((60, 36), Image.Resampling.BOX)
    real = image.convert("L").resize((60, 36), Image.Resampling.BOX)
    pairs = zip(seen.tobytes(), real.tobytes(), strict=True)
    off = sum(abs(a - b) for a, b in pairs) / (60 * 36)
    assert off < 45
