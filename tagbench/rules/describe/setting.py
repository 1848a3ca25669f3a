"""What is said about an adjustment: its range, what was measured, where that stands."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from tagbench.records import Tables
from tagbench.rules.describe.fact import Fact, PartName, State, part_name
from tagbench.rules.describe.phrases import moment
from tagbench.rules.settings.ranges import range_words, value_words
from tagbench.rules.settings.standing import RangeState, SettingState

_STATES: Mapping[RangeState, State] = {
    "unmeasured": "open",
    "recheck": "open",
    "low": "wrong",
    "high": "wrong",
    "inside": "done",
}
_SHORTLY: Mapping[RangeState, str] = {
    "unmeasured": "not measured",
    "recheck": "measure again",
    "low": "too low",
    "high": "too high",
    "inside": "inside",
}


class SettingFacts(NamedTuple):
    """One setting."""

    id: int
    """Its number in the book."""
    what: str
    """What is adjusted: `chain slack`."""
    assembly: str
    """Where, as a path; empty when that was not said."""
    range: Fact
    """`20–30 mm`, the limits as figures; no words without one."""
    measured: Fact
    """`25 mm`; no words when it was never measured."""
    measured_at: Fact
    """`9 Mar 2026, 18:30`."""
    stands: Fact
    """`25 mm, inside 20–30 mm`, `measure again: Rear wheel TP-058-Q is off`."""
    shortly: Fact
    """`inside`, `measure again`, `too low`, for a column."""
    reopened_by: tuple[PartName, ...]
    """The parts whose fitting re-opens it."""
    source: Fact
    """Where the range comes from."""
    note: Fact
    """Anything else."""

    def facts(self) -> Iterator[Fact]:
        """Every fact that says something, most pressing first."""
        again = [Fact("again", f"when {one.words} was off") for one in self.reopened_by]
        when = f" on {self.measured_at.words}" if self.measured_at.words else ""
        measured = self.measured.words and self.measured.words + when
        every = (
            self.stands,
            self.measured._replace(words=measured),
            *(self.range, self.source, self.note),
            *again,
        )
        return (fact for fact in every if fact.words)


def describe_state(tables: Tables, found: SettingState) -> SettingFacts:
    """One setting whose state was worked out already."""
    setting, state = found.setting, _STATES[found.state]
    limits = tuple(limit for limit in (setting.low, setting.high) if limit is not None)
    value = () if setting.measured is None else (setting.measured,)
    at = moment(setting.measured_at) if value and setting.measured_at else ""
    after = (tables.parts[code] for code in setting.after if code in tables.parts)
    return SettingFacts(
        id=setting.id,
        what=setting.what,
        assembly=setting.assembly,
        range=Fact("range", range_words(setting), "", limits, setting.unit),
        measured=Fact("measured", value_words(setting), "", value, setting.unit),
        measured_at=Fact("measured at", at),
        stands=Fact("now", found.words, state),
        shortly=Fact("now", _SHORTLY[found.state], state),
        reopened_by=tuple(map(part_name, after)),
        source=Fact("source", setting.source),
        note=Fact("note", setting.note),
    )
