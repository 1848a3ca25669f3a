"""Adjustments with a specified range: where each stands, and what re-opens it.

One rule: a measured setting is to be measured again after any work on a part that it hangs on
(`after`): loosening it, taking it off, putting it on, tightening it or any of its fasteners again,
be it to the same figure. That is written down when it is done (`recheck`), so that no clock decides
it, and the newest reason takes the place of an older one. While such a part is off the setting is
open whatever was measured meanwhile. Measuring closes it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Literal, NamedTuple

from tagbench.records import Part, Setting, Tables
from tagbench.rules.settings.ranges import against_range, range_words, value_words

RangeState = Literal["unmeasured", "recheck", "low", "high", "inside"]


class SettingState(NamedTuple):
    """A setting and where it stands."""

    setting: Setting
    """The setting."""
    state: RangeState
    """unmeasured; recheck: measured, but work was done since; low or high: outside the range."""
    words: str
    """The state as a person reads it."""

    @property
    def open(self) -> bool:
        """Whether something is still to be done about it."""
        return self.state != "inside"


def setting_state(setting: Setting, parts: Mapping[str, Part]) -> SettingState:
    """Where a setting stands, given the parts of the book."""
    if setting.measured is None:
        words = f"not measured; {range_words(setting)}" if range_words(setting) else "not measured"
        return SettingState(setting, "unmeasured", words)
    why = _why_again(setting, parts)
    state = against_range(setting, setting.measured)
    if why:
        outside = f"{measured_words(setting)}; " if state != "inside" else ""
        return SettingState(setting, "recheck", f"{outside}measure again: {why}")
    return SettingState(setting, state, measured_words(setting))


def measured_words(setting: Setting) -> str:
    """The measured value against its range: `25 mm, inside 20–30 mm`."""
    assert setting.measured is not None
    state = against_range(setting, setting.measured)
    told = {"low": "under the range of", "high": "over the range of", "inside": "inside"}[state]
    value, limits = value_words(setting), range_words(setting)
    return f"{value}, {told} {limits}" if limits else value


def settings_of(tables: Tables, mark: str) -> list[SettingState]:
    """All settings of a machine and where they stand, by assembly and number."""
    mine = [setting for setting in tables.settings.values() if setting.machine == mark]
    mine.sort(key=lambda setting: (setting.assembly.casefold(), setting.id))
    return [setting_state(setting, tables.parts) for setting in mine]


def reopened_by(settings: Iterable[Setting], codes: Iterable[str]) -> list[Setting]:
    """The settings that were measured and must be again once these parts were worked on."""
    worked_on = frozenset(codes)
    return [
        setting
        for setting in settings
        if setting.measured is not None and not worked_on.isdisjoint(setting.after)
    ]


def _why_again(setting: Setting, parts: Mapping[str, Part]) -> str:
    if setting.recheck:
        return setting.recheck
    for code in setting.after:
        part = parts.get(code)
        if part is not None and part.fitted == "off":
            return f"{part.said} {code} is off"
    return ""
