"""Days and times as people type them."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from tagbench.errors import BadInput
from tagbench.rules.days import parse_day, parse_moment

NOW = datetime(2026, 3, 7, 18, 0, tzinfo=UTC)


@pytest.mark.parametrize(
    ("typed", "moment"),
    [
        ("", None),
        ("now", None),
        ("18:30", NOW.replace(hour=18, minute=30)),
        ("9.05", NOW.replace(hour=9, minute=5)),
        ("2 h ago", NOW - timedelta(hours=2)),
        ("90 min ago", NOW - timedelta(minutes=90)),
        ("yesterday 20:15", NOW.replace(day=6, hour=20, minute=15)),
        ("2026-03-01, 7:00", NOW.replace(day=1, hour=7)),
        ("1.3.2026 7:00", NOW.replace(day=1, hour=7)),
    ],
)
def test_times_of_day_and_spans_are_understood(typed: str, moment: datetime | None) -> None:
    """Today's time, a time of another day, or so long ago."""
    assert parse_moment(typed, NOW) == moment


NO_TIMES = ("soon", "25:00", "18:99", "yesterday", "blurb 18:00", "-2 h ago")


@pytest.mark.parametrize("typed", NO_TIMES)
def test_what_is_no_time_is_refused(typed: str) -> None:
    """In a sentence that shows how to write it."""
    with pytest.raises(BadInput, match="write it as"):
        parse_moment(typed, NOW)


def test_days_by_name_by_span_and_by_date() -> None:
    """As they are typed in the fields for days."""
    today = NOW.date()
    assert parse_day("tomorrow", today) == today + timedelta(days=1)
    assert parse_day("in 2 weeks", today) == today + timedelta(days=14)
    assert parse_day("3 days ago", today) == today - timedelta(days=3)
    assert parse_day("9.3.2026", today) == parse_day("2026-03-09", today)
    with pytest.raises(BadInput, match="month first"):
        parse_day("3/9/2026", today)
    with pytest.raises(BadInput, match="There is no such date"):
        parse_day("2026-02-30", today)
