"""Machines for the tests: by hand from a few words, and random ones with a graph beside them."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, datetime
from typing import Any, Literal

import networkx as nx

from tagbench.records import CareStep, Fastener, Part, Tables

MARK = "TP"
NOON = datetime(2024, 5, 4, 12, 0, tzinfo=UTC)
DEGREASED = (CareStep(step="degreased"),)
ASSEMBLIES = ("", "Front wheel", "Front wheel / Brake", "Engine / Clutch", "Engine", "Frame")

State = Literal["off", "snug", "fitted"]


def code(number: int, mark: str = MARK) -> str:
    """A code with a serial; its check character is of no interest to the rules."""
    return f"{mark}-{number:03d}-A"


def clean(number: int, **fields: Any) -> Part:
    """A part that lacks nothing: degreased, to be used again; behind given by numbers."""
    behind = tuple(code(other) for other in fields.pop("behind", ()))
    known: dict[str, Any] = {
        "name": f"part {number}",
        "order": number,
        "care": DEGREASED,
        "verdict": "reuse",
    }
    return Part(code=code(number), behind=behind, **{**known, **fields})


def tables(parts: Sequence[Part], **others: Any) -> Tables:
    """A book with these parts."""
    return Tables(parts={part.code: part for part in parts}, **others)


def chain(length: int, fitted: Mapping[int, State] | None = None) -> Tables:
    """Parts 1 … length, each behind the one before it; part 1 came off first."""
    fitted = fitted or {}
    return tables(
        [
            clean(
                number, behind=[number - 1] if number > 1 else [], fitted=fitted.get(number, "off")
            )
            for number in range(1, length + 1)
        ]
    )


Shape = Literal["scattered", "dense", "deep", "wide", "looped"]
SHAPES: tuple[Shape, ...] = ("scattered", "dense", "deep", "wide")


def random_links(dice: random.Random, shape: Shape, size: int) -> list[tuple[int, int]]:
    """Pairs (inner, outer) of part numbers; without a loop unless the shape is `looped`."""
    if shape == "deep":
        return [(n, n - dice.randint(1, min(2, n - 1))) for n in range(2, size + 1)]
    if shape == "wide":
        return [(n, dice.randint(1, 3)) for n in range(4, size + 1)]
    count = {"scattered": size // 2, "dense": size * 3, "looped": size}[shape]
    pairs = []
    for _ in range(count if size > 1 else 0):
        inner, outer = dice.sample(range(1, size + 1), 2)
        if shape != "looped" and inner < outer:
            inner, outer = outer, inner
        pairs.append((inner, outer))
    return pairs


def random_machine(dice: random.Random, shape: Shape, on: float = 0.4) -> Tables:
    """A machine of 1 to 30 parts, a share `on` of them on it at random, some lacking something."""
    size = dice.randint(1, 30)
    behind: dict[int, list[int]] = {n: [] for n in range(1, size + 1)}
    # Removal orders are shuffled codes, so that order and code disagree as they may in life.
    names = dice.sample(range(1, size + 1), size)
    for inner, outer in random_links(dice, shape, size):
        behind[inner].append(names[outer - 1])
    return tables([_random_part(dice, n, names[n - 1], behind[n], on) for n in behind])


def _random_part(
    dice: random.Random, order: int, number: int, behind: list[int], on: float
) -> Part:
    state: State = dice.choice(("snug", "fitted")) if dice.random() < on else "off"
    lacking = dice.random()
    return clean(
        number,
        order=order,
        behind=behind,
        fitted=state,
        assembly=dice.choice(ASSEMBLIES),
        care=() if lacking < 0.1 else DEGREASED,
        verdict="undecided" if 0.1 < lacking < 0.2 else "reuse",
        fasteners=(Fastener(quantity=4, short=1),) if 0.2 < lacking < 0.3 else (),
    )


def random_machines(
    count: int, shapes: Sequence[Shape] = SHAPES, on: float = 0.4
) -> Iterator[tuple[str, Tables, Any]]:
    """So many machines of each shape: a name for messages, the book, the graph of networkx."""
    for shape in shapes:
        for seed in range(count):
            made = random_machine(random.Random(f"{shape} {seed}"), shape, on)
            yield f"{shape} {seed}", made, graph(made)


def graph(made: Tables) -> Any:
    """The same links as a networkx graph, edges leading outward: the way the rebuild goes."""
    drawn = nx.DiGraph()
    drawn.add_nodes_from(made.parts)
    drawn.add_edges_from(
        (part.code, other) for part in made.parts.values() for other in part.behind
    )
    return drawn


def codes_on(made: Tables) -> set[str]:
    """The codes of the parts on the machine."""
    return {part.code for part in made.parts.values() if part.fitted != "off"}
