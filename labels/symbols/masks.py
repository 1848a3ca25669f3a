"""Which of the eight data masks to use, weighed as ISO/IEC 18004 asks, in whole-number arithmetic.

The qrcode library weighs the masks module by module, which takes longer than drawing the whole
tag. Here the matrix is one large integer, so that a rule costs a few shifts; the choice is the
same as the library's own (the tests compare them).
"""

from collections.abc import Sequence
from functools import lru_cache

from qrcode import QRCode

_PAD = 10
"""Blank bits after each row, so that no pattern runs on into the next row."""
_AS_DIGITS = bytes.maketrans(b"\x00\x01", b"01")


def best_mask(unmasked: Sequence[Sequence[bool]]) -> int:
    """The mask with the fewest penalty points, for a matrix drawn in test mode with mask 0."""
    side = len(unmasked)
    matrix = _as_integer(unmasked)
    points = [_penalty(matrix ^ change, side) for change in _changes((side - 17) // 4)]
    return points.index(min(points))


def _as_integer(rows: Sequence[Sequence[bool]]) -> int:
    pad = bytes(_PAD)
    return int(b"".join(bytes(row) + pad for row in rows).translate(_AS_DIGITS), 2)


@lru_cache(maxsize=40)
def _changes(version: int) -> tuple[int, ...]:
    """For each mask, the modules that differ from mask 0 in a symbol of this version."""
    drawing = QRCode(version=version, border=0)
    drawing.add_data("0", optimize=0)
    matrices = []
    for mask in range(8):
        drawing.makeImpl(True, mask)
        matrices.append(_as_integer(drawing.modules))
    return tuple(matrix ^ matrices[0] for matrix in matrices)


@lru_cache(maxsize=40)
def _inside(side: int) -> int:
    return _as_integer([[True] * side] * side)


def _penalty(dark: int, side: int) -> int:
    """Penalty points of one masked matrix (ISO/IEC 18004, evaluation of data masking results)."""
    light = ~dark & _inside(side)
    down = side + _PAD
    points = _share(dark, side)
    for step in (1, down):
        points += _runs(dark, step) + _runs(light, step) + _finder_like(dark, light, step)
    return points + 3 * (_blocks(dark, down) + _blocks(light, down))


def _runs(bits: int, step: int) -> int:
    """Five or more alike in a line: three points and one for each module over five."""
    pairs = bits & bits >> step
    fives = pairs & pairs >> 2 * step & bits >> 4 * step
    return fives.bit_count() + 2 * (fives & ~(fives >> step)).bit_count()


def _blocks(bits: int, down: int) -> int:
    pairs = bits & bits >> 1
    return (pairs & pairs >> down).bit_count()


def _finder_like(dark: int, light: int, step: int) -> int:
    """Dark and light as 1:1:3:1:1 with four light modules before or after: forty points."""
    core = _all(dark, light, step, "1011101")
    if not core:
        return 0
    blank = _all(dark, light, step, "0000")
    return 40 * ((core & blank >> 7 * step).bit_count() + (blank & core >> 4 * step).bit_count())


def _all(dark: int, light: int, step: int, pattern: str) -> int:
    found = -1
    for place, module in enumerate(pattern):
        found &= (dark if module == "1" else light) >> place * step
    return found


def _share(dark: int, side: int) -> int:
    """Ten points for every five per cent away from half dark."""
    return int(abs(100 * dark.bit_count() / side**2 - 50) / 5) * 10
