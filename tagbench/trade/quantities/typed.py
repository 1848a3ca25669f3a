"""Numbers, lengths and torques as people type them: fractions, decimal commas, ranges."""

from __future__ import annotations

import re
import unicodedata
from fractions import Fraction
from functools import cache

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.quantities.kinds import KINDS
from tagbench.trade.quantities.unit_words import accepted_units, standard_unit
from tagbench.trade.quantities.units import Quantity, Range

_VULGAR = {
    sign: unicodedata.normalize("NFKC", sign).replace("\N{FRACTION SLASH}", "/")
    for sign in "½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅐⅛⅜⅝⅞⅑⅒"
}
_VULGAR_SIGN = re.compile(f"(?<=[0-9])(?=[{''.join(_VULGAR)}])")

_DECIMAL = r"[0-9]{1,9}(?:[.,][0-9]{1,9})?|[.,][0-9]{1,9}"
_FRACTION = r"[0-9]{1,6}\s?/\s?[0-9]{1,6}"
_NUMBER = rf"[0-9]{{1,6}}(?:\s+|-){_FRACTION}|{_FRACTION}|{_DECIMAL}"
_SPREAD = r"±|\+/-|\+-"
_SEPARATOR = rf"-|–|—|−|‐|‑|‒|\.\.\.?|…|\bto\b|{_SPREAD}"


@cache
def _whole_number() -> re.Pattern[str]:
    return re.compile(_NUMBER)


@cache
def _single() -> re.Pattern[str]:
    return re.compile(rf"(?P<low>{_NUMBER})\s*(?P<unit>[^0-9]*)")


@cache
def _pair() -> re.Pattern[str]:
    return re.compile(
        rf"(?P<low>{_NUMBER})\s*(?P<first_unit>[^0-9]*?)\s*(?P<sign>{_SEPARATOR})"
        rf"\s*(?P<high>{_NUMBER})\s*(?P<unit>[^0-9]*)"
    )


_MIXED = re.compile(r"([0-9]+)(?:\s+|-)([0-9]+)\s?/\s?([0-9]+)")
_THOUSANDS = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")

#: Characters that no figure with its unit needs.
_LONGEST = 80

_FORMS = {
    "": "4.95, 3/8, 1-1/4 or a range such as 32-44",
    **{kind.name: kind.examples for kind in KINDS.values()},
}


class Figures(msgspec.Struct, frozen=True):
    """One figure or a range of figures with whatever unit was typed behind them."""

    low: Fraction
    """The low figure; the only one of a single value."""
    high: Fraction
    """The high figure, equal to `low` for a single value."""
    unit: str
    """The unit as it was typed; empty when none was."""


def tidy(text: str) -> str:
    """The text without stray spaces, fractions in one character written out as 3/8."""
    spaced = _VULGAR_SIGN.sub(" ", text)
    for sign, written in _VULGAR.items():
        spaced = spaced.replace(sign, written)
    return " ".join(spaced.replace("⁄", "/").replace("∕", "/").split())


def parse_number(text: str) -> Fraction:
    """A number without a unit: `4.95`, `.5`, `1,5`, `3/8`, `1-1/4`, `1 1/4`, `½`; exact.

    BadInput for anything else, and for `1,250`, which is 1.25 to some and 1250 to others.
    """
    clean = tidy(text)
    if _whole_number().fullmatch(clean) is None:
        raise BadInput(f"“{text}” is not a number; write it as 4.95, 3/8 or 1-1/4.")
    return _number(clean)


def _number(text: str) -> Fraction:
    if mixed := _MIXED.fullmatch(text):
        return int(mixed[1]) + _quotient(mixed[2], mixed[3])
    if "/" in text:
        return _quotient(*text.split("/"))
    if _THOUSANDS.fullmatch(text):
        point, plain = text.replace(",", "."), text.replace(",", "")
        raise BadInput(f"“{text}” can be read two ways: write {point} or {plain}.")
    return Fraction(text.replace(",", "."))


def _quotient(top: str, bottom: str) -> Fraction:
    if int(bottom) == 0:
        raise BadInput(f"“{top}/{bottom}” divides by zero; write a fraction such as 3/8.")
    return Fraction(int(top), int(bottom))


def read_figures(text: str, kind: str = "") -> Figures:
    """A value or a range, with its unit left as typed: `32-44 lbf·ft`, `50 ± 5 N·m`, `3/8 in`.

    `kind` (one of `KINDS` or none) chooses the examples in the message. BadInput when it
    cannot be read, is negative, or runs from high to low.
    """
    clean = tidy(text)
    if len(clean) > _LONGEST:
        raise BadInput(f"“{clean[:30]}…” is too long for a figure; write it as {_FORMS[kind]}.")
    single = _single().fullmatch(clean)
    if single and not _improper(single["low"]):
        value = _number(single["low"])
        return Figures(value, value, single["unit"].strip())
    if pair := _pair().fullmatch(clean):
        return _range(text, pair, kind)
    if re.match(r"[-−–]\s?[0-9.,]", clean):
        raise BadInput(f"“{text}” is negative; write it as {_FORMS[kind]}.")
    raise BadInput(f"“{text}” is not understood; write it as {_FORMS[kind]}.")


def _improper(text: str) -> bool:
    """True for 1-5/4: no mixed number has a fraction over one, so that was a range."""
    mixed = _MIXED.fullmatch(text)
    return bool(mixed and "-" in text and int(mixed[2]) >= int(mixed[3]))


def _range(text: str, pair: re.Match[str], kind: str) -> Figures:
    first, second, unit = _number(pair["low"]), _number(pair["high"]), pair["unit"].strip()
    spread = re.fullmatch(_SPREAD, pair["sign"]) is not None
    if spread and unit.startswith("%"):
        second, unit = first * second / 100, unit[1:].strip()
    unit = _one_unit(text, kind, pair["first_unit"].strip(), unit)
    if spread:
        first, second = first - second, first + second
    if first < 0:
        raise BadInput(f"The range “{text}” reaches below zero; write the low and the high figure.")
    if first > second:
        raise BadInput(f"The range “{text}” runs from high to low; write the low figure first.")
    return Figures(first, second, unit)


def _one_unit(text: str, kind: str, first: str, second: str) -> str:
    if not first or not second or first.lower() == second.lower():
        return second or first
    if kind and standard_unit(first, kind) == standard_unit(second, kind):
        return second
    raise BadInput(f"“{text}” has two units; write the range in one, such as 32-44 lbf·ft.")


def parse_range(text: str, kind: str, default: str = "") -> Range:
    """A range of one of `KINDS`, in the unit it was typed in.

    `default` is the standard spelling of the unit to take when none was typed. BadInput when
    the unit is missing without a default, or unknown.
    """
    figures = read_figures(text, kind)
    if not figures.unit and not default:
        raise BadInput(f"“{text}” needs a unit: {accepted_units(kind)}.")
    unit = standard_unit(figures.unit, kind) if figures.unit else default
    return Range(figures.low, figures.high, unit, text)


def parse_length(text: str, default: str = "") -> Quantity:
    """One length: `4.95mm`, `3/8 in`, `1-1/4"`, `13 thou`; BadInput for a range or no unit."""
    found = parse_range(text, "length", default)
    if not found.single:
        raise BadInput(f"“{text}” is a range, and one length is wanted; write it as 4.95 mm.")
    return Quantity(found.low, found.unit, text)


def parse_torque(text: str, default: str = "") -> Range:
    """A torque or a range of torques: `32-44 lbf·ft`, `8 Nm`; BadInput also for zero."""
    found = parse_range(text, "torque", default)
    if found.high == 0:
        raise BadInput(f"“{text}” is not a torque; write more than zero, such as 8-10 N·m.")
    return found
