"""Putting a part on: snug, torqued, short, renewed; and off again."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tagbench.errors import BadInput
from tagbench.records import Fastener, Override, Torque, replace
from tagbench.rules.count.fastener_lines import lines_of, renewed_items
from tagbench.rules.rebuild.fit import (
    all_torqued,
    outside_words,
    put_on,
    short_by,
    single_use_lines,
    take_off,
)
from tagbench.trade.fasteners.text import parse_fasteners
from tests.rules.machines import NOON, clean

NUT = Fastener(kind="castle nut", thread="M12x1.25", torque=Torque(low=45, high=55))
PIN = Fastener(kind="cotter pin", single_use=True)
SCREWS = Fastener(thread="M5x0.8", length=12, quantity=4)
WHEEL = clean(1, name="wheel", fasteners=(NUT, PIN, SCREWS))


def test_fitting_brings_all_fasteners_back() -> None:
    """Everything that came out is in again."""
    after = put_on(WHEEL, NOON)
    assert [line.back for line in after.fasteners] == [1, 1, 4]
    assert (after.fitted, after.fitted_at) == ("fitted", NOON)


def test_short_ones_stay_out() -> None:
    """Short by one: three of four are back, one is known to be missing."""
    screws = put_on(WHEEL, NOON, short={3: 1}).fasteners[2]
    assert (screws.back, screws.short) == (3, 1)


def test_a_known_shortage_is_kept_until_they_turn_up() -> None:
    """Fitting does not forget it; saying 0 does."""
    short = short_by(WHEEL, {3: 2})
    assert put_on(short, NOON).fasteners[2].back == 2
    assert put_on(short, NOON, short={3: 0}).fasteners[2].back == 4


def test_losing_one_after_fitting_takes_it_out_of_those_back() -> None:
    """Four back, then one found missing: three are back."""
    after = short_by(put_on(WHEEL, NOON), {3: 1})
    assert (after.fasteners[2].back, after.fasteners[2].short) == (3, 1)


def test_snug_first_fitted_later() -> None:
    """Each step is dated; doing the same step twice keeps the first date."""
    snug = put_on(WHEEL, NOON, snug=True)
    assert snug.fitted == "snug"
    later = NOON + timedelta(hours=1)
    done = put_on(snug, later, torqued={1: 50.0}, renewed=[2])
    assert (done.fitted, done.fitted_at) == ("fitted", later)
    assert put_on(done, later + timedelta(hours=1)).fitted_at == later
    assert done.fasteners[0].torqued == 50.0 and done.fasteners[1].renewed
    assert all_torqued(done) and not all_torqued(snug)


def test_taking_off_undoes_torque_and_renewal_but_not_a_loss() -> None:
    """The cotter pin must be new again, the nut torqued again; the lost screw is still lost."""
    done = put_on(WHEEL, NOON, torqued={1: 60.0}, short={3: 1}, renewed=[2])
    after = take_off(replace(done, overrides=(Override(what="torque", at=NOON),)))
    assert after == short_by(WHEEL, {3: 1})


@pytest.mark.parametrize(("short", "words"), [({3: 5}, "between 0 and 4"), ({3: -1}, "not -1")])
def test_no_more_can_be_missing_than_there_are(short: dict[int, int], words: str) -> None:
    """The sentence says how many there are."""
    with pytest.raises(BadInput, match=words):
        put_on(WHEEL, NOON, short=short)


@pytest.mark.parametrize("number", [0, 4, -1])
def test_a_line_it_has_not_is_refused(number: int) -> None:
    """For torque, shortage and renewal alike."""
    for wrong in ({"torqued": {number: 5.0}}, {"short": {number: 1}}, {"renewed": [number]}):
        with pytest.raises(BadInput, match="lines 1 to 3"):
            put_on(WHEEL, NOON, **wrong)
    with pytest.raises(BadInput, match="no fastener lines"):
        put_on(clean(2), NOON, torqued={1: 5.0})


def test_single_use_lines_are_named_by_number() -> None:
    """The second line is the cotter pin."""
    assert single_use_lines(WHEEL) == [2]


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (44.0, ""),  # a stage on the way there, open and no mistake
        (56.0, "56 N·m is over the range 45-55 N·m"),
        (45.0, ""),
        (55.0, ""),
        (54.9996, ""),
        (55.02, ""),
    ],
)
def test_a_torque_outside_its_range_is_told(given: float, words: str) -> None:
    """The limits are inside, and so is what rounding a converted figure does to them."""
    assert outside_words(NUT, given) == words


@pytest.mark.parametrize(
    ("text", "items"),
    [
        ("castle nut M12x1.25 + cotter pin 3.2x32", ["cotter pin 3.2x32"]),
        ("castle nut M12x1.25 + cotter pin", ["cotter pin for M12x1.25"]),
        ("4x M6x20 + lock washer", ["lock washer for M6x1"]),
        ("cotter pin 3.2x32", ["cotter pin 3.2x32"]),
        ("2x self-locking nut M8", ["self-locking nut M8x1.25"]),
        ("M6x20 hex single-use", ["M6x1x20 hex"]),
        ("4x M6x20 hex", []),
    ],
)
def test_only_what_is_used_once_is_renewed(text: str, items: list[str]) -> None:
    """The castle nut stays, its cotter pin does not (AC 43.13-1B 7-127; else common practice)."""
    [line] = lines_of([replace(WHEEL, fasteners=parse_fasteners(text))])
    assert renewed_items(line) == items


def test_an_estimate_and_a_source_are_told_with_the_range() -> None:
    """So the person knows what the refusal stands on."""
    guess = Fastener(torque=Torque(low=9, high=9, unit="lbf·ft", source="size", estimate=True))
    assert outside_words(guess, 12.0) == ("12 lbf·ft is over the range 9 lbf·ft estimate [size]")


def test_without_a_range_only_what_no_screw_of_the_size_bears_is_told() -> None:
    """No figure to tighten by is offered; the maker's manual has it."""
    assert outside_words(SCREWS, 5.0) == ""
    assert outside_words(SCREWS, 500.0) == (
        "500 N·m is more than M5x0.8 bears even in class 12.9, the strongest known here; look the "
        "torque up in the maker's manual"
    )
    graded = replace(SCREWS, grade="8.8")
    assert "M5x0.8 of class 8.8 bears" in outside_words(graded, 500.0)
    assert outside_words(PIN, 500.0) == ""
