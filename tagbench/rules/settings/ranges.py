"""The range of a setting and a value against it: read as typed, `at most 0.1 mm`, and spelled."""

from __future__ import annotations

import re
from math import isclose
from typing import Literal, NamedTuple

from tagbench.errors import BadInput
from tagbench.records import Setting
from tagbench.trade.quantities.kinds import KINDS
from tagbench.trade.quantities.typed import read_figures
from tagbench.trade.quantities.unit_words import standard_unit
from tagbench.trade.quantities.units import convert

_AT_LEAST = re.compile(r"(?:at least|min(?:imum|\.)?|≥|>=)\s*(.+)", re.IGNORECASE)
_AT_MOST = re.compile(r"(?:at most|max(?:imum|\.)?|up to|≤|<=)\s*(.+)", re.IGNORECASE)


class SettingRange(NamedTuple):
    """A specified range; a missing limit allows anything on that side."""

    low: float | None
    """Smallest allowed value, in `unit`."""
    high: float | None
    """Largest allowed value, in `unit`."""
    unit: str
    """Standard spelling of a known unit; any other as it was typed."""


def read_range(text: str, default: str = "mm") -> SettingRange:
    """A range as typed; `default` is the unit when none was typed. BadInput says the forms."""
    text = text.strip()
    if found := _AT_LEAST.fullmatch(text):
        low, unit = _one(found[1], default)
        return SettingRange(low, None, unit)
    if found := _AT_MOST.fullmatch(text):
        high, unit = _one(found[1], default)
        return SettingRange(None, high, unit)
    figures = read_figures(text)
    return SettingRange(float(figures.low), float(figures.high), _unit(figures.unit) or default)


def read_value(text: str, setting: Setting) -> float:
    """A measured value in the setting's own unit; typed in another one it is converted.

    BadInput for a range, or a unit that cannot be turned into the setting's.
    """
    if not text.strip():
        raise BadInput("Give the value that was measured, such as 12 mm.")
    figures = read_figures(text)
    if figures.low != figures.high:
        raise BadInput(f"“{text}” is a range, and one measured value is wanted, such as 12 mm.")
    own = _unit(setting.unit)
    unit = _unit(figures.unit) or own
    if unit == own:
        return float(figures.low)
    try:
        return float(convert(figures.low, unit, own))
    except BadInput as error:
        words = f"“{text}” cannot be turned into {setting.unit}; give it in that."
        raise BadInput(words) from error


def against_range(setting: Setting, value: float) -> Literal["low", "high", "inside"]:
    """A value in the setting's unit against its range; a missing limit allows anything."""
    if setting.low is not None and value < setting.low and not _same(value, setting.low):
        return "low"
    if setting.high is not None and value > setting.high and not _same(value, setting.high):
        return "high"
    return "inside"


def value_words(setting: Setting) -> str:
    """The measured value: `25 mm`; empty when it was never measured."""
    return "" if setting.measured is None else f"{setting.measured:.4g} {setting.unit}".strip()


def range_words(setting: Setting) -> str:
    """`20-30 mm` as it was typed, else `20–30 mm`, `at least 2 mm`; empty without a range."""
    if setting.typed and not setting.typed[-1].isdigit():
        return setting.typed
    low, high, unit = setting.low, setting.high, setting.unit
    if low is None and high is None:
        return ""
    if high is None:
        return f"at least {low:g} {unit}".strip()
    if low is None:
        return f"at most {high:g} {unit}".strip()
    figures = f"{low:g}" if low == high else f"{low:g}–{high:g}"
    return f"{figures} {unit}".strip()


def _one(text: str, default: str) -> tuple[float, str]:
    figures = read_figures(text)
    if figures.low != figures.high:
        raise BadInput(f"“{text}” has two figures where one limit is wanted, such as 0.1 mm.")
    return float(figures.low), _unit(figures.unit) or default


def _unit(typed: str) -> str:
    """The standard spelling when the unit is known, else as typed."""
    for kind in KINDS:
        try:
            return standard_unit(typed, kind) if typed else ""
        except BadInput:
            continue
    return typed


def _same(one: float, other: float) -> bool:
    return isclose(one, other, rel_tol=1e-9, abs_tol=1e-12)
