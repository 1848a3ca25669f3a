"""Links between parts: built from what is noted, odd entries told, loops refused."""

from __future__ import annotations

from itertools import pairwise

import networkx as nx
import pytest

from tagbench.errors import NotFound, Refused
from tagbench.records import Part, replace
from tagbench.rules.rebuild.links import find_loop, links_of, loop_words, refuse_loop
from tests.rules.machines import MARK, chain, clean, code, random_machines, tables


def test_behind_makes_the_other_part_the_outer_one() -> None:
    """A part that is behind another is deeper than it."""
    links = links_of(tables([clean(1), clean(2, behind=[1])]), MARK)
    assert links.codes(links.outer[links.at(code(2))]) == [code(1)]
    assert links.codes(links.deeper[links.at(code(1))]) == [code(2)]


def test_all_outer_and_all_deeper_are_the_descendants_and_ancestors_of_networkx() -> None:
    """What is deeper or further out over any number of links is what networkx finds."""
    for name, made, drawn in random_machines(300):
        links = links_of(made, MARK)
        for one in made.parts:
            at = [links.at(one)]
            assert set(links.codes(links.all_outer(at))) == nx.descendants(drawn, one), name
            assert set(links.codes(links.all_deeper(at))) == nx.ancestors(drawn, one), name


def test_the_same_entry_twice_is_one_link() -> None:
    """An outer part named twice counts once."""
    links = links_of(tables([clean(1), clean(2, behind=[1, 1])]), MARK)
    assert links.outer[links.at(code(2))] == [links.at(code(1))]


def test_odd_entries_are_told_and_passed_over() -> None:
    """Itself, an unknown code and another machine's part are reported, each with the way out."""
    other = Part(code="ZZ-001-A", name="spoke")
    odd = replace(clean(1), behind=(code(1), code(99), other.code))
    links = links_of(tables([odd, other]), MARK)
    assert [entry.why for entry in links.odd] == ["itself", "unknown", "other machine"]
    assert links.outer == [[]]
    assert all(code(1) in entry.words and "take the link out" in entry.words for entry in links.odd)


def test_only_the_parts_of_the_machine_are_linked() -> None:
    """Parts with another mark are not among the links."""
    links = links_of(tables([clean(1), Part(code="ZZ-001-A", name="spoke")]), MARK)
    assert [part.code for part in links.parts] == [code(1)]
    with pytest.raises(NotFound, match="ZZ-001-A"):
        links.at("ZZ-001-A")


def test_a_loop_is_spelled_part_by_part() -> None:
    """Putting 1 behind 3 when 3 is behind 2 and 2 behind 1 closes a loop of three."""
    made = chain(3)
    assert find_loop(made.parts, code(1), [code(3)]) == [code(1), code(3), code(2), code(1)]
    with pytest.raises(Refused) as refusal:
        refuse_loop(made, code(1), [code(3)])
    assert (
        "part 1 TP-001-A is behind part 3 TP-003-A, which is behind part 2 TP-002-A, "
        "which is behind part 1 TP-001-A" in str(refusal.value)
    )


def test_a_part_behind_itself_is_a_loop_of_one() -> None:
    """The shortest loop there is."""
    assert find_loop({}, code(1), [code(1)]) == [code(1), code(1)]
    assert loop_words({}, [code(1), code(1)]) == f"{code(1)} is behind {code(1)}"


def test_links_that_make_no_loop_pass() -> None:
    """A new part may be behind any others, known or not."""
    made = chain(5)
    refuse_loop(made, code(6), [code(1), code(5), code(77)])
    assert find_loop(made.parts, code(5), [code(1), code(3)]) == []


def test_find_loop_agrees_with_networkx_on_random_graphs() -> None:
    """A loop is found exactly when the link makes the graph cyclic, and it is a real one."""
    for name, made, drawn in random_machines(60):
        codes = list(made.parts)
        for outer in codes[:6]:
            inner = codes[-1]
            loop = find_loop(made.parts, inner, [outer])
            reachable = inner == outer or nx.has_path(drawn, outer, inner)
            assert bool(loop) == reachable, name
            if loop:
                assert loop[0] == loop[-1] == inner and loop[1] == outer, name
                assert len(loop) == nx.shortest_path_length(drawn, outer, inner) + 2, name
                assert all(drawn.has_edge(*pair) for pair in pairwise(loop[1:]))


def test_a_chain_of_two_thousand_needs_no_recursion() -> None:
    """A loop around two thousand parts is found and spelled."""
    made = chain(2000)
    loop = find_loop(made.parts, code(1), [code(2000)])
    assert len(loop) == 2001 and loop[:2] == [code(1), code(2000)]
