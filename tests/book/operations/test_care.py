"""Care as changes of the book: many parts are one step, refused as a whole, undone as a whole."""

from __future__ import annotations

from datetime import date

import pytest

from tagbench.book import Book
from tagbench.book.operations import care, measuring
from tagbench.book.operations.care_back import take_last_back
from tagbench.errors import BadInput, NotFound, Refused
from tagbench.records import Part, Reading, Tables, replace
from tagbench.rules.care.steps import tick
from tests.book.conftest import Clock, strip


def parts(book: Book, *names: str) -> list[str]:
    """The codes of new parts."""
    return [strip(book, name, removed=book.now()).code for name in names]


def state(tables: Tables, code: str) -> tuple[list[str], str, str]:
    """Steps, verdict and replacement of a part."""
    part = tables.parts[code]
    return [step.step for step in part.care], part.verdict, part.replacement


def test_many_at_once_are_one_change_and_one_undo(book: Book) -> None:
    """Three parts degreased is one line of history; one undo cleans none of them."""
    codes = parts(book, "shoe", "drum", "cam")
    before = book.revision
    care.tick_off(book, codes, "degreased", with_what=" hot  water ")
    assert book.revision == before + 1
    assert book.history(limit=1)[0].words == "degreased 3 parts with hot water"
    assert book.records.desk.used_with["degreased"] == ("hot water",)
    assert all(state(book.records, code)[0] == ["degreased"] for code in codes)
    book.undo()
    assert all(state(book.records, code)[0] == [] for code in codes)


def test_one_refusal_leaves_all_as_they_were(book: Book) -> None:
    """The middle one is fitted: nothing of the three is marked, no want is left."""
    codes = parts(book, "shoe", "drum", "cam")
    with book.change("fitted") as transaction:
        transaction.put(replace(transaction.records.parts[codes[1]], fitted="fitted"))
    before = book.revision
    with pytest.raises(Refused, match="drum"):
        care.tick_off(book, codes, "replace")
    assert book.revision == before
    assert not book.records.wants
    with pytest.raises(NotFound):
        care.tick_off(book, [codes[0], "TP-999-X"], "degreased")
    assert state(book.records, codes[0])[0] == []


def test_replace_goes_on_the_want_list_and_reuse_comes_off_it(book: Book) -> None:
    """Once, however often it is marked; an ordered want stays, without the part."""
    (code,) = parts(book, "felt seal")
    care.tick_off(book, [code], "replace", with_what="pattern part")
    care.tick_off(book, [code], "replace")
    care.tick_off(book, [code], "replace", with_what="from the fair")
    (want,) = book.records.wants.values()
    assert (want.what, want.parts) == ("felt seal", (code,))
    assert want.note == "pattern part; from the fair"
    care.tick_off(book, [code], "reuse")
    assert not book.records.wants
    book.undo()
    assert list(book.records.wants.values()) == [want]
    with book.change("ordered") as transaction:
        transaction.put(replace(want, ordered=transaction.now.date()))
    care.undecided(book, [code])
    (left,) = book.records.wants.values()
    assert (left.parts, left.ordered) == ((), book.now().date())


def test_what_cannot_be_marked_is_said(book: Book, clock: Clock) -> None:
    """An unknown word, no part, reuse with something, a day for a verdict, a day to come."""
    (code,) = parts(book, "shoe")
    for what, more, said in (
        ("polished", {}, "choose one of degreased, inspected"),
        ("reuse", {"with_what": "grease"}, "does not go with reuse"),
        ("replace", {"on": date(2024, 5, 4)}, "has a day of its own"),
    ):
        with pytest.raises(BadInput, match=said):
            care.tick_off(book, [code], what, **more)
    with pytest.raises(BadInput, match="at least one part"):
        care.tick_off(book, [], "lubed")
    with pytest.raises(Refused, match="still to come"):
        care.tick_off(book, [code], "lubed", on=date(2024, 5, 5))
    with pytest.raises(Refused, match="came off on"):
        care.tick_off(book, [code], "lubed", on=date(2024, 5, 3))
    clock.on(days=3)
    care.tick_off(book, [code], "lubed", on=date(2024, 5, 5))
    assert book.records.parts[code].care[0].at == clock().replace(day=5)


def test_each_turn_takes_one_more_step_back(book: Book, clock: Clock) -> None:
    """From the history: lubed, the verdict, inspected, in the order in which they were done."""
    (code,) = parts(book, "bearing")
    for what in ("degreased", "inspected", "replace", "lubed"):
        clock.on(minutes=5)
        care.tick_off(book, [code], what)
    seen = [state(book.records, code)]
    for _ in range(4):
        take_last_back(book, [code])
        seen.append(state(book.records, code))
    assert seen == [
        (["degreased", "inspected", "lubed"], "replace", "wanted"),
        (["degreased", "inspected"], "replace", "wanted"),
        (["degreased", "inspected"], "undecided", ""),
        (["degreased"], "undecided", ""),
        ([], "undecided", ""),
    ]
    assert not book.records.wants
    with pytest.raises(BadInput, match="Nothing has been done"):
        take_last_back(book, [code])
    book.undo()
    assert state(book.records, code)[0] == ["degreased"]


def test_marked_anew_after_a_step_back_goes_back_to_it(book: Book) -> None:
    """Back and on again: the next turn takes the new step back, not the old one."""
    (code,) = parts(book, "bearing")
    care.tick_off(book, [code], "degreased")
    care.tick_off(book, [code], "reuse")
    take_last_back(book, [code])
    care.tick_off(book, [code], "replace")
    take_last_back(book, [code])
    assert state(book.records, code) == (["degreased"], "undecided", "")


def test_a_part_from_outside_is_taken_back_step_by_step(book: Book) -> None:
    """Without history of its care: its last step, then its verdict."""
    code = parts(book, "bearing")[0]
    clean = tick(book.records.parts[code], "degreased", book.now(), book.now())
    with book.change("imported") as transaction:
        other = replace(clean, code=transaction.new_code("TP"), verdict="reuse")
        transaction.put(other)
    take_last_back(book, [other.code])
    assert state(book.records, other.code) == ([], "reuse", "")
    # The step back is in the history now, so the verdict needs no guess either.
    with pytest.raises(BadInput):
        take_last_back(book, [code])


def test_a_fitted_part_is_not_made_dirty(book: Book) -> None:
    """Taking degreased back is refused; the part stays as it is."""
    (code,) = parts(book, "drum")
    care.tick_off(book, [code], "degreased")
    with book.change("fitted") as transaction:
        transaction.put(replace(transaction.records.parts[code], fitted="snug"))
    with pytest.raises(Refused, match="cannot be marked dirty"):
        take_last_back(book, [code])
    assert state(book.records, code)[0] == ["degreased"]


def test_soaked_and_out_again(book: Book, clock: Clock) -> None:
    """Two parts in a tray are one change; out clean they are degreased with what they lay in."""
    codes = parts(book, "chain", "sprocket")
    care.soak(book, codes, hours=12, tray="tray 1", with_what="kerosene")
    assert book.history(limit=1)[0].words == "put 2 parts to soak"
    clock.on(hours=13)
    care.end_soak(book, codes[:1])
    care.end_soak(book, codes[1:], clean=False)
    first, second = (book.records.parts[code] for code in codes)
    assert (first.care[0].with_what, first.soak) == ("kerosene", None)
    assert (second.care, second.soak) == ((), None)
    assert book.records.desk.used_with["degreased"] == ("kerosene",)


def test_the_old_piece_is_let_go(book: Book) -> None:
    """Only of a part that is replaced."""
    (code,) = parts(book, "seal")
    with pytest.raises(Refused):
        care.old_piece_gone(book, [code])
    care.tick_off(book, [code], "replace")
    (part,) = care.old_piece_gone(book, [code])
    assert part.old_piece == "gone"


def test_readings_are_measured_again_in_their_place(book: Book) -> None:
    """Limits and tool stay when only figures are typed; the time is written down."""
    (code,) = parts(book, "shoe")
    limit = Reading(what="lining thickness", low=2.0, uncertainty=0.05, source="manual p. 9")
    measuring.read_off(book, code, limit)
    part = measuring.read_off(book, code, Reading(what="Lining  Thickness", values=(2.4, 2.6)))
    (reading,) = part.readings
    assert (reading.low, reading.uncertainty, reading.values) == (2.0, 0.05, (2.4, 2.6))
    assert (reading.at, reading.source) == (book.now(), "manual p. 9")
    with pytest.raises(BadInput, match="it has Lining Thickness"):
        measuring.drop_reading(book, code, "width")
    assert measuring.drop_reading(book, code, "lining thickness").readings == ()
    with pytest.raises(BadInput, match="change them round"):
        measuring.read_off(book, code, Reading(what="gap", low=2, high=1))


def test_cautions_are_acknowledged_for_the_machine(book: Book) -> None:
    """In the history, and to be shown again."""
    parts(book, "shoe")
    machine = care.acknowledge_cautions(book, ["springs", "fuel"], "TP")
    assert machine.cautions_seen == ("springs", "fuel")
    assert care.show_cautions_again(book, "TP", ["fuel"]).cautions_seen == ("springs",)
    assert care.show_cautions_again(book, "TP").cautions_seen == ()


def test_what_a_person_did_meanwhile_stays(book: Book) -> None:
    """Taking care back leaves a note that was written since."""
    (code,) = parts(book, "cam")
    care.tick_off(book, [code], "lubed")
    with book.change("note") as transaction:
        part: Part = transaction.records.parts[code]
        transaction.put(replace(part, note="bent"))
    take_last_back(book, [code])
    assert book.records.parts[code].note == "bent"
    assert book.records.parts[code].care == ()
