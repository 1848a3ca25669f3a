"""The rebuild order: deeper first, latest off first, one assembly at a time, never hanging."""

from __future__ import annotations

import random
from itertools import pairwise

import networkx as nx

from tagbench.records import Tables, replace
from tagbench.rules.rebuild.links import links_of
from tagbench.rules.rebuild.loops import loops, tangles
from tagbench.rules.rebuild.order import order, rebuild_order
from tests.rules.machines import MARK, chain, clean, code, random_machines, tables


def test_without_links_the_last_off_goes_on_after() -> None:
    """Parts with no links at all come in reverse removal order."""
    made = tables([clean(1), clean(2), clean(3)])
    assert order(made, MARK) == [code(3), code(2), code(1)]


def test_no_parts_no_order() -> None:
    """An empty machine has an empty order."""
    assert order(Tables(), MARK) == []


def test_every_order_is_topological_and_complete() -> None:
    """No part comes before one that is deeper; every part comes once (networkx as the judge)."""
    for name, made, drawn in random_machines(500):
        found = order(made, MARK)
        assert sorted(found) == sorted(made.parts), name
        at = {one: number for number, one in enumerate(found)}
        assert all(at[inner] < at[outer] for inner, outer in drawn.edges), name


def test_in_one_assembly_it_is_the_lexicographic_order_of_networkx() -> None:
    """With a single assembly the order is the topological one that always takes the last off."""
    for name, made, drawn in random_machines(300):
        one = tables([replace(part, assembly="Engine") for part in made.parts.values()])
        latest = nx.lexicographical_topological_sort(drawn, key=lambda c: -made.parts[c].order)
        assert order(one, MARK) == list(latest), name


def test_the_order_does_not_depend_on_how_the_book_lists_the_parts() -> None:
    """The same parts in another sequence in the book give the same order."""
    for name, made, _ in random_machines(40):
        parts = list(made.parts.values())
        random.Random(name).shuffle(parts)
        assert order(tables(parts), MARK) == order(made, MARK), name


def test_it_stays_in_one_assembly_where_it_can() -> None:
    """Two assemblies taken apart in turns are built one after the other."""
    places = ["Front wheel / Brake", "Engine", "front wheel/brake", "Engine", "Front wheel"]
    made = tables([clean(number, assembly=place) for number, place in enumerate(places, 1)])
    assert order(made, MARK) == [code(5), code(3), code(1), code(4), code(2)]


def test_it_leaves_an_assembly_that_must_wait_and_comes_back_to_it() -> None:
    """The brake waits for the engine, which is then finished before the brake goes on."""
    made = tables(
        [
            clean(1, assembly="Brake"),
            clean(2, assembly="Engine"),
            clean(3, assembly="Engine", behind=[1]),
            clean(4, assembly="Brake"),
        ]
    )
    assert order(made, MARK) == [code(4), code(3), code(2), code(1)]


def test_a_chain_of_two_thousand_and_a_fan_of_two_thousand() -> None:
    """Deep and wide machines are ordered without recursion."""
    assert order(chain(2000), MARK) == [code(number) for number in range(2000, 0, -1)]
    fan = tables([clean(1), *(clean(number, behind=[1]) for number in range(2, 2001))])
    assert order(fan, MARK)[-1] == code(1)


def test_a_loop_in_the_book_is_passed_over_and_the_rest_stays_in_order() -> None:
    """1 → 2 → 3 → 1 is a tangle; links outside it still hold."""
    made = tables(
        [clean(1, behind=[3]), clean(2, behind=[1]), clean(3, behind=[2]), clean(4, behind=[3])]
    )
    assert order(made, MARK) == [code(4), code(3), code(2), code(1)]
    assert loops(links_of(made, MARK)) == [[code(1), code(3), code(2), code(1)]]


def test_tangles_are_the_strongly_connected_components_of_networkx() -> None:
    """Groups of parts that lie behind each other, and a real loop out of each."""
    for name, made, drawn in random_machines(300, ["looped"]):
        links = links_of(made, MARK)
        groups: dict[int, set[str]] = {}
        for place, number in enumerate(tangles(links)):
            if number >= 0:
                groups.setdefault(number, set()).add(links.parts[place].code)
        strong = [group for group in nx.strongly_connected_components(drawn) if len(group) > 1]
        assert sorted(map(sorted, groups.values())) == sorted(map(sorted, strong)), name
        found = loops(links)
        assert len(found) == len(strong), name
        for loop in found:
            assert loop[0] == loop[-1] and len(set(loop)) == len(loop) - 1, name
            assert all(drawn.has_edge(*pair) for pair in pairwise(loop)), name


def test_a_tangled_machine_is_ordered_completely_and_only_tangled_links_are_broken() -> None:
    """Every link that is not part of a loop holds in the order."""
    for name, made, drawn in random_machines(300, ["looped"]):
        links = links_of(made, MARK)
        found = links.codes(rebuild_order(links))
        assert sorted(found) == sorted(made.parts), name
        at = {one: number for number, one in enumerate(found)}
        group = {one: number for number, one in zip(tangles(links), links.place, strict=True)}
        for inner, outer in drawn.edges:
            if group[inner] < 0 or group[inner] != group[outer]:
                assert at[inner] < at[outer], name


def test_a_loop_of_two_thousand_is_found() -> None:
    """Deep tangles need no recursion either."""
    made = chain(2000)
    parts = dict(made.parts) | {code(1): clean(1, behind=[2000])}
    [loop] = loops(links_of(tables(list(parts.values())), MARK))
    assert len(loop) == 2001
