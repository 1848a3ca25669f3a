"""Care is written down with its day; odd cases are refused in a clear sentence."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from tagbench.errors import BadInput, Refused
from tagbench.records import Desk, Part, Want, replace
from tagbench.rules.care import steps
from tagbench.rules.care.needs import FILTERS, count_by_filter, filtered, next_step, step_letters
from tagbench.rules.care.substances import remember, substances_for
from tagbench.rules.describe.care import care_words
from tagbench.rules.whereabouts import put_old_piece
from tests.rules.making import code, part, tables

NOW = datetime(2026, 3, 7, 18, 0, tzinfo=UTC)
OFF = NOW - timedelta(days=10)


def shoe(**more: object) -> Part:
    """A brake shoe that came off ten days ago."""
    return part(1, "brake shoe", removed=OFF, **more)


def test_steps_are_kept_in_order_of_their_days() -> None:
    """Each with its day and what it was done with; a day typed later is put in its place."""
    one = steps.tick(shoe(), "inspected", NOW, NOW)
    two = steps.tick(one, "degreased", NOW - timedelta(days=2), NOW, "  hot  water ")
    assert [(s.step, s.with_what) for s in two.care] == [
        ("degreased", "hot water"),
        ("inspected", ""),
    ]
    assert step_letters(two) == "D I ·"
    assert care_words(two, NOW) == (
        "degreased with hot water, 5 Mar 2026; inspected, 7 Mar 2026; undecided"
    )


def test_the_same_step_twice_a_day_is_written_once() -> None:
    """A second press of the key changes nothing; another substance does."""
    once = steps.tick(shoe(), "lubed", NOW, NOW, "gear oil")
    assert steps.tick(once, "lubed", NOW, NOW, "gear oil") is once
    assert len(steps.tick(once, "lubed", NOW, NOW, "brake grease").care) == 2


def test_days_that_cannot_be_are_refused() -> None:
    """Not in the future, not before the part came off."""
    with pytest.raises(Refused, match="still to come"):
        steps.tick(shoe(), "degreased", NOW + timedelta(days=1), NOW)
    with pytest.raises(Refused, match=r"came off on 25 Feb 2026, so nothing"):
        steps.tick(shoe(), "degreased", OFF - timedelta(days=1), NOW)


def test_a_part_on_the_machine_is_not_marked_dirty() -> None:
    """Taking back degreased is refused while it is fitted or snug."""
    clean = steps.tick(shoe(), "degreased", NOW, NOW)
    on = replace(clean, fitted="snug")
    with pytest.raises(Refused, match="is snug, so it cannot be marked dirty"):
        steps.drop_step(on)
    with pytest.raises(Refused, match="dirty"):
        steps.back_to(on, shoe())
    assert steps.drop_step(clean).care == ()


def test_the_last_step_is_taken_back() -> None:
    """Only that step goes; without any, the sentence says so."""
    both = steps.tick(steps.tick(shoe(), "degreased", OFF, NOW), "lubed", NOW, NOW)
    assert [s.step for s in steps.drop_step(both).care] == ["degreased"]
    with pytest.raises(BadInput, match="no care step"):
        steps.drop_step(shoe())


def test_replacing_a_part_whose_old_one_is_fitted_is_refused() -> None:
    """The old one would stay in the machine."""
    with pytest.raises(Refused, match="take it off first"):
        steps.decide(shoe(fitted="fitted"), "replace")
    wanted = steps.decide(shoe(), "replace")
    assert (wanted.replacement, wanted.old_piece) == ("wanted", "kept")
    assert care_words(wanted, NOW) == "still dirty; replace, new one wanted"


def test_a_piece_that_is_gone_is_not_used_again() -> None:
    """Reuse is refused once the old piece was let go, or the new one is on."""
    wanted = steps.decide(shoe(), "replace")
    with pytest.raises(Refused, match="is gone"):
        steps.decide(put_old_piece(wanted, "gone"), "reuse")
    new_on = replace(wanted, replacement="here", fitted="fitted")
    with pytest.raises(Refused, match="take it off first"):
        steps.decide(new_on, "reuse")
    again = steps.decide(wanted, "reuse")
    assert (again.verdict, again.replacement, again.old_piece) == ("reuse", "", "")
    with pytest.raises(Refused, match="no old piece"):
        put_old_piece(again, "gone")


def test_a_verdict_is_taken_back_only_off_the_machine() -> None:
    """Undecided again, unless it is fitted."""
    assert steps.undecide(steps.decide(shoe(), "replace")).replacement == ""
    with pytest.raises(Refused, match="before you decide again"):
        steps.undecide(shoe(verdict="reuse", fitted="fitted"))


def test_care_goes_back_to_what_it_was_and_leaves_the_rest() -> None:
    """A note written since then stays."""
    before = shoe()
    now = replace(steps.decide(before, "replace"), note="bent")
    back = steps.back_to(now, before)
    assert (back.verdict, back.replacement, back.note) == ("undecided", "", "bent")
    assert steps.care_differs(now, before)
    assert not steps.care_differs(back, before)


def test_soaking_since_when_and_how_long() -> None:
    """In words with what is left, over time too; clean ends it as degreased with the same."""
    tray = steps.soak(shoe(), NOW - timedelta(hours=26), NOW, 24, "tray 2", "kerosene")
    assert care_words(tray, NOW).startswith("soaking 26 h in kerosene, tray 2, 2 h over, since")
    assert step_letters(tray) == "~ · ·"
    clean = steps.end_soak(tray, NOW, NOW)
    assert (clean.soak, clean.care[0].step, clean.care[0].with_what) == (
        None,
        "degreased",
        "kerosene",
    )
    dirty = steps.end_soak(tray, NOW, NOW, clean=False)
    assert (dirty.soak, dirty.care) == (None, ())


def test_soaks_that_cannot_be_are_refused() -> None:
    """A fitted part, no hours, a start to come, no soak to end."""
    with pytest.raises(Refused, match="cannot soak"):
        steps.soak(shoe(fitted="snug"), NOW, NOW)
    with pytest.raises(BadInput, match="how many hours"):
        steps.soak(shoe(), NOW, NOW, 0)
    with pytest.raises(Refused, match="still to come"):
        steps.soak(shoe(), NOW + timedelta(hours=1), NOW)
    with pytest.raises(BadInput, match="is not soaking"):
        steps.end_soak(shoe(), NOW, NOW)


def test_the_lists_of_the_clean_screen() -> None:
    """Each part stands on the lists of what it still needs; parts on the machine on none."""
    dirty = part(1, "mudguard")
    clean = steps.tick(part(2, "wheel bearing"), "degreased", NOW, NOW)
    looked = steps.tick(clean, "inspected", NOW, NOW)
    decided = steps.decide(replace(looked, code=code(3), order=3), "reuse")
    worn = steps.decide(part(4, "felt seal"), "replace")
    tub = steps.soak(part(5, "chain"), NOW, NOW)
    on = part(6, "axle", fitted="fitted")
    want = Want(id=1, machine="TP", what="bearing", parts=(code(3),))
    book = tables(dirty, looked, decided, worn, tub, on, wants={"1": want})
    shown = {name: [p.order for p in filtered(book.parts.values(), name, book)] for name in FILTERS}
    assert shown == {
        "all": [1, 2, 3, 4, 5, 6],
        "still dirty": [1, 5],
        "soaking": [5],
        "not inspected": [1, 5],
        "undecided": [1, 2, 5],
        "to lube": [2, 3],
        "waiting": [3, 4],
    }
    assert count_by_filter(book.parts.values(), book)["waiting"] == 2


def test_what_comes_next() -> None:
    """Degrease, inspect, decide, lube; or wait."""
    bearing = part(1, "wheel bearing")
    assert next_step(bearing, ()) == "degrease"
    bearing = steps.tick(bearing, "degreased", NOW, NOW)
    assert next_step(bearing, ()) == "inspect"
    bearing = steps.tick(bearing, "inspected", NOW, NOW)
    assert next_step(bearing, ()) == "decide"
    bearing = steps.decide(bearing, "reuse")
    assert next_step(bearing, ()) == "lube"
    assert next_step(bearing, (bearing.code,)) == "wait for the new one"
    assert next_step(steps.tick(bearing, "lubed", NOW, NOW), ()) == ""
    assert next_step(steps.decide(part(1), "replace"), ()) == "wait for the new one"


def test_what_was_used_is_offered_first() -> None:
    """Latest first, each once however it was spelled; what suits the part before all."""
    desk = remember(
        remember(remember(Desk(), "lubed", "Gear oil"), "lubed", "x"), "lubed", "gear oil"
    )
    assert desk.used_with["lubed"] == ("gear oil", "x")
    assert substances_for(desk, "lubed")[:2] == ("gear oil", "x")
    assert len(substances_for(desk, "lubed")) == len(
        {o.casefold() for o in substances_for(desk, "lubed")}
    )
    assert substances_for(desk, "lubed", part(1, "drive chain"))[0] == "chain oil"
    assert remember(desk, "lubed", "  ") is desk
