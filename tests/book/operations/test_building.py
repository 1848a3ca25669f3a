"""The verbs of the rebuild: each one change with words, refused with reasons, undone whole.

3/8–3/4 in is common practice, no source.
"""

from __future__ import annotations

from typing import Any

import pytest

from tagbench.book import Book
from tagbench.book.operations.building import (
    FitForm,
    fit_part,
    missing_fasteners,
    refusals,
    take_off_again,
)
from tagbench.book.operations.closing import close_machine, reopen_machine
from tagbench.book.operations.settings import SettingForm, add_setting, measure, recheck
from tagbench.errors import BadInput, NotFound, Refused
from tagbench.records import CareStep, Fastener, Part, StockItem, Torque, replace
from tagbench.rules.count.closing import open_lines
from tagbench.rules.count.identity import machine_count
from tagbench.rules.describe.part import describe_part
from tagbench.rules.rebuild.overview import build_overview
from tagbench.rules.settings.standing import setting_state
from tests.book.conftest import Clock, strip

READY: dict[str, Any] = {"care": (CareStep(step="degreased"),), "verdict": "reuse"}
NUT = Fastener(kind="castle nut", thread="M12x1.25", torque=Torque(low=45, high=55))
PIN = Fastener(kind="cotter pin", diameter=3.2, length=32, single_use=True)


@pytest.fixture
def wheel(book: Book) -> Part:
    """The outermost part, with a castle nut and a cotter pin."""
    return strip(book, "wheel", order=1, fasteners=(NUT, PIN), **READY)


@pytest.fixture
def bearing(book: Book, wheel: Part) -> Part:
    """What lies behind the wheel."""
    return strip(book, "bearing", order=2, behind=(wheel.code,), **READY)


def test_fit_is_one_change_in_words_and_undo_takes_it_back(book: Book, wheel: Part) -> None:
    """The part, the settings and the words together."""
    fit_part(book, wheel.code, FitForm(torqued={1: 50.0}, renewed=[2]))
    assert book.history()[0].words == f"fitted wheel {wheel.code}"
    assert machine_count(book.records, "TP").fasteners_back == 2
    book.undo()
    assert book.records.parts[wheel.code] == wheel


def test_the_classic_mistake_is_refused_and_nothing_is_written(book: Book, bearing: Part) -> None:
    """The wheel before the bearing: named, with the price, and the book stays as it was."""
    wheel = bearing.behind[0]
    before = book.revision
    with pytest.raises(Refused) as refusal:
        fit_part(book, wheel)
    assert f"would shut in bearing {bearing.code}" in str(refusal.value)
    assert book.revision == before


def test_fit_anyway_is_recorded_and_stays_open(book: Book, bearing: Part) -> None:
    """With the names, the reason and the time, until the bearing is on."""
    wheel = bearing.behind[0]
    part = fit_part(book, wheel, FitForm(anyway=True, why="only to roll it out"))
    [over] = part.overrides
    assert (over.what, over.codes, over.why) == ("buried", (bearing.code,), "only to roll it out")
    assert over.at == book.now()
    assert [one.override for one in machine_count(book.records, "TP").overrides] == [over]
    assert "although buried: “only to roll it out”" in book.history()[0].words
    fitted = book.records.parts[wheel]
    [told] = describe_part(book.records, fitted, book.now()).overruled
    assert f"went on over bearing {bearing.code}; overruled" in told.words
    assert told.words.endswith("“only to roll it out”")
    fit_part(book, bearing.code)
    [told] = describe_part(book.records, fitted, book.now()).overruled
    assert told.words.startswith("went on buried, put right since; overruled")
    assert machine_count(book.records, "TP").overrides == []


def test_every_reason_is_in_the_refusal(book: Book) -> None:
    """Dirty, undecided and short all at once."""
    part = strip(book, "drum", fasteners=(Fastener(thread="M6x1", quantity=3, short=1),))
    with pytest.raises(Refused) as refusal:
        fit_part(book, part.code)
    for words in ("not degreased", "reuse or replace", "short of"):
        assert words in str(refusal.value)


def test_a_shortage_named_while_fitting_does_not_stop_it(book: Book) -> None:
    """Short by one is said and accepted; it stays open in the count as lost."""
    part = strip(book, "cover", fasteners=(Fastener(thread="M6x1", quantity=3),), **READY)
    after = fit_part(book, part.code, FitForm(short={1: 1}))
    assert (after.fasteners[0].back, after.overrides) == (2, ())
    count = machine_count(book.records, "TP")
    assert [line.key for line in open_lines(count)] == [f"lost:{part.code}/1"]


def test_a_shortage_known_before_stops_it_until_they_turn_up(book: Book) -> None:
    """Missing ones hold the part up; saying 0 lets it go on."""
    part = strip(book, "cover", fasteners=(Fastener(thread="M6x1", quantity=3),), **READY)
    missing_fasteners(book, part.code, {1: 2})
    assert build_overview(book.records, "TP").ready == []
    with pytest.raises(Refused, match="short of"):
        fit_part(book, part.code)
    missing_fasteners(book, part.code, {1: 0})
    assert fit_part(book, part.code).fasteners[0].back == 3


def test_a_torque_outside_its_range_is_refused_or_recorded_with_the_reason(
    book: Book, wheel: Part
) -> None:
    """Refused first; recorded anyway it stays open until it is torqued inside the range."""
    with pytest.raises(Refused, match="60 N·m is over the range 45-55 N·m"):
        fit_part(book, wheel.code, FitForm(torqued={1: 60.0}))
    part = fit_part(book, wheel.code, FitForm(torqued={1: 60.0}, anyway=True, why="manual says 60"))
    assert [(one.what, one.why) for one in part.overrides] == [("torque", "manual says 60")]
    assert len(machine_count(book.records, "TP").overrides) == 1
    fit_part(book, wheel.code, FitForm(torqued={1: 60.0}, anyway=True, why="once more"))
    assert len(machine_count(book.records, "TP").overrides) == 1
    fit_part(book, wheel.code, FitForm(torqued={1: 50.0}))
    assert machine_count(book.records, "TP").overrides == []


def test_snug_first_and_torqued_later(book: Book, wheel: Part, clock: Clock) -> None:
    """A part that is on already is not held up again."""
    assert fit_part(book, wheel.code, FitForm(snug=True)).fitted == "snug"
    assert [part.code for part in machine_count(book.records, "TP").snug] == [wheel.code]
    clock.on(minutes=5)
    after = fit_part(book, wheel.code, FitForm(torqued={1: 50.0}, renewed=[2]))
    assert (after.fitted, after.fitted_at) == ("fitted", clock.time)


def test_with_only_some_torques_given_a_part_stays_snug(book: Book) -> None:
    """Until the last one is."""
    part = strip(book, "fork", fasteners=(NUT, replace(NUT, thread="M8x1.25")), **READY)
    assert fit_part(book, part.code, FitForm(torqued={1: 50.0})).fitted == "snug"
    assert fit_part(book, part.code, FitForm(torqued={2: 50.0})).fitted == "fitted"


def test_refitting_reopens_the_settings_that_depend_on_it(book: Book, wheel: Part) -> None:
    """Measured in the very same second, and still to be measured again."""
    slack = add_setting(book, SettingForm("chain slack", "3/8-3/4 in", after=(wheel.code,)))
    measure(book, slack.id, "12 mm")
    fit_part(book, wheel.code)
    state = setting_state(book.records.settings[str(slack.id)], book.records.parts)
    assert (state.state, state.words) == (
        "recheck",
        f"measure again: wheel {wheel.code} went on again",
    )
    measure(book, slack.id, "13 mm")
    assert setting_state(book.records.settings[str(slack.id)], book.records.parts).state == "inside"


def test_taking_off_names_what_is_in_the_way_or_takes_it_along(book: Book, bearing: Part) -> None:
    """The wheel must come off before the bearing can."""
    wheel = bearing.behind[0]
    fit_part(book, bearing.code)
    fit_part(book, wheel)
    with pytest.raises(Refused, match=f"wheel {wheel}"):
        take_off_again(book, bearing.code)
    taken = take_off_again(book, bearing.code, with_outer=True)
    assert [part.code for part in taken] == [wheel, bearing.code]
    assert machine_count(book.records, "TP").fasteners_back == 0
    book.undo()
    assert book.records.parts[wheel].fitted == "fitted"
    with pytest.raises(BadInput, match="off the machine already"):
        take_off_again(book, strip(book, "horn").code)


def test_the_way_to_a_part_is_cleared_and_the_part_stays_on(book: Book, bearing: Part) -> None:
    """Only what is in its way comes off; afterwards nothing is."""
    fit_part(book, bearing.code)
    wheel = fit_part(book, bearing.behind[0], FitForm(torqued={1: 50.0}))
    taken = take_off_again(book, bearing.code, with_outer=True, itself=False)
    assert [part.code for part in taken] == [wheel.code]
    assert book.records.parts[bearing.code].fitted == "fitted"
    with pytest.raises(BadInput, match="Nothing is in the way"):
        take_off_again(book, bearing.code, with_outer=True, itself=False)


def test_a_part_that_was_shut_in_is_got_back_to(book: Book, bearing: Part) -> None:
    """It is off itself: what was put on over it comes off."""
    fit_part(book, bearing.behind[0], FitForm(anyway=True))
    taken = take_off_again(book, bearing.code, with_outer=True)
    assert [part.code for part in taken] == list(bearing.behind)
    with pytest.raises(BadInput, match="off the machine already"):
        take_off_again(book, bearing.code, with_outer=True)


def test_what_stands_in_the_way_is_told_without_writing(book: Book, bearing: Part) -> None:
    """The same as `fit` would refuse for, each as the override it would take."""
    wheel, before = bearing.behind[0], book.revision
    found = refusals(book, wheel, FitForm(torqued={1: 90.0}))
    assert [override.what for override, _ in found] == ["buried", "torque"]
    assert found[0][0].codes == (bearing.code,)
    assert refusals(book, bearing.code, FitForm()) == []
    assert book.revision == before


def test_what_is_renewed_comes_out_of_the_drawer(book: Book, wheel: Part) -> None:
    """One cotter pin less, and only once."""
    with book.change("bought cotter pins") as transaction:
        transaction.put(
            StockItem(id=transaction.new_id("stock"), what="cotter pin 3.2x32", quantity=5)
        )
    fit_part(book, wheel.code, FitForm(snug=True, renewed=[2]))
    fit_part(book, wheel.code, FitForm(torqued={1: 50.0}, renewed=[2]))
    assert [item.quantity for item in book.records.stock.values()] == [4]


def test_closing_wants_a_clean_count_or_a_reason_per_line(book: Book, wheel: Part) -> None:
    """Refused with the lines; closed with reasons; opened again by work on the machine."""
    fit_part(book, wheel.code, FitForm(torqued={1: 50.0}))
    with pytest.raises(Refused, match="not renewed"):
        close_machine(book, "TP")
    key = f"renew:{wheel.code}/2"
    closed = close_machine(book, "TP", {key: "pin from the new kit"})
    assert (closed.closed, closed.closed_with) == (book.now(), {key: "pin from the new kit"})
    take_off_again(book, wheel.code)
    assert book.records.machines["TP"].closed is None
    with pytest.raises(BadInput, match="not closed"):
        reopen_machine(book, "TP")


def test_a_closed_machine_can_be_opened_again(book: Book, wheel: Part) -> None:
    """By hand."""
    fit_part(book, wheel.code, FitForm(torqued={1: 50.0}, renewed=[2]))
    close_machine(book, "TP")
    assert reopen_machine(book, "TP").closed is None


def test_an_unknown_code_is_not_found(book: Book, wheel: Part) -> None:
    """By any of the verbs."""
    for verb in (fit_part, take_off_again):
        with pytest.raises(NotFound, match="TP-099-A"):
            verb(book, "TP-099-A")


def test_measuring_again_wants_a_reason(book: Book, wheel: Part) -> None:
    """And keeps it."""
    slack = add_setting(book, SettingForm("chain slack"))
    measure(book, slack.id, "12")
    with pytest.raises(BadInput, match="Say in a word"):
        recheck(book, slack.id, " ")
    assert recheck(book, slack.id, "new chain").recheck == "new chain"


def test_a_replaced_part_goes_on_once_the_new_one_is_here(book: Book) -> None:
    """Wanted holds it up, here lets it go on; its old piece is then still in the count."""
    part = strip(book, "shoe", **{**READY, "verdict": "replace", "replacement": "wanted"})
    with pytest.raises(Refused, match="replacement is not here"):
        fit_part(book, part.code)
    with book.change("the shoe arrived") as transaction:
        transaction.put(replace(part, replacement="here", old_piece="kept"))
    fit_part(book, part.code)
    count = machine_count(book.records, "TP")
    assert [line.key for line in open_lines(count)] == [f"old:{part.code}"]
