"""The links around a part as plain text: what goes on before it, what goes on after."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tagbench.rules.rebuild.links import Links


def picture(links: Links, code: str, depth: int = 1) -> str:
    """The part between what is deeper (above it) and what is further out (below it).

    `depth` says over how many links to look; the longer the line to a part, the more links away
    it is. Above and below are in the order in which things go on; a part is drawn once on each
    side, at its shortest distance. Raises NotFound for an unknown code.
    """
    here = links.at(code)
    above = sorted(_around(links.deeper, here, depth), key=lambda one: (-one[1], -one[0]))
    below = sorted(_around(links.outer, here, depth), key=lambda one: (one[1], -one[0]))
    before = ["goes on before", *_drawn(links, above)] if above else []
    after = [*_drawn(links, below), "goes on after"] if below else []
    alone = [] if above or below else ["    no links: it can go on at any time"]
    return "\n".join([*before, f"  ▶ {_label(links, here)}", *after, *alone])


def _around(neighbours: list[list[int]], here: int, depth: int) -> Iterator[tuple[int, int]]:
    """Place and distance in links of the parts around; each once, at its shortest distance."""
    seen, ring = {here}, [here]
    for distance in range(1, depth + 1):
        found = dict.fromkeys(there for place in ring for there in neighbours[place])
        ring = [there for there in found if there not in seen]
        seen.update(ring)
        yield from ((there, distance) for there in ring)


def _drawn(links: Links, around: Iterable[tuple[int, int]]) -> list[str]:
    return [f"    ├{'─' * (2 * distance - 1)} {_label(links, place)}" for place, distance in around]


def _label(links: Links, place: int) -> str:
    part = links.parts[place]
    return f"{part.code}  {part.said}  ({part.fitted})"
