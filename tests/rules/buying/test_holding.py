"""What the wants hold up: counted for all of them in one pass, against a walk for each."""

from __future__ import annotations

import random
from datetime import date

import networkx
import pytest

from labels.code import make_code
from tagbench.records import Part, Tables, Want
from tagbench.rules.buying import holding
from tagbench.rules.buying.holding import count_held, held_by, hold_ups
from tagbench.rules.rebuild.links import links_of


def _book(dice: random.Random, forward_only: bool) -> Tables:
    """Up to thirty parts with links, some on the machine, and wants for some of them."""
    codes = [make_code("TP", number) for number in range(1, dice.randint(2, 30))]
    parts = {}
    for order, code in enumerate(codes, 1):
        others = codes[: order - 1] if forward_only else codes
        behind = dice.sample(others, min(len(others), dice.randint(0, 3)))
        parts[code] = Part(
            code=code,
            name="part",
            order=order,
            behind=tuple(behind),
            fitted="snug" if dice.random() < 0.3 else "off",
        )
    wants = {}
    for number in range(1, dice.randint(2, 12)):
        wants[str(number)] = Want(
            id=number,
            machine="TP",
            what="felt seal",
            parts=tuple(dice.sample(codes, min(len(codes), dice.randint(0, 3)))),
            arrived=dice.choice((None, None, None, date(2024, 5, 1))),
        )
    return Tables(parts=parts, wants=wants)


@pytest.mark.parametrize("seed", range(60))
def test_the_counts_are_those_of_a_walk_for_each_want(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Loops and links against the removal order too, and more wants than go in one pass.

    The other way to count is networkx: the descendants of each part that waits.
    """
    monkeypatch.setattr(holding, "AT_ONCE", 3)
    tables = _book(random.Random(seed), forward_only=bool(seed % 2))
    links = links_of(tables, "TP")
    graph = networkx.DiGraph()
    graph.add_nodes_from(tables.parts)
    for part in tables.parts.values():
        graph.add_edges_from((part.code, outer) for outer in part.behind if outer != part.code)
    held = hold_ups(tables, "TP")
    for want in tables.wants.values():
        waiting = {c for c in want.parts if tables.parts[c].fitted == "off" and not want.arrived}
        reached = waiting.union(*(networkx.descendants(graph, code) for code in waiting))
        expected = {code for code in reached if tables.parts[code].fitted == "off"}
        if want.arrived is None:
            assert len(held[want.id]) == len(expected)
            assert set(held[want.id]) == expected
            assert list(held[want.id]) == held_by(links, want)
        else:
            assert want.id not in held
    assert count_held(links, list(tables.wants.values())) == [
        len(held_by(links, want)) for want in tables.wants.values()
    ]
