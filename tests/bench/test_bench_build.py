"""Order, ready list and count of 10 000 parts and 30 000 links, against the same with networkx.

Both sides start from the same records and build their graph within the measured time.
"""

from __future__ import annotations

import gc
import random
from collections.abc import Callable
from typing import Any

import networkx as nx
import pytest

from tagbench.records import CareStep, Fastener, Part, Tables
from tagbench.rules.count.identity import machine_count
from tagbench.rules.rebuild.order import order
from tagbench.rules.rebuild.overview import build_overview
from tests.bench.rows import TABLE, Wanted, milliseconds, reached
from tests.rules.machines import MARK, code

pytestmark = pytest.mark.bench

PARTS, LINKS = 10_000, 30_000
EIGHTFOLD = 17
"""Most that eight times the parts and links may take: n log n allowed, and not the square."""


def big_machine(share_on: float, size: int = PARTS, wanted: int = LINKS) -> Tables:
    """Random links from later to earlier removals; the deepest parts are already on.

    Assemblies of fifty parts each; one part in ten is dirty, one in ten not decided.
    """
    dice = random.Random(1967)
    behind: list[set[int]] = [set() for _ in range(size + 1)]
    links = 0
    while links < wanted:
        outer, inner = sorted(dice.sample(range(1, size + 1), 2))
        links += outer not in behind[inner]
        behind[inner].add(outer)
    first_on = size * (1 - share_on)
    return Tables(
        parts={
            code(number): _part(dice, number, sorted(behind[number]), number > first_on)
            for number in range(1, size + 1)
        }
    )


def _part(dice: random.Random, number: int, behind: list[int], on: bool) -> Part:
    lines = tuple(
        Fastener(quantity=4, thread=dice.choice(["M5x0.8", "M6x1"]), back=4 if on else 0)
        for _ in range(2)
    )
    dirty, undecided = (dice.random() < 0.1 and not on for _ in range(2))
    return Part(
        code=code(number),
        name=f"part {number}",
        assembly=f"Assembly {number // 250} / Group {number // 50}",
        order=number,
        behind=tuple(map(code, behind)),
        care=() if dirty else (CareStep(step="degreased"),),
        verdict="undecided" if undecided else "reuse",
        fasteners=lines,
        fitted="fitted" if on else "off",
    )


def nx_graph(tables: Tables) -> Any:
    """The parts of the machine and their links as networkx is usually given them."""
    drawn = nx.DiGraph()
    mine = sorted(
        (part for part in tables.parts.values() if part.machine == MARK),
        key=lambda part: part.order,
    )
    drawn.add_nodes_from((part.code, {"part": part}) for part in mine)
    drawn.add_edges_from((part.code, outer) for part in mine for outer in part.behind)
    return drawn


def nx_order(tables: Tables) -> list[str]:
    """Any topological order: less than ours gives, and the cheapest that networkx has."""
    return list(nx.topological_sort(nx_graph(tables)))


def nx_ready(tables: Tables) -> tuple[list[str], dict[str, list[str]]]:
    """The ready list, and each held-up part with all its reasons."""
    drawn = nx_graph(tables)
    off, blocked = set(), set()
    ready, held_up = [], {}
    for one in nx.topological_sort(drawn):
        part = drawn.nodes[one]["part"]
        inner = [other for other in drawn.predecessors(one) if other in off]
        if inner or any(other in blocked for other in drawn.predecessors(one)):
            blocked.add(one)
        if part.fitted != "off":
            continue
        off.add(one)
        reasons = [f"goes on after {', '.join(inner)}"] if inner else []
        if not any(step.step == "degreased" for step in part.care):
            reasons.append("not degreased")
        if part.verdict == "undecided":
            reasons.append("not decided")
        reasons += [f"short of {line.short}" for line in part.fasteners if line.short]
        if one in blocked or reasons:
            held_up[one] = reasons
        else:
            ready.append(one)
    return ready, held_up


def nx_count(tables: Tables) -> dict[str, Any]:
    """The figures and lists of the count from the nodes of the graph."""
    parts = [data["part"] for _, data in nx_graph(tables).nodes(data=True)]
    lines = [(part, line) for part in parts for line in part.fasteners]
    threads: dict[str, list[int]] = {}
    for _, line in lines:
        row = threads.setdefault(line.thread or line.kind, [0, 0])
        row[0] += line.quantity
        row[1] += line.back
    return {
        "off": [part for part in parts if part.fitted == "off"],
        "out": sum(line.quantity for _, line in lines),
        "back": sum(line.back for _, line in lines),
        "missing": [(part, line) for part, line in lines if line.back < line.quantity],
        "snug": [part for part in parts if part.fitted == "snug"],
        "torque": [one for one in lines if one[1].torque and one[1].torqued is None],
        "renew": [one for one in lines if one[1].single_use and not one[1].renewed],
        "overrides": [part for part in parts if part.overrides],
        "old": [part for part in parts if part.old_piece == "kept"],
        "threads": threads,
    }


def _collected(work: Callable[[], object]) -> Callable[[], float]:
    """Milliseconds of a piece of work that begins without garbage of the one before."""
    timed = milliseconds(work)

    def taken() -> float:
        gc.collect()
        return timed()

    return taken


def compare(
    what: str, machine: Tables, ours: Callable[[], object], theirs: Callable[[], object]
) -> None:
    """Takes the row in and holds us to being no slower."""
    on = sum(part.fitted != "off" for part in machine.parts.values()) / len(machine.parts)
    name, mine, peer = f"{what}, {on:.0%} on", _collected(ours), _collected(theirs)
    reached(TABLE.compare(name, "networkx", PARTS, mine, peer, Wanted(ratio=1)))


@pytest.fixture(scope="module", params=[0.0, 0.5])
def machine(request: pytest.FixtureRequest) -> Tables:
    """All in pieces, and half built."""
    return big_machine(request.param)


def test_order_is_no_slower_than_a_plain_topological_sort(machine: Tables) -> None:
    """Ours also keeps to the removal order and to one assembly."""
    compare("order", machine, lambda: order(machine, MARK), lambda: nx_order(machine))


def test_ready_list_is_no_slower(machine: Tables) -> None:
    """Ready, and held up with every reason, in rebuild order; the answers agree."""
    ready, held_up = nx_ready(machine)
    found = build_overview(machine, MARK)
    assert set(found.ready) == set(ready)
    assert {one.code for one in found.held_up} == set(held_up)
    compare("ready", machine, lambda: build_overview(machine, MARK), lambda: nx_ready(machine))


def test_count_is_no_slower(machine: Tables) -> None:
    """The same lists and figures; the answers agree."""
    peer, found = nx_count(machine), machine_count(machine, MARK)
    assert (found.fasteners_out, found.fasteners_back) == (peer["out"], peer["back"])
    assert len(found.missing) == len(peer["missing"])
    compare("count", machine, lambda: machine_count(machine, MARK), lambda: nx_count(machine))


@pytest.mark.parametrize("what", [order, build_overview, machine_count])
def test_time_grows_with_the_machine_and_not_with_its_square(
    what: Callable[[Tables, str], object],
) -> None:
    """Eight times the parts and links take at most seventeen times as long (n log n allowed)."""
    large, small = big_machine(0.5), big_machine(0.5, PARTS // 8, LINKS // 8)
    mine = _collected(lambda: what(large, MARK))
    eighth = _collected(lambda: what(small, MARK))
    name, wanted = f"{what.__name__} of the parts", Wanted(ratio=EIGHTFOLD)
    reached(TABLE.compare(name, "an eighth of them", PARTS, mine, eighth, wanted))
