"""Adjustments: inside, low, high, not measured, to be measured again."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from tagbench.records import Setting
from tagbench.rules.settings.ranges import against_range, range_words, read_range, read_value
from tagbench.rules.settings.standing import reopened_by, setting_state, settings_of
from tests.rules.machines import MARK, NOON, clean, code, tables

LATER = NOON + timedelta(minutes=1)


def slack(**fields: Any) -> Setting:
    """Chain slack, 3/8 to 3/4 in (common practice, no source), kept in mm."""
    known = {"id": 1, "machine": MARK, "what": "chain slack", "low": 9.525, "high": 19.05}
    return Setting(**{**known, **fields})


@pytest.mark.parametrize(
    ("value", "state"),
    [(9.0, "low"), (9.525, "inside"), (12.7, "inside"), (19.05, "inside"), (19.1, "high")],
)
def test_a_measured_value_is_inside_low_or_high(value: float, state: str) -> None:
    """The limits themselves are inside."""
    assert against_range(slack(), value) == state
    assert setting_state(slack(measured=value, measured_at=NOON), {}).state == state


def test_a_limit_in_inches_holds_in_millimetres() -> None:
    """Three eighths of an inch measured as 0.375 × 25.4 mm is not called low for a rounding bit."""
    assert against_range(slack(low=3 * 25.4 / 8), 0.375 * 25.4) == "inside"


@pytest.mark.parametrize(
    ("low", "high", "value", "state"),
    [
        (None, 0.4, 0.1, "inside"),
        (None, 0.4, 0.5, "high"),
        (2.0, None, 9.0, "inside"),
        (2.0, None, 1.0, "low"),
        (None, None, 5.0, "inside"),
        (-1.0, 1.0, -2.0, "low"),
    ],
)
def test_a_missing_limit_allows_anything(
    low: float | None, high: float | None, value: float, state: str
) -> None:
    """One-sided ranges and settings only noted."""
    assert against_range(slack(low=low, high=high), value) == state


def test_a_setting_not_measured_is_open_and_says_its_range() -> None:
    """Unmeasured, with what it should be."""
    state = setting_state(slack(), {})
    assert (state.state, state.open) == ("unmeasured", True)
    assert state.words == "not measured; 9.525–19.05 mm"


@pytest.mark.parametrize(
    ("fitted", "state"), [("fitted", "inside"), ("snug", "inside"), ("off", "recheck")]
)
def test_what_is_measured_while_the_wheel_is_off_stays_open(fitted: str, state: str) -> None:
    """Open while a part that it hangs on is off; no clock decides it, however far it jumps."""
    wheel = clean(1, name="wheel", fitted=fitted, fitted_at=LATER)
    measured = slack(measured=12.0, measured_at=NOON, after=(code(1), code(99)))
    found = setting_state(measured, {code(1): wheel})
    assert found.state == state
    assert ("wheel TP-001-A is off" in found.words) == (state == "recheck")


def test_a_written_reason_reopens_too() -> None:
    """`recheck` is told as it stands."""
    found = setting_state(slack(measured=12.0, recheck="new chain"), {})
    assert (found.state, found.words) == ("recheck", "measure again: new chain")


@pytest.mark.parametrize(
    ("measured", "words"),
    [
        (225.0, "225 mm, over the range of 9.525–19.05 mm; measure again: new chain"),
        (1.0, "1 mm, under the range of 9.525–19.05 mm; measure again: new chain"),
    ],
)
def test_what_is_far_outside_is_told_though_it_is_measured_again(
    measured: float, words: str
) -> None:
    """A slip of a factor of ten is not hidden by the reason for another measurement."""
    found = setting_state(slack(measured=measured, recheck="new chain"), {})
    assert (found.state, found.words) == ("recheck", words)


def test_only_measured_settings_are_reopened_by_work() -> None:
    """One that was never measured is open anyhow."""
    first = slack(measured=12.0, after=(code(1),))
    never = slack(id=2, after=(code(1),))
    other = slack(id=3, measured=1.0, after=(code(2),))
    assert reopened_by([first, never, other], [code(1)]) == [first]


def test_settings_of_one_machine_by_assembly() -> None:
    """Another machine's settings are not among them."""
    all_of_them = {
        "1": slack(assembly="Rear wheel"),
        "2": slack(id=2, assembly="Engine"),
        "3": slack(id=3, machine="ZZ"),
    }
    found = settings_of(tables([], settings=all_of_them), MARK)
    assert [state.setting.id for state in found] == [2, 1]


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        (1.0, 2.5, "1–2.5 mm"),
        (2.0, 2.0, "2 mm"),
        (2.0, None, "at least 2 mm"),
        (None, 0.4, "at most 0.4 mm"),
        (None, None, ""),
    ],
)
def test_a_range_in_words(low: float | None, high: float | None, words: str) -> None:
    """As a person would write it."""
    assert range_words(slack(low=low, high=high)) == words


@pytest.mark.parametrize(
    ("wanted", "typed", "value"),
    [
        ("1.6-2.0 bar", "26 psi", 1.79264),
        ("160-200 kPa", "1.8 bar", 180.0),
        ("1.6-2.0 kgf/cm²", "177 kPa", 1.80490),
        ("20-24 deg", "22.5 °", 22.5),
        ("1-2 degrees", "90 arcmin", 1.5),
    ],
)
def test_a_value_is_turned_into_the_unit_of_the_range(
    wanted: str, typed: str, value: float
) -> None:
    """Pressures and angles as well; psi from 0.45359237 kg, 9.80665 m/s² and 25.4 mm, exact."""
    low, high, unit = read_range(wanted)
    found = read_value(typed, slack(low=low, high=high, unit=unit))
    assert found == pytest.approx(value, rel=1e-5)


def test_a_unit_written_down_before_it_was_known_is_still_read() -> None:
    """A book may say `deg` where `°` is written now."""
    assert read_value("22 °", slack(unit="deg")) == 22.0
