"""The order of the rebuild: deeper parts first, latest off first, one assembly at a time."""

from __future__ import annotations

from heapq import heappop, heappush

from tagbench.records import Tables
from tagbench.rules.paths import SEPARATOR, spell_path
from tagbench.rules.rebuild.links import Links, links_of
from tagbench.rules.rebuild.loops import tangles

Heaps = tuple[list[int], ...]


def order(tables: Tables, mark: str) -> list[str]:
    """All parts of a machine in the order in which they go back on, as codes."""
    links = links_of(tables, mark)
    return links.codes(rebuild_order(links))


def rebuild_order(links: Links) -> list[int]:
    """The places of all parts in rebuild order.

    Every part comes after all parts deeper than it. Among those that could come next, one of the
    assembly at hand is taken, else one of the nearest assembly around it, and of these the one
    that came off last. The same book always gives the same order. Where links form a loop, those
    in the loop that go against the removal order are passed over; `loops` reports it.

    n log n in the parts for the picking, linear in the links.
    """
    found = _sorted_out(links, links.outer, [len(inner) for inner in links.deeper])
    if len(found) == len(links.parts):
        return found
    outer = _without_backward_links(links)
    waiting = [0] * len(links.parts)
    for row in outer:
        for there in row:
            waiting[there] += 1
    return _sorted_out(links, outer, waiting)


def _sorted_out(links: Links, outer: list[list[int]], waiting: list[int]) -> list[int]:
    around = _heaps_around(links)
    for place, count in enumerate(waiting):
        if not count:
            _offer(around, place)
    taken = bytearray(len(waiting))
    done: list[int] = []
    here = _nearest(around[-1][-1:], taken) if around else None
    while here is not None:
        taken[here] = 1
        done.append(here)
        for there in outer[here]:
            waiting[there] -= 1
            if not waiting[there]:
                _offer(around, there)
        here = _nearest(around[here], taken)
    return done


def _offer(around: list[Heaps], place: int) -> None:
    for heap in around[place]:
        heappush(heap, -place)


def _nearest(heaps: Heaps, taken: bytearray) -> int | None:
    for heap in heaps:
        while heap:
            here = -heap[0]
            if not taken[here]:
                return here
            heappop(heap)
    return None


def _heaps_around(links: Links) -> list[Heaps]:
    """Place → the heaps of its assembly and those around it, nearest first, the machine last.

    A heap holds what could come next, negative places, so that the latest off is on top.
    """
    by_path: dict[tuple[str, ...], list[int]] = {}
    by_text: dict[str, Heaps] = {}
    rows = []
    for part in links.parts:
        heaps = by_text.get(part.assembly)
        if heaps is None:
            path = tuple(spell_path(part.assembly).casefold().split(SEPARATOR))
            depths = range(len(path) if path[0] else 0, -1, -1)
            heaps = tuple(by_path.setdefault(path[:depth], []) for depth in depths)
            by_text[part.assembly] = heaps
        rows.append(heaps)
    return rows


def _without_backward_links(links: Links) -> list[list[int]]:
    """The outward links, less those inside a tangle that go against the removal order.

    What is left has no loop: inside a tangle every link leads to an earlier removal.
    """
    tangle = tangles(links)

    def stays(here: int, there: int) -> bool:
        return there < here or tangle[there] < 0 or tangle[there] != tangle[here]

    return [[there for there in row if stays(here, there)] for here, row in enumerate(links.outer)]
