"""Loops that are already in the book: found, spelled out, never in the way of the rest."""

from __future__ import annotations

from collections import deque

from tagbench.rules.rebuild.links import Links


def loops(links: Links) -> list[list[str]]:
    """A loop out of each tangle already in the book, spelled like `find_loop`'s; empty when none.

    Linear in parts and links; a tangle is a group of parts that all lie behind each other.
    """
    tangle = tangles(links)
    firsts: dict[int, int] = {}
    for place, number in enumerate(tangle):
        if number >= 0:
            firsts.setdefault(number, place)
    return [_loop_through(links, tangle, place) for place in firsts.values()]


def tangles(links: Links) -> list[int]:
    """Place → number of the tangle it is in, -1 when in none.

    Strongly connected components after Tarjan, SIAM J. Comput. 1 (1972) 146-160, with a stack
    of our own in place of recursion.
    """
    if not links.backward:
        return [-1] * len(links.parts)
    return _components(links)


def _components(links: Links) -> list[int]:
    count = len(links.parts)
    index, low, group = [-1] * count, [0] * count, [-1] * count
    stack: list[int] = []
    settled = bytearray(count)
    visited = found = 0
    for root in range(count):
        if index[root] >= 0:
            continue
        path = [(root, iter(links.outer[root]))]
        index[root] = low[root] = visited
        visited += 1
        stack.append(root)
        while path:
            here, rest = path[-1]
            for there in rest:
                if index[there] < 0:
                    index[there] = low[there] = visited
                    visited += 1
                    stack.append(there)
                    path.append((there, iter(links.outer[there])))
                    break
                if not settled[there]:
                    low[here] = min(low[here], index[there])
            else:
                path.pop()
                if path:
                    low[path[-1][0]] = min(low[path[-1][0]], low[here])
                if low[here] == index[here]:
                    found += _settle(stack, here, found, group, settled)
    return group


def _settle(stack: list[int], root: int, number: int, group: list[int], done: bytearray) -> int:
    """Takes one finished component off the stack; 1 when it is a tangle, else 0."""
    alone = stack[-1] == root
    while True:
        member = stack.pop()
        done[member] = 1
        if not alone:
            group[member] = number
        if member == root:
            return 0 if alone else 1


def _loop_through(links: Links, tangle: list[int], start: int) -> list[str]:
    came_from: dict[int, int] = {}
    queue = deque([start])
    while start not in came_from:
        here = queue.popleft()
        for there in links.outer[here]:
            if tangle[there] == tangle[start] and there not in came_from:
                came_from[there] = here
                queue.append(there)
    back = [start]
    while len(back) == 1 or back[-1] != start:
        back.append(came_from[back[-1]])
    return links.codes(reversed(back))
