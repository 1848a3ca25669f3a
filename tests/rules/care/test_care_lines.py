"""One phrase says where a part stands; what a step was done with last is offered again."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from tagbench.records import Desk, Gasket, Part
from tagbench.rules.care import steps
from tagbench.rules.care.needs import by_assembly, standing_in_care
from tagbench.rules.care.substances import used_last
from tagbench.rules.describe.care import care_words
from tests.rules.making import part, tables

NOW = datetime(2026, 3, 7, 18, 0, tzinfo=UTC)
OFF = NOW - timedelta(days=10)


def cam(serial: int = 1, **more: object) -> Part:
    """A brake cam, which is lubed before it goes on."""
    return part(serial, "brake cam", removed=OFF, **more)


def done(one: Part, *done_steps: str, with_what: str = "") -> Part:
    """The part with some steps done now."""
    for step in done_steps:
        one = steps.tick(one, step, NOW, NOW, with_what)
    return one


@pytest.mark.parametrize(
    ("one", "says"),
    [
        (cam(), "still dirty"),
        (steps.soak(cam(), NOW - timedelta(hours=26), NOW, 24.0), "soaking 26 h, 2 h over"),
        (steps.soak(cam(), NOW - timedelta(hours=3), NOW, 12.0), "soaking 3 h, 9 h to go"),
        (steps.soak(cam(), NOW - timedelta(minutes=20), NOW), "soaking 20 min"),
        (done(cam(), "degreased"), "not inspected"),
        (done(cam(), "degreased", "inspected"), "undecided"),
        (steps.decide(done(cam(), "degreased", "inspected"), "reuse"), "reuse, to lube"),
        (steps.decide(done(cam(), "degreased", "inspected", "lubed"), "reuse"), "reuse"),
        (steps.decide(cam(), "replace"), "replace, new one wanted"),
        (
            steps.decide(cam(make=Gasket(material="felt", thickness_mm=5, width_mm=40,
                                        height_mm=40)), "replace"),
            "gasket to make",
        ),
        (cam(fitted="snug"), "on the machine, snug"),
    ],
)  # fmt: skip
def test_where_a_part_stands_in_one_phrase(one: Part, says: str) -> None:
    """What comes next, or that it is done."""
    assert standing_in_care(one, NOW, frozenset()) == says


def test_a_part_that_is_reused_may_wait_for_something_else() -> None:
    """A want that names it holds it up."""
    one = steps.decide(done(cam(), "degreased", "inspected", "lubed"), "reuse")
    assert standing_in_care(one, NOW, {one.code}) == "reuse, waits for a want"


def test_what_was_done_is_said_with_days_and_substances() -> None:
    """The last time of each step; a soak since when."""
    one = done(done(cam(), "degreased", with_what="kerosene"), "inspected")
    assert care_words(one, NOW) == (
        "degreased with kerosene, 7 Mar 2026; inspected, 7 Mar 2026; undecided"
    )
    assert care_words(cam(), NOW) == "still dirty; undecided"
    soaking = steps.soak(cam(), NOW - timedelta(hours=3), NOW, 12.0, "tray 2", "kerosene")
    assert care_words(soaking, NOW) == (
        "soaking 3 h in kerosene, tray 2, 9 h to go, since 7 Mar 2026, 15:00; undecided"
    )


def test_assemblies_come_in_the_order_in_which_they_were_begun() -> None:
    """With how many of their parts are clean."""
    wheel, brake = (part(n, "x", assembly=a) for n, a in ((1, "Wheel"), (2, "Brake")))
    clean = done(part(3, "y", assembly="Wheel", removed=OFF), "degreased")
    groups = by_assembly([wheel, brake, clean])
    assert [(g.assembly, len(g.parts), g.clean) for g in groups] == [
        ("Wheel", 2, 1),
        ("Brake", 1, 0),
    ]


def test_what_was_used_last_is_taken_again() -> None:
    """Degreased: anywhere. Lubed: on that kind of part; of several kinds it is asked."""
    greased = done(cam(1), "lubed", with_what="brake grease")
    chain = part(2, "chain", removed=OFF)
    desk = Desk(used_with={"degreased": ("kerosene", "hot water")})
    book = tables(greased, cam(3), chain, desk=desk)
    assert used_last(book, "degreased", [chain]) == "kerosene"
    assert used_last(book, "lubed", [cam(3)]) == "brake grease"
    assert used_last(book, "lubed", [chain]) is None
    assert used_last(book, "lubed", [cam(3), chain]) is None
    assert used_last(book, "lubed", [part(4, "oddment")]) is None
    assert used_last(book, "inspected", [chain]) == ""
    assert used_last(tables(chain), "degreased", [chain]) is None


def test_parts_out_of_the_soak_are_degreased_with_what_they_soaked_in() -> None:
    """Out of two baths at once it is asked."""
    one = steps.soak(cam(1), OFF, NOW, with_what="citrus cleaner")
    other = steps.soak(cam(2), OFF, NOW, with_what="kerosene")
    book = tables(one, other)
    assert used_last(book, "degreased", [one]) == "citrus cleaner"
    assert used_last(book, "degreased", [one, other]) is None
