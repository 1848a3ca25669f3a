"""A payload as a QR symbol: ISO/IEC 18004, drawn by the qrcode library, as small as it goes."""

from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from qrcode import QRCode, constants
from qrcode.exceptions import DataOverflowError
from qrcode.util import BIT_LIMIT_TABLE, QRData, mode_sizes_for_version

from labels.errors import FitError
from labels.symbols.masks import best_mask

ErrorCorrection = Literal["L", "M", "Q", "H"]
QUIET_MODULES = 4
"""The blank border that ISO/IEC 18004 asks for on each side."""

_LEVELS: dict[ErrorCorrection, int] = {
    "L": constants.ERROR_CORRECT_L,
    "M": constants.ERROR_CORRECT_M,
    "Q": constants.ERROR_CORRECT_Q,
    "H": constants.ERROR_CORRECT_H,
}


@dataclass(frozen=True, slots=True)
class Symbol:
    """A finished symbol without its quiet zone."""

    payload: str
    version: int
    level: ErrorCorrection
    rows: tuple[bytes, ...]
    """One byte a module, 1 for dark, row by row from the top."""

    @property
    def modules(self) -> int:
        """Modules along one side, without the quiet zone."""
        return len(self.rows)

    @property
    def modules_with_quiet(self) -> int:
        """Modules along one side with the quiet zone on both sides."""
        return len(self.rows) + 2 * QUIET_MODULES


def modules_along(version: int) -> int:
    """Modules along one side of a symbol, without quiet zone (ISO/IEC 18004: 17 + 4 v)."""
    return 17 + 4 * version


@lru_cache(maxsize=1024)
def version_for(payload: str, level: ErrorCorrection) -> int:
    """The smallest version that holds the payload at this level.

    Raises `FitError` where even version 40 is too small.
    """
    data = QRData(payload, mode=None)
    for version in range(1, 41):
        length_bits = mode_sizes_for_version(version)[data.mode]
        needed = 4 + length_bits + _data_bits(data)
        if len(data) < 1 << length_bits and needed <= BIT_LIMIT_TABLE[_LEVELS[level]][version]:
            return version
    raise FitError(f"{len(payload)} characters are too many for one symbol; shorten the text.")


def _data_bits(data: QRData) -> int:
    count = len(data)
    if data.mode == 1:  # numeric: three digits in 10 bits
        return count // 3 * 10 + (0, 4, 7)[count % 3]
    if data.mode == 2:  # alphanumeric: two characters in 11 bits
        return count // 2 * 11 + count % 2 * 6
    return count * 8


def best_level(payload: str, most_modules: int | None = None) -> tuple[ErrorCorrection, int]:
    """The level and version to use: Q, H when it costs no size, M only when Q is too large.

    `most_modules` is the room along one side without quiet zone; None is no limit. Where even
    M does not fit, M is given, for the caller to refuse with its figures.
    """
    version = version_for(payload, "Q")
    if most_modules is not None and modules_along(version) > most_modules:
        return "M", version_for(payload, "M")
    return ("H", version) if version_for(payload, "H") == version else ("Q", version)


@lru_cache(maxsize=512)
def make_symbol(payload: str, level: ErrorCorrection | None = None) -> Symbol:
    """The symbol for a payload; without a level, Q or H as `best_level` says."""
    if level is None:
        level, version = best_level(payload)
    else:
        version = version_for(payload, level)
    drawing = QRCode(version=version, error_correction=_LEVELS[level], border=0)
    drawing.add_data(payload, optimize=0)
    try:
        drawing.makeImpl(True, 0)
        drawing.makeImpl(False, best_mask(drawing.modules))
    except DataOverflowError:
        raise FitError(f"{payload!r} is too long for one symbol; shorten the text.") from None
    return Symbol(payload, version, level, tuple(bytes(row) for row in drawing.modules))
