"""All settings of a machine with their ranges and where they stand."""

from __future__ import annotations

from collections.abc import Iterator

from tagbench.reports.paper.blocks import Block, Line, Sheet, Table
from tagbench.reports.request import ReportRequest, ReportRow
from tagbench.rules.describe.phrases import day
from tagbench.rules.settings.ranges import range_words
from tagbench.rules.settings.standing import settings_of

COLUMNS = (
    *("id", "what", "assembly", "low", "high", "unit", "measured", "measured_at", "state"),
    *("words", "after", "source", "note"),
)
"""The columns of the settings as CSV."""


def rows(request: ReportRequest) -> Iterator[ReportRow]:
    """The settings as lines of CSV."""
    yield COLUMNS
    for setting, state, words in settings_of(request.tables, request.machine.mark):
        measured_at = setting.measured_at.isoformat() if setting.measured_at else ""
        figures = (setting.low, setting.high, setting.unit, setting.measured)
        yield (
            *(setting.id, setting.what, setting.assembly),
            *("" if figure is None else figure for figure in figures),
            *(measured_at, state, words, "; ".join(setting.after), setting.source, setting.note),
        )


def sheet(request: ReportRequest) -> Sheet:
    """The settings on paper, with room for what is measured."""
    title = f"Settings — {request.machine_words}"
    return Sheet(title, day(request.printed), _blocks(request))


def _blocks(request: ReportRequest) -> Iterator[Block]:
    states = settings_of(request.tables, request.machine.mark)
    if not states:
        yield Line("No settings are written down.")
        return
    rows_ = []
    for state in states:
        one = state.setting
        what = "\n".join(filter(None, [f"{one.id}. {one.what}", one.assembly, one.note]))
        limits = "\n".join(filter(None, [range_words(one), one.source]))
        rows_.append(("" if state.open else "done", what, limits, state.words, "__________"))
    head = ("", "what", "range", "stands", "measured now")
    yield Table(head, tuple(rows_), (1, 4, 3, 3, 2.4), tick=True)
