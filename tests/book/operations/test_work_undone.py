"""What was undone is forgotten: torque after loosening, late bolts, settings, a closed machine."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from tagbench.book import Book
from tagbench.book.operations.building import FitForm, fit_part, missing_fasteners, take_off_again
from tagbench.book.operations.buying import arrive
from tagbench.book.operations.care import tick_off
from tagbench.book.operations.closing import close_machine
from tagbench.book.operations.settings import (
    SettingForm,
    add_setting,
    measure,
    recheck,
    remove_setting,
)
from tagbench.book.operations.strip import StripForm, edit, remove, strip_part
from tagbench.book.operations.wanting import WantForm, add_want
from tagbench.errors import Refused
from tagbench.records import CareStep, Fastener, Part, Setting, Torque
from tagbench.rules.count.closing import open_lines
from tagbench.rules.count.identity import machine_count
from tagbench.rules.settings.standing import setting_state
from tests.book.conftest import Clock, strip

READY: dict[str, Any] = {"care": (CareStep(step="degreased"),), "verdict": "reuse"}
BOLTS = Fastener(
    kind="bolt", thread="M8x1.25", length=40, quantity=4, torque=Torque(low=18, high=25)
)
PIN = Fastener(kind="cotter pin", diameter=3.2, length=32, single_use=True)


@pytest.fixture
def hub(book: Book) -> Part:
    """A hub on four bolts with a torque, and a cotter pin."""
    return strip(book, "hub", order=1, fasteners=(BOLTS, PIN), **READY)


def on(book: Book, part: Part) -> Part:
    """The part put on, torqued, with a new pin."""
    return fit_part(book, part.code, FitForm(torqued={1: 20.0}, renewed=[2]))


def lines(book: Book) -> list[str]:
    """The names of the open lines of the count."""
    return [line.key for line in open_lines(machine_count(book.records, "TP"))]


def slack(book: Book, part: Part) -> Setting:
    """The chain slack that hangs on the part, measured inside its range."""
    made = add_setting(book, SettingForm("chain slack", "20-30 mm", after=(part.code,)))
    return measure(book, made.id, "25 mm")


def state_of(book: Book, setting: Setting) -> tuple[str, str]:
    """Where a setting stands, and in words."""
    found = setting_state(book.records.settings[str(setting.id)], book.records.parts)
    return found.state, found.words


def test_loosened_is_not_torqued(book: Book, hub: Part) -> None:
    """Torqued, made snug, fitted again without a figure: torque and pin are open, closing too."""
    on(book, hub)
    snug = fit_part(book, hub.code, FitForm(snug=True))
    assert [(line.torqued, line.renewed) for line in snug.fasteners] == [(None, False)] * 2
    fit_part(book, hub.code)
    assert lines(book) == [f"torque:{hub.code}/1", f"renew:{hub.code}/2"]
    with pytest.raises(Refused, match="no torque noted"):
        close_machine(book, "TP")


def test_what_is_said_while_loosening_holds(book: Book, hub: Part) -> None:
    """A new pin that goes in with the part finger tight is new."""
    after = fit_part(book, hub.code, FitForm(snug=True, renewed=[2]))
    assert after.fasteners[1].renewed


def test_a_late_bolt_is_not_torqued(book: Book, hub: Part) -> None:
    """Three of four torqued, the fourth put in without a figure: the line is open again."""
    fit_part(book, hub.code, FitForm(torqued={1: 20.0}, renewed=[2], short={1: 1}))
    assert lines(book) == [f"lost:{hub.code}/1"]
    missing_fasteners(book, hub.code, {1: 0})
    after = fit_part(book, hub.code)
    assert (after.fasteners[0].back, after.fasteners[0].torqued) == (4, None)
    assert lines(book) == [f"torque:{hub.code}/1"]
    fit_part(book, hub.code, FitForm(torqued={1: 20.0}))
    assert lines(book) == []


def test_one_bolt_fewer_leaves_the_others_torqued(book: Book, hub: Part) -> None:
    """Losing one does not loosen those that stay."""
    on(book, hub)
    assert missing_fasteners(book, hub.code, {1: 1}).fasteners[0].torqued == 20.0
    assert fit_part(book, hub.code).fasteners[0].torqued == 20.0


@pytest.mark.parametrize(
    ("work", "words"),
    [
        (lambda book, hub: fit_part(book, hub.code, FitForm(snug=True)), "was loosened"),
        (lambda book, hub: take_off_again(book, hub.code), "was taken off again"),
        (
            lambda book, hub: fit_part(book, hub.code, FitForm(torqued={1: 20.0})),
            "was tightened again",
        ),
    ],
)
def test_any_work_on_what_a_setting_hangs_on_reopens_it(
    book: Book, hub: Part, clock: Clock, work: Callable[[Book, Part], object], words: str
) -> None:
    """Loosening, taking off, tightening again to the same figure; whatever the clock says."""
    on(book, hub)
    clock.on(days=-3)
    setting = slack(book, hub)
    assert state_of(book, setting)[0] == "inside"
    work(book, hub)
    assert state_of(book, setting) == ("recheck", f"measure again: hub {hub.code} {words}")


def test_fitting_what_is_fitted_already_reopens_nothing(book: Book, hub: Part) -> None:
    """Nothing was turned."""
    on(book, hub)
    setting = slack(book, hub)
    fit_part(book, hub.code)
    assert state_of(book, setting)[0] == "inside"


def test_the_newest_reason_is_shown(book: Book, hub: Part) -> None:
    """A reason of one's own is older than the loosening after it."""
    on(book, hub)
    setting = slack(book, hub)
    recheck(book, setting.id, "new chain")
    fit_part(book, hub.code, FitForm(snug=True))
    assert state_of(book, setting)[1] == f"measure again: hub {hub.code} was loosened"
    recheck(book, setting.id, "sprocket changed")
    assert state_of(book, setting)[1] == "measure again: sprocket changed"


def _wanted_and_here(book: Book, hub: Part) -> None:
    arrive(book, [add_want(book, WantForm(codes=(hub.code,))).id])


WORK: dict[str, Callable[[Book, Part, Setting], object]] = {
    "snug": lambda book, hub, _: fit_part(book, hub.code, FitForm(snug=True)),
    "torque once more": lambda book, hub, _: fit_part(book, hub.code, FitForm(torqued={1: 20.0})),
    "take off": lambda book, hub, _: take_off_again(book, hub.code),
    "short": lambda book, hub, _: missing_fasteners(book, hub.code, {1: 1}),
    "lubed": lambda book, hub, _: tick_off(book, [hub.code], "lubed", with_what="grease"),
    "strip": lambda book, _, __: strip_part(book, StripForm("horn")),
    "fasteners": lambda book, hub, _: edit(book, hub.code, fasteners=(BOLTS,), lines="others"),
    "remove": lambda book, hub, _: remove(book, hub.code),
    "measure": lambda book, _, setting: measure(book, setting.id, "40 mm"),
    "recheck": lambda book, _, setting: recheck(book, setting.id, "new chain"),
    "setting": lambda book, _, __: add_setting(book, SettingForm("brake play")),
    "setting gone": lambda book, _, setting: remove_setting(book, setting.id),
}


@pytest.mark.parametrize("work", WORK.values(), ids=WORK)
def test_a_closed_machine_that_is_worked_on_is_open_and_says_so_once(
    book: Book, hub: Part, work: Callable[[Book, Part, Setting], object]
) -> None:
    """Whatever was done; taking it back closes it again."""
    on(book, hub)
    setting = slack(book, hub)
    closed = close_machine(book, "TP")
    work(book, hub, setting)
    assert book.records.machines["TP"].closed is None
    assert book.history()[0].words.count("Tarnbrook Packman is open again") == 1
    tick_off(book, [strip(book, "spring").code], "degreased")
    assert "open again" not in book.history()[0].words
    book.undo()
    book.undo()
    book.undo()
    assert book.records.machines["TP"] == closed


def test_what_is_written_about_a_closed_machine_leaves_it_closed(book: Book, hub: Part) -> None:
    """A note, a name, a want for the winter."""
    on(book, hub)
    close_machine(book, "TP")
    edit(book, hub.code, note="polished", name="front hub")
    _wanted_and_here(book, hub)
    assert book.records.machines["TP"].closed is not None


def test_an_older_change_taken_back_opens_a_closed_machine(book: Book, hub: Part) -> None:
    """No “closed on” above open lines."""
    on(book, hub)
    number = book.revision
    close_machine(book, "TP")
    book.undo(number)
    assert book.records.machines["TP"].closed is None
    assert lines(book) == [f"off:{hub.code}"]


def test_closing_does_not_come_back_over_later_work(book: Book, hub: Part) -> None:
    """The change that opened it is taken back, but not what was done after it."""
    on(book, hub)
    setting = slack(book, hub)
    close_machine(book, "TP")
    tick_off(book, [hub.code], "lubed")
    number = book.revision
    measure(book, setting.id, "26 mm")
    book.undo(number)
    assert book.records.machines["TP"].closed is None


def test_a_part_that_is_removed_is_named_by_nothing(book: Book, hub: Part) -> None:
    """Wants and settings let go of it, in the same change; undo brings all of it back."""
    other = strip(book, "cover", order=2)
    setting = add_setting(book, SettingForm("bearing play", after=(hub.code, other.code)))
    both = add_want(book, WantForm("grease nipple", codes=(hub.code, other.code)))
    add_want(book, WantForm(codes=(hub.code,)))
    before = book.records
    remove(book, hub.code)
    assert book.records.settings[str(setting.id)].after == (other.code,)
    assert [want.parts for want in book.records.wants.values()] == [(other.code,)]
    assert list(book.records.wants) == [str(both.id)]
    assert f"{hub.code}, no longer named by want 1, want 2, setting 1" in book.history()[0].words
    book.undo()
    assert (book.records.wants, book.records.settings) == (before.wants, before.settings)
    assert hub.code in book.records.parts
