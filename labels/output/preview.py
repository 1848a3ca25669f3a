"""Pictures in the characters of a terminal: tags to judge before printing, symbols to scan."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL import Image


_BRAILLE = 0x2800
_BRAILLE_BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
_HALVES = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}
"""Upper and lower half of a character, True for dark → the character."""
_INKED = 150
"""A reduced dot is shown as ink when darker than this; thin strokes must not vanish."""


def tag_preview(image: Image.Image, width: int, height: int) -> list[str]:
    """A 1-bit picture as at most `height` lines of at most `width` characters.

    A character holds 2 × 4 dots, in a terminal whose characters are twice as high as wide.
    """
    from PIL import Image

    scale = min(width * 2 / image.width, height * 4 / image.height, 1.0)
    size = max(1, round(image.width * scale)), max(1, round(image.height * scale))
    small = image.convert("L").resize(size, Image.Resampling.BOX)
    ink = small.point([1 if shade < _INKED else 0 for shade in range(256)]).tobytes()
    rows = [ink[at : at + size[0]] for at in range(0, len(ink), size[0])]
    return [line.rstrip() for line in braille(rows)]


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
