"""A QR symbol in characters, for a phone to scan off the bench screen."""

from __future__ import annotations

from labels.symbols.symbol import QUIET_MODULES, make_symbol

_HALVES = {(0, 0): " ", (1, 0): "▀", (0, 1): "▄", (1, 1): "█"}
"""Upper and lower module of one character, 1 for dark."""


def symbol_lines(text: str) -> list[str]:
    """The symbol as lines of half blocks with its whole quiet zone (ISO/IEC 18004).

    What is drawn is dark: print it in black on white. Level M is enough for a clean screen.
    """
    rows = make_symbol(text, "M").rows
    wide = len(rows) + 2 * QUIET_MODULES
    side = bytes(QUIET_MODULES)
    quiet = [bytes(wide)] * QUIET_MODULES
    whole = [*quiet, *(side + row + side for row in rows), *quiet]
    if len(whole) % 2:
        whole.append(bytes(wide))
    pairs = zip(whole[::2], whole[1::2], strict=True)
    return ["".join(_HALVES[one] for one in zip(*pair, strict=True)) for pair in pairs]
