"""Ranges and values of settings as people type them: `20-30 mm`, `at most 0.1 mm`, `10-15 °`."""

from __future__ import annotations

import re
from typing import NamedTuple

from tagbench.errors import BadInput
from tagbench.records import Setting
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
    """Standard spelling of a length or torque; any other unit as it was typed."""


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
    figures = read_figures(text)
    if figures.low != figures.high:
        raise BadInput(f"“{text}” is a range, and one measured value is wanted, such as 12 mm.")
    unit = _unit(figures.unit) or setting.unit
    if unit == setting.unit:
        return float(figures.low)
    try:
        return float(convert(figures.low, unit, setting.unit))
    except BadInput as error:
        words = f"“{text}” cannot be turned into {setting.unit}; give it in that."
        raise BadInput(words) from error


def _one(text: str, default: str) -> tuple[float, str]:
    figures = read_figures(text)
    if figures.low != figures.high:
        raise BadInput(f"“{text}” has two figures where one limit is wanted, such as 0.1 mm.")
    return float(figures.low), _unit(figures.unit) or default


def _unit(typed: str) -> str:
    """The standard spelling when it is a length or a torque, else as typed."""
    for kind in ("length", "torque"):
        try:
            return standard_unit(typed, kind) if typed else ""
        except BadInput:
            continue
    return typed
