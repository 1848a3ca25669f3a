"""The invented machine hangs together before anything is written."""

from __future__ import annotations

from datetime import date, datetime, timedelta, timezone

import pytest

from demo.calendar import day_of, moment, strip_year
from demo.parts import fastener_lines
from demo.story import story

NOW = datetime(2031, 3, 9, 18, 30, tzinfo=timezone(timedelta(hours=1)))


def test_about_sixty_parts_in_at_least_eight_assemblies() -> None:
    parts = story().parts()
    assert 55 <= len(parts) <= 75
    assert len({path for path, _ in parts}) >= 8
    assert len({path.split(" / ")[0] for path, _ in parts}) == 8


def test_a_part_comes_off_after_everything_it_is_behind() -> None:
    """So that the links follow the strip, and no loop is possible."""
    off: set[str] = set()
    for _, note in story().parts():
        assert set(note.behind) <= off, note.key
        off.add(note.key)


def test_keys_are_unique_and_known_wherever_they_are_named() -> None:
    told = story()
    parts = [note.key for _, note in told.parts()]
    bins = [note.key for note in told.bin]
    assert len(set(parts + bins)) == len(parts + bins)
    named = {
        key
        for entry in told.entry
        for field in ("degreased", "inspected", "lubed", "measured", "reuse", "replace", "gone")
        for key in getattr(entry, field)
    }
    named |= {key for entry in told.entry for key in (*entry.fitted, *entry.snug, *entry.soak)}
    elsewhere = ("sent", "packed", "back", "lost", "stays", "pattern", "exchanged")
    finish = ("to_finish", "finished", "dry_fitted")
    named |= {k for e in told.entry for field in (*elsewhere, *finish) for k in getattr(e, field)}
    named |= {key for want in told.want for key in want.parts}
    named |= {key for setting in told.setting for key in setting.after}
    assert named <= set(parts)
    assert {note.bin for _, note in told.parts()} <= set(bins)
    assert {note.assembly for note in told.setting} <= {path for path, _ in told.parts()}


def test_a_bin_is_told_before_what_it_holds() -> None:
    told: set[str] = {""}
    for note in story().bin:
        assert note.kept_in in told, note.key
        told.add(note.key)


def test_every_short_form_of_fasteners_is_understood() -> None:
    for _, note in story().parts():
        for line in (line for told in note.fasteners for line in fastener_lines(told)):
            assert line.kind != "other", (note.key, line.typed)
            assert line.thread or line.diameter, (note.key, line.typed)


def test_the_diary_runs_forward_whatever_day_it_is_read() -> None:
    for today in (date(2031, month, day) for month in range(1, 13) for day in (1, 28)):
        now = datetime(today.year, today.month, today.day, 7, tzinfo=NOW.tzinfo)
        times = [moment(note.off, now) for _, note in story().parts()]
        times += [moment(story().tags.printed, now), moment(story().tags.spare_printed, now)]
        times += [moment(entry.when, now) for entry in story().entry]
        assert times == sorted(times)
        assert times[-1] < now


def test_a_wear_limit_lies_where_the_readings_can_meet_it() -> None:
    for _, note in story().parts():
        for reading in note.readings:
            assert reading.low is not None or reading.high is not None, note.key
            assert reading.values, note.key


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("12-19", date(2030, 12, 19)),
        ("9 days ago", date(2031, 2, 28)),
        ("in 5 days", date(2031, 3, 14)),
    ],
)
def test_days_are_told_from_the_strip_or_from_today(text: str, day: date) -> None:
    assert day_of(text, NOW) == day


def test_the_strip_lies_at_least_three_months_back() -> None:
    for offset in range(0, 800, 7):
        today = date(2031, 1, 1) + timedelta(days=offset)
        assert today - date(strip_year(today), 10, 30) > timedelta(days=90)
