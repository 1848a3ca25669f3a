"""Pictures in the characters of a terminal: tags to judge before printing, symbols to scan."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from PIL import Image


DotCharacters = Literal["braille", "blocks"]

_BRAILLE = 0x2800
_BRAILLE_BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
_BLOCKS = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"
_HALVES = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}
"""Upper and lower half of a character, True for dark → the character."""
_INKED = 150
"""A reduced dot is shown as ink when darker than this; thin strokes must not vanish."""


def tag_preview(
    image: Image.Image, width: int, height: int, dots: DotCharacters = "braille"
) -> list[str]:
    """A 1-bit picture as at most `height` lines of at most `width` characters.

    `braille` shows 2 × 4 dots a character, `blocks` 2 × 2 with no gaps between. The sides of
    the picture keep their proportion in a terminal whose characters are twice as high as wide.
    """
    from PIL import Image

    across, down = 2, 4 if dots == "braille" else 2
    # A character is as high as two are wide, so a dot of a block is twice as high as wide.
    stretch = 1.0 if dots == "braille" else 0.5
    scale = min(width * across / image.width, height * down / (image.height * stretch), 1.0)
    size = max(1, round(image.width * scale)), max(1, round(image.height * scale * stretch))
    small = image.convert("L").resize(size, Image.Resampling.BOX)
    ink = small.point([1 if shade < _INKED else 0 for shade in range(256)]).tobytes()
    rows = [ink[at : at + size[0]] for at in range(0, len(ink), size[0])]
    if dots == "braille":
        return [line.rstrip() for line in braille(rows)]
    return [
        "".join(_block(rows, x, y) for x in range(0, size[0], across)).rstrip()
        for y in range(0, size[1], down)
    ]


def braille(rows: Sequence[bytes | bytearray]) -> list[str]:
    """Dots in characters of 2 × 4 of them; a dot is inked where it is not zero."""
    return [
        "".join(_character(rows[y : y + 4], x) for x in range(0, len(rows[0]), 2))
        for y in range(0, len(rows), 4)
    ]


def _character(rows: Sequence[bytes | bytearray], x: int) -> str:
    bits = 0
    for row, pair in zip(rows, _BRAILLE_BITS, strict=False):
        for inked, bit in zip(row[x : x + 2], pair, strict=False):
            bits |= bit if inked else 0
    return chr(_BRAILLE + bits) if bits else " "


def _block(rows: list[bytes], x: int, y: int) -> str:
    bits = 0
    for at, row in enumerate(rows[y : y + 2]):
        for place, inked in enumerate(row[x : x + 2]):
            bits |= (1 << (2 * at + place)) if inked else 0
    return _BLOCKS[bits]


def symbol_lines(text: str) -> list[str]:
    """The QR symbol of a text, for a phone to scan off the screen.

    Level M is enough for a clean screen. What is drawn is dark: print it in black on white.
    """
    from labels.symbols.symbol import QUIET_MODULES, make_symbol

    return half_blocks(make_symbol(text, "M").rows, QUIET_MODULES)


def half_blocks(rows: Sequence[bytes], border: int) -> list[str]:
    """The modules of a symbol in half blocks, two rows in one line, with a light border.

    A module is dark where it is not zero. A whole quiet zone is 4 modules wide
    (ISO/IEC 18004); where there is less room less will do.
    """
    wide = len(rows[0]) + 2 * border
    side, blank = bytes(border), [bytes(wide)] * border
    whole = [*blank, *(side + bytes(row) + side for row in rows), *blank]
    if len(whole) % 2:
        whole.append(bytes(wide))
    pairs = zip(whole[::2], whole[1::2], strict=True)
    return [
        "".join(_HALVES[bool(upper), bool(lower)] for upper, lower in zip(*pair, strict=True))
        for pair in pairs
    ]
