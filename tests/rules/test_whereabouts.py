"""Every part is in one place; going where it cannot come from is refused with the way out."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from tagbench.errors import BadInput, Refused
from tagbench.records import Errand, Fastener, Finish, Lost, Machine, Part, replace
from tagbench.rules.bench.jobs import next_jobs
from tagbench.rules.care.finish import (
    drop_finish,
    dry_fit_words,
    dry_fitted,
    finish_done,
    plan_finish,
)
from tagbench.rules.care.needs import lists_with
from tagbench.rules.care.steps import decide
from tagbench.rules.count.closing import open_lines
from tagbench.rules.count.identity import machine_count
from tagbench.rules.describe.part import describe_part
from tagbench.rules.describe.where import where_fact
from tagbench.rules.rebuild.fit import put_on, take_off
from tagbench.rules.rebuild.held_up import own_reasons
from tagbench.rules.whereabouts import (
    PLACES,
    came_back,
    elsewhere_words,
    found_again,
    lose,
    never_off,
    overdue,
    put_old_piece,
    send,
    tally,
    whereabouts,
)
from tests.rules.making import part, screws, tables

NOW = datetime(2026, 3, 9, 18, 0, tzinfo=UTC)
TODAY = NOW.date()
PLATER = Errand(who="Hill Plating", what_for="zinc plating", sent=TODAY, due=date(2026, 3, 20))

EACH: dict[str, dict[str, Any]] = {
    "on": {"fitted": "snug"},
    "never off": {"fitted": "fitted", "stays_on": True},
    "here": {},
    "to come": {"verdict": "replace", "replacement": "wanted"},
    "away": {"away": PLATER},
    "lost": {"lost": Lost(since=NOW)},
}


def test_each_place_has_one_part_and_they_add_up() -> None:
    """One part of each kind: one in each place."""
    parts = [part(n, **fields) for n, fields in enumerate(EACH.values(), 1)]
    assert [whereabouts(one) for one in parts] == list(PLACES)
    assert tally(parts) == dict.fromkeys(PLACES, 1)


@pytest.mark.parametrize("place", [name for name in EACH if name != "here"])
def test_only_what_is_here_goes_to_someone_else(place: str) -> None:
    """The refusal says where it is, and the way out."""
    with pytest.raises(Refused):
        send(part(1, **EACH[place]), PLATER)


def test_a_part_away_is_held_up_and_is_not_fitted_until_it_is_back() -> None:
    """With who has it and when it is due; its errand is kept when it comes back."""
    gone = send(part(1, "Handlebar", verdict="reuse"), PLATER)
    assert where_fact(tables(gone), gone).words == (
        "with Hill Plating for zinc plating, sent 9 Mar 2026, due 20 Mar 2026"
    )
    assert "away" in {reason.kind for reason in own_reasons(gone)}
    with pytest.raises(Refused, match="write down first that it came back"):
        put_on(gone, NOW)
    back = came_back(gone, TODAY + timedelta(days=3))
    assert (back.away, back.errands[0].back) == (None, date(2026, 3, 12))
    with pytest.raises(Refused, match="give a later day"):
        came_back(gone, TODAY - timedelta(days=1))


def test_overdue_is_counted_in_days() -> None:
    """On the day it is due it is not late; once it is back neither."""
    assert [overdue(PLATER, date(2026, 3, 20 + n)) for n in (0, 4)] == [0, 4]
    assert overdue(replace(PLATER, back=TODAY), date(2026, 4, 1)) == 0


def test_a_lost_part_is_found_again_or_replaced() -> None:
    """What is lost is no old piece to be thrown out; the new piece counts once it is here."""
    lost = lose(part(1, "Kick spring"), NOW, " bench  floor ")
    assert elsewhere_words(lost) == "lost since 9 Mar 2026; last seen bench floor"
    assert whereabouts(found_again(lost)) == "here"
    wanted = decide(lost, "replace")
    assert (whereabouts(wanted), wanted.old_piece) == ("lost", "gone")
    told = describe_part(tables(wanted), wanted, NOW).old_piece.words
    assert told == "lost"  # never that it was thrown out
    here = replace(wanted, replacement="here")
    assert whereabouts(here) == "here"
    assert whereabouts(lose(here, NOW, "")) == "lost"


def test_what_was_never_taken_off_is_on_with_all_its_fasteners_and_opens_nothing() -> None:
    """No torque, no renewal is asked for; once it comes off it is a part like any other."""
    half = never_off(part(1, "Crankcase half", fasteners=(screws(single_use=True),)), NOW)
    assert where_fact(tables(half), half).words == "on the machine, never taken off"
    counted = machine_count(tables(half), "TP")
    assert (counted.fasteners_back, open_lines(counted)) == (4, [])
    off = take_off(half)
    assert (whereabouts(off), off.fasteners[0].back) == ("here", 0)


def test_fasteners_that_are_away_do_not_go_in() -> None:
    """The part can be put on over it; what is away stays open."""
    line = Fastener(quantity=4, thread="M6x1", length=20, away=3)
    one = part(1, "Cover", verdict="reuse", fasteners=(line,))
    assert "away" in {reason.kind for reason in own_reasons(one)}
    on = put_on(one, NOW)
    assert on.fasteners[0].back == 1
    words = [line.words for line in open_lines(machine_count(tables(on), "TP"))]
    assert any("3 away of" in said for said in words)


@pytest.mark.parametrize(
    ("where", "is_open"),
    [("kept", True), ("gone", False), ("pattern", False), ("exchanged", False)],
)
def test_an_old_piece_is_open_only_while_nobody_said_what_becomes_of_it(
    where: Any, is_open: bool
) -> None:
    """Thrown out, kept as a pattern, given back: each closes it."""
    one = put_old_piece(decide(part(1, "Felt seal"), "replace"), where)
    keys = {line.key for line in open_lines(machine_count(tables(one), "TP"))}
    assert (f"old:{one.code}" in keys) == is_open


def test_what_was_given_back_is_not_used_again() -> None:
    """Nor kept."""
    one = put_old_piece(decide(part(1), "replace"), "exchanged")
    with pytest.raises(Refused, match="cannot be used again"):
        decide(one, "reuse")
    with pytest.raises(Refused, match="cannot be kept"):
        put_old_piece(one, "pattern")
    with pytest.raises(Refused, match="not marked replace"):
        put_old_piece(part(2), "gone")


def test_a_finish_is_planned_done_and_holds_the_part_up_until_then() -> None:
    """What was planned stays said when it is done."""
    plan = Finish(what="Painted", with_what="green", masked="axle bore")
    one = plan_finish(part(1, "Front hub", verdict="reuse"), plan)
    held = [reason.words for reason in own_reasons(one) if reason.kind == "finish"]
    assert held == ["still to be painted with green; keep bare: axle bore"]
    done = finish_done(one, Finish(what="painted"), NOW, NOW)
    assert [(f.with_what, f.masked, f.at) for f in done.finishes] == [("green", "axle bore", NOW)]
    assert drop_finish(done, "painted").finishes == ()
    with pytest.raises(Refused, match="take it off"):
        finish_done(replace(one, fitted="snug"), plan, NOW, NOW)
    with pytest.raises(BadInput):
        plan_finish(one, Finish(what=" "))


def test_a_dry_fit_before_paint_is_no_fit() -> None:
    """The part stays off; what went on since is said."""
    tried = dry_fitted(part(1), NOW)
    assert tried.fitted == "off"
    later = NOW + timedelta(days=2)
    painted = finish_done(tried, Finish(what="painted"), later, later)
    assert dry_fit_words(painted) == "dry fitted 9 Mar 2026, painted since"
    assert dry_fit_words(Part(code="TP-001-N", name="x")) == ""


def test_what_is_overdue_is_the_first_thing_on_the_bench_and_needs_no_care_here() -> None:
    """A part away is neither dirty nor ready; the day after it is due it is asked about."""
    gone = send(part(1, "Cylinder", verdict="reuse"), PLATER)
    made = tables(gone, machines={"TP": Machine(mark="TP", name="Tarnbrook Packman")})
    assert lists_with(gone, ()) == ["all"]
    assert next_jobs(made, "TP", now=NOW) == []
    late = NOW + timedelta(days=15)
    [job] = next_jobs(made, "TP", now=late)
    assert job.do == "ask"
    assert job.words == "4 days overdue"
