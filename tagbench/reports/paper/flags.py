"""Flags: strips that fold round a wire or a hose, back to back, the same code at both ends."""

from __future__ import annotations

from math import pi

from labels.face.drawing import Drawing
from labels.face.fonts import Style
from tagbench.reports.paper.blocks import Flags
from tagbench.reports.paper.page_maker import (
    Strip,
    StripGroup,
    blank,
    line_height,
    mm,
    points,
    put_frame,
    put_line,
    put_symbol,
    symbol_side,
    wrapped_lines,
)

MODULE_MM = 0.42
"""Five dots at 300 dots per inch: a flag is read from near, and must not be wide."""
WORDS_MM = 23.0
"""Room for the code and the name at each end."""
SLACK_MM = 3.0
"""The middle is so much longer than the way round, so that the ends meet."""


def flag_groups(flags: Flags, width: int, address: str) -> list[StripGroup]:
    """The flags side by side and one under the other, with lines to cut along."""
    if not flags.items:
        return []
    side = max(symbol_side(code, address, MODULE_MM) for code, _ in flags.items)
    high = max(side, mm(16))
    end = side + mm(WORDS_MM)
    middle = mm(pi * flags.around_mm + SLACK_MM)
    wide = 2 * end + middle
    across = max(1, (width + mm(3)) // (wide + mm(3)))

    def strip(row: tuple[tuple[str, str], ...]) -> Strip:
        def draw(to: Drawing, x: int, y: int) -> None:
            for at, (code, name) in enumerate(row):
                left = x + at * (wide + mm(3))
                put_frame(to, left, y, wide, high, max(1, mm(0.1)))
                _end(to, left, y, high, end, code, name, address)
                _end(to, left + end + middle, y, high, end, code, name, address)
                for fold in (left + end, left + end + middle):
                    _dashes(to, fold, y, high)

        return Strip(high, draw)

    rows = [flags.items[at : at + across] for at in range(0, len(flags.items), across)]
    return [StripGroup([strip(row), blank(mm(3))]) for row in rows]


def _end(
    to: Drawing, x: int, y: int, high: int, wide: int, code: str, name: str, address: str
) -> None:
    """One end: the symbol, the code in bold, the name as far as it goes."""
    side = symbol_side(code, address, MODULE_MM)
    put_symbol(to, x, y + (high - side) // 2, code, address, MODULE_MM)
    left, room = x + side, wide - side - mm(1)
    bold, plain = Style(points(10.5), bold=True, width=90), Style(points(8), width=90)
    top = y + mm(1.2)
    put_line(to, left, top, code, bold)
    top += line_height(bold)
    for line in wrapped_lines(name, room, plain):
        if top + line_height(plain) > y + high:
            break
        put_line(to, left, top, line, plain)
        top += line_height(plain)


def _dashes(to: Drawing, x: int, y: int, high: int) -> None:
    """Where it is folded."""
    for at in range(0, high, mm(2)):
        to.bar(x, y + at, max(1, mm(0.15)), min(mm(1), high - at))
