"""The settings and where they stand, in plain lines."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tagbench.rules.settings.standing import SettingState


def settings_lines(states: Iterable[SettingState]) -> Iterator[str]:
    """A line a setting under the name of its assembly; open ones with a box to tick."""
    assembly: str | None = None
    for state in states:
        if state.setting.assembly != assembly:
            assembly = state.setting.assembly
            yield assembly or "No assembly"
        box = "[ ]" if state.open else "[x]"
        yield f"  {box} {state.setting.id:3}  {state.setting.what}: {state.words}"
        if state.setting.note:
            yield f"           {state.setting.note}"
    if assembly is None:
        yield "No settings to be seen to."
