"""Tags and pages in a terminal, as plain lines of text: sharp enough to judge before printing."""

from typing import Literal

from PIL import Image

from labels.stock.geometry import Stock

Dots = Literal["braille", "blocks"]

_BRAILLE = 0x2800
_BRAILLE_BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
_BLOCKS = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"
_INKED = 150
"""A reduced dot is shown as ink when darker than this; thin strokes must not vanish."""


def tag_preview(image: Image.Image, width: int, height: int, dots: Dots = "braille") -> list[str]:
    """A 1-bit picture as at most `height` lines of at most `width` characters.

    `braille` shows 2 × 4 dots a character, `blocks` 2 × 2 with no gaps between. The sides of
    the picture keep their proportion in a terminal whose characters are twice as high as wide.
    """
    across, down = 2, 4 if dots == "braille" else 2
    # A character is as high as two are wide, so a dot of a block is twice as high as wide.
    stretch = 1.0 if dots == "braille" else 0.5
    scale = min(width * across / image.width, height * down / (image.height * stretch), 1.0)
    size = max(1, round(image.width * scale)), max(1, round(image.height * scale * stretch))
    small = image.convert("L").resize(size, Image.Resampling.BOX)
    ink = small.point([1 if shade < _INKED else 0 for shade in range(256)]).tobytes()
    rows = [ink[at : at + size[0]] for at in range(0, len(ink), size[0])]
    draw = _braille if dots == "braille" else _block
    return [
        "".join(draw(rows, x, y) for x in range(0, size[0], across)).rstrip()
        for y in range(0, size[1], down)
    ]


def _braille(rows: list[bytes], x: int, y: int) -> str:
    bits = 0
    for row, pair in zip(rows[y : y + 4], _BRAILLE_BITS, strict=False):
        for inked, bit in zip(row[x : x + 2], pair, strict=False):
            bits |= bit if inked else 0
    return chr(_BRAILLE + bits) if bits else " "


def _block(rows: list[bytes], x: int, y: int) -> str:
    bits = 0
    for at, row in enumerate(rows[y : y + 2]):
        for place, inked in enumerate(row[x : x + 2]):
            bits |= (1 << (2 * at + place)) if inked else 0
    return _BLOCKS[bits]


def page_preview(
    stock: Stock, first: int, count: int, width: int = 40, height: int = 20, page: int = 1
) -> list[str]:
    """One page of a run as boxes: what is used, what this run prints, what stays free.

    `first` is the first free label of the first page, `count` the labels of the run; `page` is
    counted from 1. The last line explains the boxes in words.
    """
    offset = (page - 1) * stock.labels_per_page
    wide = max(3, (width - stock.columns + 1) // stock.columns)
    high = max(1, (height - 1) // stock.rows)
    lines: list[str] = []
    for row in range(stock.rows):
        numbers = [row * stock.columns + column + 1 for column in range(stock.columns)]
        boxes = [_box(offset + number, first, count, number, wide, high) for number in numbers]
        lines += [" ".join(parts).rstrip() for parts in zip(*boxes, strict=True)]
    return [*lines, _legend(stock, first, count, page)]


def _box(place: int, first: int, count: int, number: int, wide: int, high: int) -> list[str]:
    """One label: shaded when used, drawn with its number when printed, dotted when free."""
    if place < first:
        return ["░" * wide] * high
    printed = place < first + count
    if high < 3:
        inside = f"{number}" if printed else "·"
        side = ("[", "]") if printed else (" ", " ")
        return [f"{side[0]}{inside:^{wide - 2}}{side[1]}"] + [" " * wide] * (high - 1)
    corners, line, edge = ("┏┓┗┛", "━", "┃") if printed else ("    ", "·", "·")
    middle = f"{number}" if printed else ""
    rows = [f"{corners[0]}{line * (wide - 2)}{corners[1]}"]
    for at in range(high - 2):
        words = middle if at == (high - 3) // 2 else ""
        rows.append(f"{edge}{words:^{wide - 2}}{edge}")
    return [*rows, f"{corners[2]}{line * (wide - 2)}{corners[3]}"]


def _legend(stock: Stock, first: int, count: int, page: int) -> str:
    pages = max(1, -(-(first - 1 + count) // stock.labels_per_page))
    offset = (page - 1) * stock.labels_per_page
    used = max(0, min(first - 1 - offset, stock.labels_per_page))
    printed = max(0, min(first - 1 + count - offset, stock.labels_per_page) - used)
    free = stock.labels_per_page - used - printed
    return f"page {page} of {pages}: {used} used ░, {printed} printed, {free} free ·"
