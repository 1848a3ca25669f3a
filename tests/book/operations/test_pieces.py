"""The old piece and the new one: soaks, care, what is here already, gaskets that are made."""

from __future__ import annotations

from datetime import date

import pytest

from tagbench.book import Book
from tagbench.book.operations.building import FitForm, fit_part, take_off_again
from tagbench.book.operations.buying import arrive, order
from tagbench.book.operations.care import end_soak, soak, tick_off, undecided
from tagbench.book.operations.making import made, to_make
from tagbench.book.operations.wanting import WantForm, add_want, drop_want, edit_want
from tagbench.errors import Refused
from tagbench.records import Gasket, Part
from tagbench.rules.bench.glance import glance
from tagbench.rules.bench.jobs import next_jobs
from tagbench.rules.care.needs import lists_with, next_step, standing_in_care, step_letters
from tagbench.rules.care.pieces import done
from tagbench.rules.rebuild.overview import build_overview
from tests.book.conftest import Clock, strip

PAPER = Gasket(material="paper", thickness_mm=0.5, width_mm=80, height_mm=60)


@pytest.fixture
def shoe(book: Book) -> Part:
    """A brake shoe that came off."""
    return strip(book, "brake shoe", order=1, kind="brake shoe")


def ready(book: Book) -> list[str]:
    """The codes of the parts that are ready."""
    return build_overview(book.records, "TP").ready


def now(book: Book, part: Part) -> Part:
    """The part as it stands in the book."""
    return book.records.parts[part.code]


@pytest.mark.parametrize("soaks_before", [0, 1, 2])
def test_a_part_in_the_tray_is_not_ready_on_any_soak(
    book: Book, shoe: Part, clock: Clock, soaks_before: int
) -> None:
    """Not counted as degreased, refused by fit, told with how long it has been."""
    for _ in range(soaks_before):
        soak(book, [shoe.code])
        end_soak(book, [shoe.code])
    tick_off(book, [shoe.code], "reuse")
    soak(book, [shoe.code], with_what="kerosene")
    clock.on(hours=26)
    assert ready(book) == []
    [held] = build_overview(book.records, "TP").held_up
    assert "soaking since 4 May 2024, 19:30" in held.reasons[0].words
    assert [reason.kind for reason in held.reasons] == ["soaking" if soaks_before else "dirty"]
    assert glance(book.records, "TP").clean == 0
    assert "soaking" in lists_with(now(book, shoe), ())
    assert step_letters(now(book, shoe)).startswith("~")
    assert standing_in_care(now(book, shoe), book.now(), ()) == "soaking 26 h"
    with pytest.raises(Refused, match="soaking since"):
        fit_part(book, shoe.code)
    end_soak(book, [shoe.code])
    assert ready(book) == [shoe.code]
    assert glance(book.records, "TP").clean == 1


def test_bench_says_how_long_a_part_has_been_in_the_tray(
    book: Book, shoe: Part, clock: Clock
) -> None:
    """Among what is next on the bench, with the time that is over."""
    soak(book, [shoe.code], hours=24)
    clock.on(hours=26)
    [job] = next_jobs(book.records, "TP", now=book.now())
    assert (job.do, job.part.code, job.words) == ("soak", shoe.code, "soaking 26 h, 2 h over")


def test_what_is_put_on_anyway_is_out_of_the_tray(book: Book, shoe: Part) -> None:
    """It cannot lie in two places."""
    soak(book, [shoe.code])
    assert fit_part(book, shoe.code, FitForm(anyway=True)).soak is None


def test_old_dirt_does_not_hold_up_the_new_part(book: Book, shoe: Part) -> None:
    """Nobody is told to wash the old one either, neither before nor after the new one is here."""
    tick_off(book, [shoe.code], "replace")
    assert next_step(now(book, shoe), ()) == "wait for the new one"
    [held] = build_overview(book.records, "TP").held_up
    assert "degreased" not in " ".join(reason.words for reason in held.reasons)
    arrive(book, [1])
    assert ready(book) == [shoe.code]
    assert next_step(now(book, shoe), ()) in ("", "lube")
    assert "still dirty" not in lists_with(now(book, shoe), ())


def test_a_cleaned_old_part_does_not_make_the_new_one_clean(book: Book, shoe: Part) -> None:
    """Each piece has its own steps, and the old one's count again when it is used after all."""
    for step in ("degreased", "lubed"):
        tick_off(book, [shoe.code], step)
    tick_off(book, [shoe.code], "replace")
    arrive(book, [1])
    assert not done(now(book, shoe), "degreased") and not done(now(book, shoe), "lubed")
    assert glance(book.records, "TP").clean == 0
    tick_off(book, [shoe.code], "inspected")
    assert done(now(book, shoe), "inspected")
    tick_off(book, [shoe.code], "reuse")
    part = now(book, shoe)
    assert [done(part, step) for step in ("degreased", "inspected", "lubed")] == [True, False, True]


def test_the_old_one_in_the_tray_does_not_hold_up_the_new_one(book: Book, shoe: Part) -> None:
    """Its soak ends with what it is: the old one degreased."""
    soak(book, [shoe.code])
    tick_off(book, [shoe.code], "replace")
    arrive(book, [1])
    assert ready(book) == [shoe.code]
    end_soak(book, [shoe.code])
    assert not done(now(book, shoe), "degreased")
    tick_off(book, [shoe.code], "reuse")
    assert done(now(book, shoe), "degreased")


def test_a_want_that_came_before_the_verdict_counts(book: Book, shoe: Part) -> None:
    """The new one is here, and none is wanted any more."""
    arrive(book, [add_want(book, WantForm(codes=(shoe.code,))).id])
    [part] = tick_off(book, [shoe.code], "replace")
    assert part.replacement == "here"
    assert [want.id for want in book.records.wants.values()] == [1]
    assert ready(book) == [shoe.code]


def test_one_that_is_on_its_way_is_waited_for(book: Book, shoe: Part) -> None:
    """Wanted before the verdict, not here yet: no second want, and here when it arrives."""
    want = add_want(book, WantForm(codes=(shoe.code,)))
    tick_off(book, [shoe.code], "replace")
    assert now(book, shoe).replacement == "wanted" and len(book.records.wants) == 1
    arrive(book, [want.id])
    assert now(book, shoe).replacement == "here"


@pytest.mark.parametrize("how", ["dropped", "taken out"])
def test_the_rest_of_an_order_dropped_leaves_no_part_waiting(
    book: Book, shoe: Part, how: str
) -> None:
    """One of two came, and the other never will."""
    want = add_want(book, WantForm(codes=(shoe.code,), quantity=2))
    order(book, [want.id])
    tick_off(book, [shoe.code], "replace")
    arrive(book, [want.id], count=1)
    assert now(book, shoe).replacement == "wanted"
    if how == "dropped":
        drop_want(book, [2])
    else:
        edit_want(book, 2, WantForm(codes=()))
    assert now(book, shoe).replacement == "here"


def test_a_gasket_that_was_made_stays_made(book: Book) -> None:
    """Whatever becomes of the verdict, to and fro."""
    part = strip(book, "cover gasket", order=1)
    to_make(book, part.code, PAPER)
    made(book, part.code)
    for _ in range(2):
        tick_off(book, [part.code], "reuse")
        assert tick_off(book, [part.code], "replace")[0].replacement == "here"
        undecided(book, [part.code])
        assert to_make(book, part.code, PAPER).replacement == "here"
    assert book.records.wants == {}
    assert ready(book) == [part.code]


def test_one_that_was_not_made_is_still_to_make(book: Book) -> None:
    """And is not bought."""
    part = strip(book, "cover gasket", order=1)
    to_make(book, part.code, PAPER)
    tick_off(book, [part.code], "reuse")
    assert tick_off(book, [part.code], "replace")[0].replacement == "wanted"
    assert book.records.wants == {}


def test_the_new_one_taken_off_again_is_still_the_new_one(book: Book, shoe: Part) -> None:
    """Ready at once."""
    tick_off(book, [shoe.code], "replace")
    arrive(book, [1], on=date(2024, 5, 4))
    fit_part(book, shoe.code)
    take_off_again(book, shoe.code)
    assert ready(book) == [shoe.code]
