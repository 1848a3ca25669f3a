"""What can be done tonight, and what a want holds up."""

from __future__ import annotations

from datetime import date

import networkx as nx

from tagbench.records import Want, replace
from tagbench.rules.buying.holding import held_by, hold_ups
from tagbench.rules.rebuild.fit import put_on
from tagbench.rules.rebuild.links import links_of
from tagbench.rules.rebuild.overview import build_overview, tonight
from tests.rules.machines import MARK, NOON, chain, clean, code, codes_on, random_machines, tables


def test_tonight_is_what_fitting_one_ready_part_after_another_reaches() -> None:
    """Simulated by hand: fit whatever the ready list offers until it offers nothing more."""
    for name, made, _ in random_machines(60):
        planned = tonight(made, MARK)
        now, reached = made, set()
        while ready := build_overview(now, MARK).ready:
            parts = dict(now.parts)
            for one in ready:
                parts[one] = put_on(parts[one], NOON)
            reached |= set(ready)
            now = tables(list(parts.values()))
        assert set(planned) == reached, name


def test_tonight_never_buries_anything() -> None:
    """Step after step, each part's deeper ones are on or come earlier in the list."""
    for name, made, drawn in random_machines(100):
        on = codes_on(made)
        for one in tonight(made, MARK):
            assert nx.ancestors(drawn, one) <= on, name
            on.add(one)


def test_a_missing_part_stops_what_is_further_out() -> None:
    """In a chain with a dirty middle part only the deeper half can be done."""
    made = chain(5)
    parts = {**made.parts, code(3): clean(3, behind=[2], care=())}
    assert tonight(tables(list(parts.values())), MARK) == [code(5), code(4)]


def test_a_want_holds_up_its_parts_and_all_further_out() -> None:
    """Hold-up counts against networkx: the waiting parts, their descendants, less those on."""
    for name, made, drawn in random_machines(150):
        on, links = codes_on(made), links_of(made, MARK)
        waiting = tuple(list(made.parts)[:2])
        want = Want(id=1, machine=MARK, what="bearing", parts=waiting)
        off = [one for one in waiting if one not in on]
        expected = set(off).union(*(nx.descendants(drawn, one) for one in off)) - on
        assert set(held_by(links, want)) == expected, name


def test_a_want_that_has_arrived_holds_up_nothing() -> None:
    """Neither does one without parts, or with parts that are gone from the book."""
    made = chain(3)
    links = links_of(made, MARK)
    want = Want(id=1, machine=MARK, what="bearing", parts=(code(2), code(77)))
    assert held_by(links, want) == [code(1), code(2)]
    assert held_by(links, replace(want, arrived=date(2024, 5, 1))) == []
    assert held_by(links, replace(want, parts=())) == []


def test_hold_ups_name_the_worst_want_first() -> None:
    """So the person orders the right thing first."""
    wants = {
        str(number): Want(id=number, machine=MARK, what="thing", parts=(code(part),))
        for number, part in [(1, 2), (2, 9), (3, 5)]
    }
    other = Want(id=4, machine="ZZ", what="thing", parts=(code(9),))
    made = chain(9)
    made = tables(list(made.parts.values()), wants={**wants, "4": other})
    assert {number: len(held) for number, held in hold_ups(made, MARK).items()} == {
        2: 9,
        3: 5,
        1: 2,
    }
    assert next(iter(hold_ups(made, MARK))) == 2
