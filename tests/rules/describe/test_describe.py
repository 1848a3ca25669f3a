"""What is said about a part, a want, a setting, a bin and the count."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from tagbench.records import Fastener, Gasket, Machine, Reading, Setting, Torque, Want, replace
from tagbench.rules.count.identity import machine_count
from tagbench.rules.describe.bin import describe_bin
from tagbench.rules.describe.care import describe_reading, verdict_words
from tagbench.rules.describe.count import NOTHING_OPEN, describe_count
from tagbench.rules.describe.fact import Fact, labelled
from tagbench.rules.describe.fasteners import place_label
from tagbench.rules.describe.part import describe_part, describe_rebuild, still_open
from tagbench.rules.describe.setting import describe_state
from tagbench.rules.describe.want import describe_want
from tagbench.rules.describe.where import where_fact
from tagbench.rules.settings.standing import setting_state
from tests.rules.describe.books import NOW, random_book
from tests.rules.making import part, screws, tables

TODAY = NOW.date()
PACKMAN = Machine(mark="TP", name="Tarnbrook Packman")


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({}, "undecided"),
        ({"verdict": "reuse"}, "reuse"),
        ({"verdict": "replace", "replacement": "wanted"}, "replace, new one wanted"),
        ({"verdict": "replace"}, "replace, new one wanted"),
        (
            {
                "verdict": "replace",
                "make": Gasket(material="cork", thickness_mm=1, width_mm=9, height_mm=9),
            },
            "replace, new one to make",
        ),
        ({"verdict": "replace", "replacement": "here"}, "replace, new one here"),
    ],
)
def test_a_verdict_has_one_wording(fields: dict[str, Any], words: str) -> None:
    """Whether the new one is bought or made, and whether it is here."""
    assert verdict_words(part(1, **fields)) == words


def test_a_reading_never_taken_is_to_measure() -> None:
    """Its limit is said all the same; one outside its limit is wrong."""
    lining = Reading(what="lining thickness", low=2.0)
    found = describe_reading(part(1), lining)
    assert (found.fact.words, found.state) == (
        "lining thickness: to measure (at least 2 mm)",
        "open",
    )
    worn = describe_reading(part(1), replace(lining, values=(1.4,)))
    assert (worn.state, worn.values.figures, worn.values.unit) == ("wrong", (1.4,), "mm")


def test_a_fitted_part_is_not_in_its_bag() -> None:
    """It is on the machine, since when."""
    book = random_book(1)
    bag = next(one for one in book.bins.values() if one.kept_in)
    one = part(1, bin=bag.code)
    assert where_fact(book, one).words == "in bag Brake 3, on Shelf A"
    on = replace(one, fitted="snug", fitted_at=NOW)
    assert where_fact(book, on).words == "on the machine, snug, 9 Mar 2031"


def test_what_is_open_about_a_part_on_the_machine_is_said_with_its_figures() -> None:
    """Torque, loss and what lies in the bag; off the machine nothing of it is open."""
    torque = Torque(low=32, high=44, unit="lbf·ft", source="manual p. 12")
    line = Fastener(quantity=4, thread="M8x1.25", length=20, back=2, short=1, torque=torque)
    on = part(1, fasteners=(line,), fitted="snug")
    said = [fact.words for fact in still_open(tables(on), on)]
    assert said == [
        "M8x1.25x20: not torqued yet, 32–44 lbf·ft (43.4–59.7 N·m, manual p. 12)",
        "M8x1.25x20: 1 lost",
        "M8x1.25x20: 1 still in the bag",
    ]
    assert describe_rebuild(tables(on), part(2), [])[0].words == "ready to go on"


def test_a_line_says_which_of_two_readings_was_chosen() -> None:
    """With the person's own word, on every front end; it holds up nothing."""
    line = Fastener(thread="M8x1.25", quantity=2, chosen=("“8mm”: M8x1.25",))
    [told] = describe_part(tables(), part(1, fasteners=(line,)), NOW).fasteners
    assert "“8mm” taken as M8x1.25" in told.words
    assert {remark.state for remark in told.remarks} == {""}


def test_labels_stand_once_over_facts_of_one_name() -> None:
    """As a table of text wants it."""
    facts = [Fact("care", "degreased"), Fact("care", "lubed"), Fact("note", "bent")]
    assert [label for label, _ in labelled(facts)] == ["care", "", "note"]


def test_every_fact_of_a_random_part_says_something_in_one_piece() -> None:
    """No empty fact is yielded, none has a blank at its end or two in a row."""
    for seed in range(200):
        book = random_book(seed)
        for one in book.parts.values():
            for fact in describe_part(book, one, NOW).facts():
                assert fact.words.strip() == fact.words, fact
                assert fact.words, fact
                assert "  " not in fact.words, fact


def test_links_are_said_from_both_ends() -> None:
    """What came off first for one goes on first for the other, looked up or given."""
    outer, inner = part(1, "Drum"), part(2, "Shoe")
    inner = replace(inner, behind=(outer.code,))
    book = tables(outer, inner)
    assert [one.code for one in describe_part(book, inner, NOW).came_off_first] == [outer.code]
    looked_up = describe_part(book, outer, NOW)
    assert looked_up == describe_part(book, outer, NOW, [inner])
    assert [one.words for one in looked_up.goes_on_after] == [f"Shoe {inner.code}"]


def test_a_want_says_where_it_stands_in_full_and_shortly() -> None:
    """Overdue is wrong, with the days; what it holds up is counted and named."""
    one = part(1, "Felt seal")
    want = Want(id=1, machine="TP", what="felt seal", parts=(one.code,), quantity=2, price="3.50")
    want = replace(want, currency="EUR", ordered=date(2031, 2, 1), due=TODAY - timedelta(days=4))
    facts = describe_want(tables(one), want, TODAY, [one.code])
    assert facts.standing.words == "ordered 1 Feb 2031, due 5 Mar 2031, 4 days overdue"
    assert (facts.shortly.words, facts.shortly.state) == ("4 days overdue (5 Mar 2031)", "wrong")
    assert (facts.price.words, facts.price.figures) == ("7.00 EUR", (7.0,))
    assert facts.holds_up.words == "1 part"
    assert facts.held.words == f"Felt seal {one.code}"


def test_a_setting_says_its_range_value_and_state() -> None:
    """With the figures and their unit beside the words."""
    setting = Setting(id=1, machine="TP", what="chain slack", low=20, high=30, measured=31.0)
    facts = describe_state(tables(), setting_state(setting, {}))
    assert (facts.stands.words, facts.stands.state) == (
        "31 mm, over the range of 20–30 mm",
        "wrong",
    )
    assert (facts.range.figures, facts.range.unit) == ((20.0, 30.0), "mm")
    assert facts.shortly.words == "too high"


def test_a_bin_says_what_is_in_it_and_in_its_bags() -> None:
    """The parts of the bags inside are counted, not named."""
    book = random_book(3)
    shelf = next(one for one in book.bins.values() if not one.kept_in)
    facts = describe_bin(book, shelf)
    # From the words of the design: old pieces that are about still, and what is off and here.
    old = [one for one in book.parts.values() if one.bin and one.old_piece in ("kept", "pattern")]
    here = [
        one
        for one in book.parts.values()
        if one.bin and one.verdict != "replace" and one.fitted == "off"
        if one.away is None and one.lost is None
    ]
    assert list(facts.holds.figures) == [len(old) + len(here)]
    assert facts.where.words == "in no other bin"
    assert describe_bin(tables(bins=(shelf,)), shelf).holds.words == "empty"


def test_the_count_adds_up_in_its_own_words() -> None:
    """parts = on + off; out = back + in the bag + lost, over random books."""
    for seed in range(100):
        facts = describe_count(machine_count(random_book(seed), "TP"), PACKMAN)
        parts, *places = facts.parts.figures
        out, back, *elsewhere = facts.fasteners.figures
        assert parts == sum(places)
        assert out == back + sum(elsewhere)
        assert facts.fasteners.words.startswith(f"{out:g} fasteners out = {back:g} back")
    clean = describe_count(machine_count(tables(machines={"TP": PACKMAN}), "TP"), PACKMAN)
    assert clean.stands.words == NOTHING_OPEN


def test_an_open_line_has_a_heading_and_what_it_is_about() -> None:
    """The code of the part, and the reason once the machine is closed with one."""
    off = part(1, "Kick spring", fasteners=(screws(),))
    closed = replace(PACKMAN, closed=NOW, closed_with={f"off:{off.code}": "sold"})
    facts = describe_count(machine_count(tables(off, machines={"TP": closed}), "TP"), closed)
    [line] = facts.lines
    assert (line.heading, line.about, line.reason) == ("Off the machine", off.code, "sold")
    assert facts.stands.words == "closed on 9 Mar 2031, 18:30 with 1 written reason"


@pytest.mark.parametrize(
    ("place", "label"),
    [
        ("long", "which"),
        ("the long one", "which"),
        ("long one at 6 o'clock", "place"),
        ("rear hub", "place"),
        ("front", "place"),
        ("", "place"),
    ],
)
def test_what_only_tells_one_from_the_others_is_no_place(place: str, label: str) -> None:
    """`which: the long one`, but `place: rear hub`."""
    assert place_label(place) == label
