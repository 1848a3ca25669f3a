"""Threads, lengths, diameters and grades, taken out of a typed fastener one at a time."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache
from typing import Literal

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.quantities.typed import parse_number
from tagbench.trade.quantities.unit_words import standard_unit
from tagbench.trade.threads.designation import left_handed, scan_thread
from tagbench.trade.threads.metric_words import Scan
from tagbench.trade.threads.thread import Thread

#: A number as it is typed, for use inside a longer pattern.
NUMBER = r"(?:[0-9]{1,3}(?:\s|-)[0-9]{1,2}/[0-9]{1,2}|[0-9]{1,2}/[0-9]{1,3}|[0-9]*[.,]?[0-9]+)"
#: A unit of length, likewise.
LENGTH_UNIT = r"(?:mm|cm|inches|inch|in\b\.?|thou\b|\"|″|”|'')"
#: Nothing that belongs to a number stands before it.
FREE = r"(?<![\w.,/#])"


#: What is known by a number or a plain size instead of a thread.
@cache
def _known_by_number() -> re.Pattern[str]:
    return re.compile(
        r"\bwood\s?screw|\blag\s|\bself.tapp|\btapping\b|\bsheet.metal"
        r"|\b(?:washer|rivet|ball)s?\b",
        re.IGNORECASE,
    )


_HOSE_CLIP = re.compile(r"\b(?:hose|pipe)\s(?:clip|clamp)s?\b", re.IGNORECASE)


@cache
def _span() -> re.Pattern[str]:
    return re.compile(
        rf"(?<![\w.,/#])(?P<low>{NUMBER})\s?[-–]\s?(?P<high>{NUMBER})(?:\s?(?P<unit>{LENGTH_UNIT}))?",
        re.IGNORECASE,
    )


_LEFT_HAND = re.compile(r"(?:,\s?)?\b(?:LH|left[ -]hand(?:ed)?)\b", re.IGNORECASE)


@cache
def _adjacent_length() -> re.Pattern[str]:
    return re.compile(
        rf"\s?(?:(?P<cross>x|-|by\b)\s?)?(?P<number>{NUMBER})(?![\w./]|-[0-9])"
        rf"(?:\s?(?P<unit>{LENGTH_UNIT}))?(?P<long>\s?long\b)?",
        re.IGNORECASE,
    )


@cache
def _grade() -> re.Pattern[str]:
    return re.compile(
        r"(?:,\s?)?(?<![\w.,/])(?:"
        r"(?:(?:property\s)?class\s|grade\s|gr\.?\s?)?(?P<class>(?:[34]\.6|4\.8|5\.[68]|6\.[89]|8\.8"
        r"|9\.8|10\.9|12\.9|14\.9))(?![\w./]|\s?x\b)"
        r"|(?:sae\s)?(?:grade|gr\.?)\s?(?P<grade>[1-9](?:\.[12])?|[A-Z])(?!\w)"
        r"|class\s?(?P<nut>[0-9]{1,2})(?![\w.])"
        r"|(?P<stainless>A[1-5](?:-(?:50|60|70|80|100))?)(?!\w))",
        re.IGNORECASE,
    )


@cache
def _sizes() -> re.Pattern[str]:
    return re.compile(
        r"(?<![\w.,/#-])(?:x\s?|[Øø⌀∅]\s?)?(?P<number_size>(?:#|\bno\.?\s?)(?=[0-9]{1,2}(?![0-9/.,])))?"
        rf"(?P<first>{NUMBER})(?:\s?(?P<unit>{LENGTH_UNIT}))?"
        rf"(?:\s?x\s?(?P<second>{NUMBER})(?:\s?(?P<unit2>{LENGTH_UNIT}))?)?"
        rf"(?:\s?x\s?(?P<third>{NUMBER})(?:\s?(?P<unit3>{LENGTH_UNIT}))?)?"
        r"(?:\s?(?:long|dia(?:meter)?)\b)?",
        re.IGNORECASE,
    )


#: No fastener has a size below this, mm or in.
_SMALLEST = Fraction(1, 1000)
#: A bare number behind an inch thread is inches up to here; more must say its unit.
_INCHES_AT_MOST = 12
#: A bare number behind a BA thread is inches up to here and millimetres from there on.
_BA_INCHES_AT_MOST = 2


class Size(msgspec.Struct, frozen=True):
    """A length or diameter in the unit it was typed in."""

    value: float
    unit: Literal["mm", "in"]


def without(text: str, found: re.Match[str]) -> str:
    """The text with a match taken out."""
    return f"{text[: found.start()].rstrip()} {text[found.end() :].lstrip()}".strip()


def known_thread(text: str) -> Thread | None:
    """The thread of the tables that the text begins with, if any."""
    try:
        found = scan_thread(text)
    except BadInput:
        return None
    return found.thread if found and found.thread.series else None


def take_thread(text: str) -> tuple[Thread | None, Size | None, str]:
    """The first thread in the text and the length that stands right behind it."""
    found, start = _first_thread(text)
    if found is None:
        return None, None, text
    size, end = None, found.end
    length = _adjacent_length().match(text, end)
    if length and (length["cross"] or length["unit"] or length["long"]):
        size, end = size_of(length["number"], length["unit"], found.thread), length.end()
    rest = _without_second(f"{text[:start]} {text[end:]}".strip(), found.thread)
    if left := _LEFT_HAND.search(rest):
        return left_handed(found.thread), size, without(rest, left)
    return found.thread, size, rest


def _without_second(text: str, thread: Thread) -> str:
    """The rest without the same thread named again, as in `M8x40 bolt with M8 nut`."""
    second, start = _first_thread(text)
    if second is None:
        return text
    if second.thread != thread:
        names = f"{thread.designation} and {second.thread.designation}"
        raise BadInput(f"{names} are two threads; separate several fasteners with ;.")
    if re.match(rf"\s?x\s?{NUMBER}", text[second.end :], re.IGNORECASE):
        name = thread.designation
        raise BadInput(f"{name} stands there twice; separate several fasteners with ;.")
    return f"{text[:start]} {text[second.end :]}".strip()


def _first_thread(text: str) -> tuple[Scan | None, int]:
    for start in [0, *(gap.end() for gap in re.finditer(r"[\s,]+", text))]:
        found = _thread_at(text, start)
        if found and text[found.end : found.end + 1] != "/":
            return found, start
    return None, 0


def _thread_at(text: str, start: int) -> Scan | None:
    """The thread there; `#8` alone is one too few, except of what has no thread."""
    try:
        return scan_thread(text, start)
    except BadInput:
        if _known_by_number().search(text):
            return None
        raise


def size_of(number: str, unit: str | None, thread: Thread | None = None) -> Size:
    """A size in mm or inches; without a unit, fractions are inches, and so is what follows
    an inch thread. BadInput for nothing, and for a bare number that may be either."""
    value = parse_number(number)
    if value < _SMALLEST:
        raise BadInput("A length must be more than zero, such as 12 mm or 3/4 in.")
    if unit:
        return _in_unit(value, standard_unit(unit, "length"))
    if "/" in number:
        return Size(float(value), "in")
    if thread is None or thread.system == "ISO metric":
        return Size(float(value), "mm")
    if thread.system == "BA":
        return Size(float(value), "in" if value <= _BA_INCHES_AT_MOST else "mm")
    if value > _INCHES_AT_MOST:
        raise BadInput(f"Is the length {number} mm or inches? Write {number} mm or {number} in.")
    return Size(float(value), "in")


def _in_unit(value: Fraction, unit: str) -> Size:
    if unit in ("mm", "in"):
        return Size(float(value), "mm" if unit == "mm" else "in")
    if unit == "thou":
        return Size(float(value / 1000), "in")
    return Size(float(value * 10), "mm")


def take_grade(text: str, bare: bool) -> tuple[str, str]:
    """A property class or grade; without the word before it only when `bare` is true."""
    for found in _grade().finditer(text):
        if found["grade"]:
            return f"grade {found['grade'].upper()}", without(text, found)
        if found["nut"]:
            return f"class {found['nut']}", without(text, found)
        if found["stainless"]:
            return found["stainless"].upper(), without(text, found)
        if bare or found[0].strip(", ")[0].isalpha():
            return found["class"], without(text, found)
    return "", text


def take_sizes(text: str) -> tuple[tuple[Size, ...], str]:
    """Up to three sizes of what has no thread: `3.2x32`, `1/8 x 1 in`, `14x20x1.5`, `#8`."""
    found = _sizes().search(text)
    if found is None:
        return (), text
    numbers = [number for number in (found["first"], found["second"], found["third"]) if number]
    unit = _one_unit([found["unit"], found["unit2"], found["unit3"]])
    if not unit and any("/" in number for number in numbers):
        unit = "in"
    if found["number_size"]:
        return _numbered(numbers, unit), without(text, found)
    return tuple(size_of(number, unit) for number in numbers), without(text, found)


def _one_unit(typed: list[str | None]) -> str | None:
    """The unit that stands behind one size or behind each; BadInput for two different ones."""
    units = list(dict.fromkeys(standard_unit(unit, "length") for unit in typed if unit))
    if len(units) > 1:
        raise BadInput("Give both sizes in one unit, such as 3.2x32 mm.")
    return units[0] if units else None


def take_span(text: str) -> tuple[str, str]:
    """What a hose clip goes round, `20-32 mm`, which is no thread."""
    found = _span().search(text) if _HOSE_CLIP.search(text) else None
    if found is None:
        return "", text
    unit = standard_unit(found["unit"], "length") if found["unit"] else "mm"
    return f"{found['low']}-{found['high']} {unit}", without(text, found)


def _numbered(numbers: list[str], unit: str | None) -> tuple[Size, ...]:
    """A wood or tapping screw by its number: 0.060 + 0.013 n in."""
    first = Size(float(Fraction(60 + 13 * int(numbers[0]), 1000)), "in")
    return (first, *(size_of(number, unit or "in") for number in numbers[1:]))
