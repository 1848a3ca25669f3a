"""Pictures are offered for the part that came off when they were taken."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest
from hypothesis import given, settings, strategies as st

from tagbench.errors import BadInput
from tagbench.rules.photos_by_time import (
    clock_guesses,
    match_pictures,
    parse_ahead,
    spell_ahead,
)
from tests.examples import examples
from tests.rules.making import code, part

WINTER, SUMMER = timezone(timedelta(hours=1)), timezone(timedelta(hours=2))
START = datetime(2026, 3, 7, 10, 0, tzinfo=WINTER)


def minutes(count: float) -> timedelta:
    """So many minutes."""
    return timedelta(minutes=count)


def at(count: float) -> datetime:
    """So many minutes after the first part, as a camera writes it: without an offset."""
    return (START + minutes(count)).replace(tzinfo=None)


PARTS = [part(n, f"part {n}", removed=START + minutes(20 * n)) for n in range(6)]


def test_a_picture_taken_before_the_entry_belongs_to_it() -> None:
    """People take the picture, then write the part down."""
    (match,) = match_pictures({"a.jpg": at(38)}, PARTS)
    assert (match.code, match.gap, match.sure) == (code(2), minutes(2), True)
    assert match.words == "2 min before it was written down"


def test_half_way_is_offered_but_not_sure() -> None:
    """Between two parts the later one is offered and the other one named."""
    (match,) = match_pictures({"a.jpg": at(29)}, PARTS)
    assert (match.code, match.sure) == (code(2), False)
    assert match.others[0] == code(1)
    assert match.words.endswith("not sure")


def test_far_from_any_removal_nothing_is_offered() -> None:
    """A picture of another day, or without a time, is offered for no part."""
    found = match_pictures({"far.jpg": at(5000), "no time.jpg": None}, PARTS)
    assert [(match.picture, match.code) for match in found] == [
        ("far.jpg", ""),
        ("no time.jpg", ""),
    ]
    assert found[0].words == "no part came off near that time"
    assert found[1].words == "the picture does not say when it was taken"


def test_summer_and_winter_pictures_each_get_their_own_offset() -> None:
    """Times without an offset are read by the clock on the wall of their day."""
    july = datetime(2026, 7, 4, 15, 0, tzinfo=SUMMER)
    parts = [*PARTS, part(9, "later", removed=july)]
    taken = {"march.jpg": at(19), "july.jpg": datetime(2026, 7, 4, 14, 58)}
    march, summer = match_pictures(taken, parts)
    assert (march.code, march.gap) == (code(1), minutes(1))
    assert (summer.code, summer.gap) == (code(9), minutes(2))


def test_a_time_with_its_own_offset_is_taken_as_it_is() -> None:
    """A phone that writes UTC is understood."""
    (match,) = match_pictures({"a.jpg": (START + minutes(39)).astimezone(UTC)}, PARTS)
    assert (match.code, match.gap) == (code(2), minutes(1))


def test_a_camera_in_another_time_zone_is_noticed() -> None:
    """The whole or half hour that gives most pictures a part is guessed first."""
    taken = {f"{n}.jpg": at(20 * n - 1) + timedelta(hours=5, minutes=30) for n in range(6)}
    assert clock_guesses(taken, PARTS)[0] == (timedelta(hours=5, minutes=30), 6)
    right = {f"{n}.jpg": at(20 * n - 1) for n in range(6)}
    assert clock_guesses(right, PARTS)[0] == (timedelta(0), 6)
    assert clock_guesses({}, PARTS) == clock_guesses(right, []) == []


@settings(max_examples=examples(60))
@given(st.lists(st.floats(0.1, 9), min_size=6, max_size=6))
def test_pictures_shortly_before_each_entry_all_find_their_part(before: list[float]) -> None:
    """Up to nine minutes before, with twenty between the parts."""
    taken = {f"{n}.jpg": at(20 * n - early) for n, early in enumerate(before)}
    found = match_pictures(taken, PARTS)
    assert [match.code for match in found] == [code(n) for n in range(6)]


def test_how_far_a_clock_is_ahead_is_read_and_spelled() -> None:
    """Hours and minutes either way; anything else is refused."""
    for typed, minutes in (("", 0), ("1:00", 60), ("-0:30", -30), ("+2", 120), ("-5:30", -330)):
        assert parse_ahead(typed) == timedelta(minutes=minutes)
        assert parse_ahead(spell_ahead(timedelta(minutes=minutes))) == timedelta(minutes=minutes)
    for typed in ("soon", "1:x", "1.5"):
        with pytest.raises(BadInput, match="not a length of time"):
            parse_ahead(typed)
