"""The code on a tag: a mark, a serial and a check character, like `TP-017-7`.

The check character is ISO 7064 MOD 37,36 over mark and serial written together
(`TP017`), so every single wrong character is caught.
"""

import re
import unicodedata
from collections.abc import Iterable, Iterator
from itertools import product
from typing import NamedTuple

from labels.errors import CodeError

ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_VALUE = {character: value for value, character in enumerate(ALPHABET)}

MARK = re.compile(r"[0-9A-Z]{1,3}")
EXAMPLE = "TP-017-7"

# What people put between the parts of a code, and dashes that editors make of a hyphen.
_SEPARATORS = re.compile(r"[\s\-_./\u2010-\u2015\u2212]+")
# Letters that on paper are digits: no new code ends in one, and a serial holds digits only.
_SLIPS = str.maketrans("OQDILSZBGU", "000115286V")
NEVER_LAST = frozenset("OISZBGQU")
"""Check characters that are taken for another sign when written by hand; no new code has one."""
_LONGEST = 3 + 12 + 1
"""Signs a code may have: mark, serial, check character. Far more than anybody prints."""
_LONGEST_UNPARTED = 6
"""Digits a serial may have when the code is not typed with both its hyphens."""
_LOOK_ALIKE = {
    "O": "0", "0": "O", "I": "1", "1": "I", "L": "1", "S": "5", "5": "S", "Z": "2", "2": "Z",
    "B": "8", "8": "B", "G": "6", "6": "G", "Q": "O", "U": "V", "V": "U",
}  # fmt: skip
# Greek and Cyrillic capitals that look like Latin ones on a keyboard left in another script.
_HOMOGLYPHS = str.maketrans("АВЕКМНОРСТУХІЈЅΑΒΕΖΗΙΚΜΝΟΡΤΥΧ", "ABEKMHOPCTYXIJSABEZHIKMNOPTYX")


class ParsedCode(NamedTuple):
    """One code, taken apart. `str()` gives the canonical spelling."""

    mark: str
    """One to three capital letters or digits."""
    serial: int
    """The number within the mark, zero or more; written with three digits or more."""
    check: str
    """ISO 7064 MOD 37,36 over mark and serial."""

    def __str__(self) -> str:
        return f"{self.mark}-{self.serial:03d}-{self.check}"


def check_character(text: str) -> str:
    """The ISO 7064 MOD 37,36 check character for `text` (digits and capitals A to Z)."""
    carried = 36
    for character in text:
        total = (carried + _VALUE[character]) % 36 or 36
        carried = total * 2 % 37
    return ALPHABET[(1 - carried) % 36]


def make_code(mark: str, serial: int) -> str:
    """The canonical code for a mark (1 to 3 letters or digits) and a serial number."""
    mark = _sound(mark)
    if serial < 0:
        raise CodeError(f"The serial {serial} must be a whole number that is not below zero.")
    return str(_checked(mark, serial))


def _sound(mark: str) -> str:
    mark = mark.strip().upper()
    if not MARK.fullmatch(mark):
        raise CodeError(f"The mark {mark!r} must be one to three letters A to Z or digits.")
    return mark


def _checked(mark: str, serial: int) -> ParsedCode:
    return ParsedCode(mark, serial, check_character(f"{mark}{serial:03d}"))


def _stays_apart(code: ParsedCode) -> bool:
    """Whether a code may be given out, so that hand-written ones stay apart.

    Not when its check character looks like another sign, nor when exchanging two neighbours
    gives a lower number of the same mark that the check character cannot tell from it.
    """
    return code.check not in NEVER_LAST and not any(unseen_swaps(code, below=code.serial))


def unseen_swaps(code: ParsedCode, below: int | None = None) -> Iterator[int]:
    """Serials of the same mark that a swap of two neighbours makes of a code, unseen.

    `below`: only lower ones.
    """
    signs = f"{code.serial:03d}{code.check}"
    for at in range(len(signs) - 1):
        if signs[at] == signs[at + 1] or (below is not None and signs[at] < signs[at + 1]):
            continue  # the same again, or a higher number
        swapped = signs[:at] + signs[at + 1] + signs[at] + signs[at + 2 :]
        digits, check = swapped[:-1], swapped[-1]
        serial = digits.isdecimal() and digits == f"{int(digits):03d}"
        if serial and check_character(f"{code.mark}{digits}") == check:
            yield int(digits)


def next_code(mark: str, last: int) -> ParsedCode:
    """The code with the next number of a mark behind `last` that may be given out."""
    mark, serial = _sound(mark), last + 1
    while not _stays_apart(code := _checked(mark, serial)):
        serial += 1
    return code


class _Reading(NamedTuple):
    """One way to take a typed text apart."""

    mark: str
    serial: str
    check: str
    mends: int
    """How many look-alike characters had to be changed in the mark."""
    slips: int
    """How many letters of the serial were taken for digits."""

    @property
    def code(self) -> ParsedCode:
        number = int(self.serial)
        return ParsedCode(self.mark, number, check_character(f"{self.mark}{number:03d}"))

    @property
    def agrees(self) -> bool:
        """Whether the check character is right; a long serial that starts with 0 is nobody's."""
        canonical = f"{int(self.serial):03d}"
        typed = {self.check}
        if self.check in NEVER_LAST:
            typed.add(self.check.translate(_SLIPS))
        return self.code.check in typed and self.serial == canonical

    @property
    def changes(self) -> tuple[int, int]:
        """How much of what was typed had to be read as another sign: in the mark, behind it."""
        return self.mends, self.slips + (self.code.check != self.check)


def read_code(text: str, marks: Iterable[str] = ()) -> str:
    """The canonical spelling of a code as a person typed it.

    Hyphens, spaces and case do not matter; letters that look like digits (O Q I L S Z B G) are
    read as them in the number, those that no new code ends in as the check character too, and the
    same slips in the mark are mended where that gives one of the known `marks`. Leading zeros may
    be left out where the hyphens say which part is the serial (`tp-17-7`). The check character
    is otherwise taken as typed, so that every other single wrong character is caught.

    Without hyphens `A1017K` can be mark `A` with serial 1017 or mark `A1` with serial 017, and
    the check character is the same for both. A mark in `marks` wins; two known marks that fit
    are refused with both codes; with none known the reading wins that takes the fewest letters
    for digits, then the one whose mark ends at the first digit.

    Raises `CodeError`, with the likely codes, when the check character is wrong.
    """
    return str(parse_code(text, marks))


def parse_code(text: str, marks: Iterable[str] = ()) -> ParsedCode:
    """Like `read_code`, but gives mark, serial and check apart."""
    known = frozenset(mark.upper() for mark in marks)
    parts = _parts(text)
    readings = list(_readings(parts))
    if any(reading.mark in known and not reading.mends for reading in readings):
        readings = [reading for reading in readings if not reading.mends]
    readings = [reading for reading in readings if not reading.mends or reading.mark in known]
    fitting = [reading for reading in readings if reading.agrees]
    if fitting:
        return _choose(fitting, known)
    raise _refusal(text, parts, readings, known)


def is_code(text: str) -> bool:
    """Whether a text can be read as a code with the right check character."""
    try:
        read_code(text)
    except CodeError:
        return False
    return True


def _shown(text: str) -> str:
    short = " ".join(text.split())
    return f"“{short[:40]}…”" if len(short) > 41 else f"“{short}”"


def capitals(text: str) -> str:
    """The text in capitals, sign for sign: `ß`, a hyphen typed by a wrong keyboard, stays."""
    return "".join(upper if len(upper := sign.upper()) == 1 else sign for sign in text)


def _parts(text: str) -> list[str]:
    """The typed text in capitals, split where hyphens, spaces or the like stand."""
    plain = capitals(unicodedata.normalize("NFKC", text)).translate(_HOMOGLYPHS)
    return [part for part in _SEPARATORS.split(plain) if part]


def _readings(parts: list[str]) -> Iterator[_Reading]:
    """Every way to take the parts as mark, serial and check character."""
    squeezed = "".join(parts)
    if len(parts) > 3 or not 3 <= len(squeezed) <= _LONGEST or not set(squeezed) <= set(ALPHABET):
        return
    borders = _borders(parts)
    for split in range(1, min(3, len(squeezed) - 2) + 1):
        serial, check = squeezed[split:-1], squeezed[-1]
        # A border that a person typed must be a border of the code.
        if not borders <= {split, len(squeezed) - 1}:
            continue
        if not (3 <= len(serial) <= _LONGEST_UNPARTED or len(borders) == 2):
            continue
        digits = serial.translate(_SLIPS).zfill(3)
        # A word of letters that look like digits is no code unless hyphens say so.
        sure = len(borders) == 2 or any(sign.isdecimal() for sign in serial)
        if digits.isdecimal() and sure:
            slips = sum(not sign.isdecimal() for sign in serial)
            yield from _mark_readings(squeezed[:split], digits, check, slips)


def _borders(parts: list[str]) -> set[int]:
    borders, position = set(), 0
    for part in parts[:-1]:
        position += len(part)
        borders.add(position)
    return borders


def _mark_readings(mark: str, serial: str, check: str, slips: int) -> Iterator[_Reading]:
    """The mark as typed, then with its look-alike characters exchanged."""
    choices = [(character, _LOOK_ALIKE.get(character, "")) for character in mark]
    for picked in product(*choices):
        if all(picked):
            mends = sum(a != b for a, b in zip(picked, mark, strict=True))
            yield _Reading("".join(picked), serial, check, mends, slips)


def _choose(fitting: list[_Reading], known: frozenset[str]) -> ParsedCode:
    wanted = [reading for reading in fitting if reading.mark in known]
    exact = [reading for reading in wanted if not reading.mends] or wanted
    codes = {reading.code for reading in exact}
    if len(codes) > 1:
        both = tuple(sorted(map(str, codes)))
        raise CodeError(f"This can be {' or '.join(both)}; type the code with its hyphens.", both)
    best = exact or sorted(fitting, key=lambda r: (*r.changes, not r.mark.isalpha(), len(r.mark)))
    return best[0].code


def _refusal(
    text: str, parts: list[str], readings: list[_Reading], known: frozenset[str]
) -> CodeError:
    """What to say of a text that is no code, with the codes that may have been meant."""
    unfinished = _without_check(parts)
    if unfinished:
        said = f"{_shown(text)} lacks its check character; it is likely to be {unfinished}."
        return CodeError(said, (unfinished,))
    if not readings:
        return CodeError(f"{_shown(text)} is not a code; a code looks like {EXAMPLE}.")
    first = min(readings, key=lambda r: (r.mark not in known, r.mends, not r.mark.isalpha()))
    candidates = tuple(dict.fromkeys([str(first.code), *_swapped(first)]))[:3]
    said = f"{_shown(text)} has the wrong check character; it is likely to be"
    return CodeError(f"{said} {' or '.join(candidates)}.", candidates)


def _without_check(parts: list[str]) -> str:
    """The code for a mark and three digits, when only its check character is not there."""
    if len(parts) != 2 or not MARK.fullmatch(parts[0]) or len(parts[1]) != 3:
        return ""
    digits = parts[1].translate(_SLIPS)
    return make_code(parts[0], int(digits)) if digits.isdecimal() else ""


def _swapped(reading: _Reading) -> Iterator[str]:
    """Codes that two exchanged neighbours in the serial would explain."""
    digits = reading.serial
    for at in range(len(digits) - 1):
        swapped = digits[:at] + digits[at + 1] + digits[at] + digits[at + 2 :]
        other = _Reading(reading.mark, swapped, reading.check, 0, 0)
        if swapped != digits and other.agrees:
            yield str(other.code)
