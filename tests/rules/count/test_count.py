"""The count: out = back + missing, always; and what stands in the way of closing."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest
from hypothesis import given, settings, strategies as st

from tagbench.errors import BadInput, Refused
from tagbench.records import Fastener, Override, Part, Setting, Torque, replace
from tagbench.rules.count.closing import check_closing, open_lines, unexplained
from tagbench.rules.count.fastener_lines import count_lost, in_bag, missing
from tagbench.rules.count.identity import machine_count
from tagbench.rules.rebuild.fit import put_on, short_by, single_use_lines, take_off
from tests.examples import examples
from tests.rules.machines import MARK, NOON, clean, code, tables

THREADS = ("", "M5x0.8", "M6x1", "1/4-20 UNC")

fasteners = st.builds(
    Fastener,
    quantity=st.integers(1, 12),
    thread=st.sampled_from(THREADS),
    back=st.integers(0, 15),
    short=st.integers(0, 15),
    single_use=st.booleans(),
    renewed=st.booleans(),
)
parts_lines = st.lists(st.lists(fasteners, max_size=4), max_size=8)
states = st.sampled_from(["off", "snug", "fitted"])


@settings(max_examples=examples(50), deadline=None)
@given(parts_lines, st.data())
def test_out_is_back_plus_missing_whatever_the_book_says(
    lines: list[list[Fastener]], data: st.DataObject
) -> None:
    """Even with figures that no form would let in; missing = in the bag + lost, none negative."""
    made = tables(
        [
            clean(number, fasteners=tuple(some), fitted=data.draw(states))
            for number, some in enumerate(lines, 1)
        ]
    )
    found = machine_count(made, MARK)
    assert found.fasteners_out == sum(one.quantity for some in lines for one in some)
    assert found.fasteners_out == found.fasteners_back + found.fasteners_missing
    for line in found.missing:
        assert missing(line.fastener) == in_bag(line.fastener) + count_lost(line.fastener)
        assert min(in_bag(line.fastener), count_lost(line.fastener)) >= 0
    by_thread = found.threads
    assert sum(one.out for one in by_thread) == found.fasteners_out
    assert all(one.out == one.back + one.in_bag + one.lost for one in by_thread)
    assert len(found.parts_off) + sum(p.fitted != "off" for p in made.parts.values()) == found.parts


actions = st.lists(
    st.tuples(st.integers(1, 5), st.sampled_from(["snug", "fit", "off", "short", "renew"])),
    max_size=30,
)


@settings(max_examples=examples(30), deadline=None)
@given(actions, st.data())
def test_the_identity_holds_through_any_evening(
    doings: list[tuple[int, str]], data: st.DataObject
) -> None:
    """Fit, snug, lose, find, renew and take off in any order: nothing appears or vanishes."""
    parts = {
        number: clean(number, fasteners=(Fastener(quantity=4), Fastener(single_use=True)))
        for number in range(1, 6)
    }
    for number, doing in doings:
        parts[number] = _do(parts[number], doing, data)
        found = machine_count(tables(list(parts.values())), MARK)
        assert found.fasteners_out == 25 == found.fasteners_back + found.fasteners_missing
        assert not found.left_over


def _do(part: Part, doing: str, data: st.DataObject) -> Part:
    if doing == "off":
        return take_off(part)
    if doing == "short":
        return short_by(part, {1: data.draw(st.integers(0, 4))})
    if doing == "renew":
        return put_on(part, NOON, renewed=single_use_lines(part))
    return put_on(part, NOON, snug=doing == "snug")


def test_a_machine_in_pieces() -> None:
    """Everything is off, nothing is back, every fastener is in its bag."""
    made = tables([clean(1, fasteners=(Fastener(quantity=4),), bin="BIN-001-A"), clean(2)])
    found = machine_count(made, MARK)
    assert [part.code for part in found.parts_off] == [code(1), code(2)]
    assert (found.fasteners_out, found.fasteners_back, found.fasteners_missing) == (4, 0, 4)
    assert [(bag.bin, len(bag.parts)) for bag in found.bags] == [("BIN-001-A", 1), ("", 1)]
    assert [line.key for line in open_lines(found)] == [f"off:{code(1)}", f"off:{code(2)}"]


def test_a_clean_count() -> None:
    """All fitted, torqued, renewed, measured, thrown away: nothing is open."""
    nut = Fastener(torque=Torque(low=45, high=55), single_use=True)
    part = put_on(clean(1, fasteners=(nut,)), NOON, torqued={1: 50.0}, renewed=[1])
    slack = Setting(id=1, machine=MARK, what="chain slack", measured=12.0, low=9.0, high=19.0)
    found = machine_count(tables([part], settings={"1": slack}), MARK)
    assert open_lines(found) == [] and found.bags == []
    assert check_closing(found, {}) == {}


NUT = Fastener(thread="M12x1.25", torque=Torque(low=45, high=55))


@pytest.mark.parametrize(
    ("part", "key"),
    [
        (clean(1), f"off:{code(1)}"),
        (put_on(clean(1), NOON, snug=True), f"snug:{code(1)}"),
        (put_on(clean(1, fasteners=(NUT,)), NOON), f"torque:{code(1)}/1"),
        (put_on(clean(1, fasteners=(Fastener(single_use=True),)), NOON), f"renew:{code(1)}/1"),
        (
            put_on(clean(1, fasteners=(Fastener(quantity=4),)), NOON, short={1: 1}),
            f"lost:{code(1)}/1",
        ),
        (
            replace(clean(1, fasteners=(Fastener(quantity=4, back=3),)), fitted="fitted"),
            f"bag:{code(1)}/1",
        ),
        (
            replace(clean(1, fasteners=(Fastener(quantity=4, back=5),)), fitted="fitted"),
            f"over:{code(1)}/1",
        ),
        (put_on(clean(1, old_piece="kept"), NOON), f"old:{code(1)}"),
    ],
)
def test_each_open_thing_is_one_line(part: Part, key: str) -> None:
    """And it alone stands in the way, until a reason is written for it."""
    found = machine_count(tables([part]), MARK)
    assert [line.key for line in open_lines(found)] == [key]
    with pytest.raises(Refused, match="write a reason"):
        check_closing(found, {})
    assert check_closing(found, {key: " lost on the road "}) == {key: "lost on the road"}


def test_an_open_setting_is_a_line() -> None:
    """Not measured yet."""
    slack = Setting(id=7, machine=MARK, what="chain slack", low=9.0)
    [line] = open_lines(machine_count(tables([], settings={"7": slack}), MARK))
    assert line == ("setting:7", "chain slack: not measured; at least 9 mm")


@pytest.mark.parametrize(
    ("fields", "override", "words"),
    [
        ({"care": ()}, Override(what="held up"), "went on although not degreased"),
        (
            {"fasteners": (replace(NUT, torqued=60.0, back=1),)},
            Override(what="torque"),
            "60 N·m is over the range 45-55 N·m",
        ),
    ],
)
def test_what_was_overruled_stays_open_while_its_cause_stands(
    fields: dict[str, Any], override: Override, words: str
) -> None:
    """And is gone once the cause is."""
    part = clean(1, fitted="fitted", overrides=(override,), **fields)
    [found] = machine_count(tables([part]), MARK).overrides
    assert found.words == words
    mended = clean(1, fitted="fitted", overrides=(override,))
    assert machine_count(tables([mended]), MARK).overrides == []


def test_the_lines_of_twins_name_the_side() -> None:
    """A lost nut, one in the bag, and a refusal that was overruled."""
    lines = (replace(NUT, quantity=2, short=1),)
    told = Override(what="held up", why="trial", at=NOON)
    left = clean(
        1,
        name="Bracket",
        position="left",
        twin=code(2),
        fasteners=lines,
        care=(),
        fitted="fitted",
        overrides=(told,),
    )
    right = clean(2, name="Bracket", position="right", twin=code(1))
    words = [line.words for line in open_lines(machine_count(tables([left, right]), MARK))]
    assert len(words) > 3
    assert not [one for one in words if "Bracket" in one and "Bracket, " not in one]


def test_a_buried_part_stays_open_until_it_is_on() -> None:
    """The wheel went on over the bearing."""
    wheel = clean(
        1, fitted="fitted", overrides=(Override(what="buried", codes=(code(2), code(99))),)
    )
    bearing = clean(2, behind=[1])
    [found] = machine_count(tables([wheel, bearing]), MARK).overrides
    assert found.words == "went on over part 2 TP-002-A"
    assert not machine_count(tables([wheel, replace(bearing, fitted="fitted")]), MARK).overrides


def test_a_reason_for_something_that_is_not_open_is_refused() -> None:
    """A slip in the name of the line is told."""
    found = machine_count(tables([clean(1)]), MARK)
    with pytest.raises(BadInput, match="off:TP-002-A"):
        check_closing(found, {f"off:{code(1)}": "spare", f"off:{code(2)}": "spare"})


def test_an_empty_reason_is_none() -> None:
    """Blanks do not explain anything."""
    lines = open_lines(machine_count(tables([clean(1)]), MARK))
    assert unexplained(lines, {f"off:{code(1)}": "  "}) == lines


def test_counted_by_thread() -> None:
    """Threads in the order in which they came out; unthreaded things by their kind."""
    made = tables(
        [
            put_on(clean(1, fasteners=(Fastener(thread="M5x0.8", quantity=4),)), NOON),
            clean(
                2,
                fasteners=(
                    Fastener(thread="M5x0.8", quantity=2, short=1),
                    Fastener(kind="cotter pin"),
                ),
            ),
        ]
    )
    assert [tuple(one) for one in machine_count(made, MARK).threads] == [
        ("M5x0.8", 6, 4, 1, 0, 1),
        ("cotter pin", 1, 0, 1, 0, 0),
    ]


def test_another_machine_is_not_counted() -> None:
    """Only codes with the mark."""
    made = tables([clean(1), Part(code="ZZ-001-A", name="spoke", fasteners=(Fastener(),))])
    assert Counter(part.machine for part in machine_count(made, MARK).parts_off) == {"TP": 1}
    assert machine_count(made, MARK).fasteners_out == 0
