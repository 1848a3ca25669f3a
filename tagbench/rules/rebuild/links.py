"""The links between the parts of one machine: what lies deeper, what lies further out.

`P.behind = {A}` says that A had to come off before P could: A is further *out*, P is *deeper*,
and on the rebuild P goes on before A. Both words carry on from part to part: what lies deeper
than something deeper is deeper too, since people note only the last thing in the way.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Literal, NamedTuple

from tagbench.errors import NotFound, Refused
from tagbench.records import Part, Tables, once


class OddLink(NamedTuple):
    """A `behind` entry that cannot be followed; the rebuild goes on without it."""

    code: str
    """The part that has the entry."""
    behind: str
    """The entry."""
    why: Literal["itself", "unknown", "other machine"]
    """What is wrong with it."""

    @property
    def words(self) -> str:
        """The fault and the way out, in a sentence."""
        fault = {
            "itself": f"{self.code} is noted as behind itself",
            "unknown": f"{self.code} is noted as behind {self.behind}, which is not in the book",
            "other machine": f"{self.code} is noted as behind {self.behind} of another machine",
        }[self.why]
        return f"{fault}; take the link out of {self.code}."


@dataclass(frozen=True, slots=True, eq=False)
class Links:
    """The parts of one machine in removal order, and the links between them by place in it.

    Built in one pass, linear in parts and links; a snapshot, to be built again after a change.
    """

    parts: tuple[Part, ...]
    """The parts in removal order."""
    place: dict[str, int]
    """Code → place in `parts`."""
    outer: list[list[int]]
    """Place → places of the parts that must come off before it, straight links only."""
    deeper: list[list[int]]
    """Place → places of the parts it must come off before, straight links only."""
    odd: tuple[OddLink, ...]
    """Entries that are not followed."""
    backward: bool
    """Whether any link goes against the removal order; without one there can be no loop."""

    def at(self, code: str) -> int:
        """The place of a code; `NotFound` when this machine has no such part."""
        try:
            return self.place[code]
        except KeyError:
            raise NotFound(f"No part of this machine has the code {code}.") from None

    def part(self, code: str) -> Part:
        """The part with a code."""
        return self.parts[self.at(code)]

    def codes(self, places: Iterable[int]) -> list[str]:
        """The codes at some places."""
        return [self.parts[place].code for place in places]

    def named(self, places: Iterable[int]) -> str:
        """Name and code of the parts at some places, for a sentence."""
        return ", ".join(f"{self.parts[at].name} {self.parts[at].code}" for at in places)

    def off(self, place: int) -> bool:
        """Whether the part is off the machine; snug counts as on."""
        return self.parts[place].fitted == "off"

    def all_outer(self, start: Iterable[int]) -> set[int]:
        """Everything further out than any of `start`, over any number of links."""
        return _walk(self.outer, start)

    def all_deeper(self, start: Iterable[int]) -> set[int]:
        """Everything deeper than any of `start`, over any number of links."""
        return _walk(self.deeper, start)


def links_of(tables: Tables, mark: str) -> Links:
    """The links of one machine of the book; worked out once for a state of the book."""

    def work_out() -> Links:
        return links_between(tables.parts_of(mark), tables.parts.__contains__)

    return once(tables, ("links of", mark), work_out)


def links_between(parts: Iterable[Part], known: Callable[[str], bool] = lambda _: False) -> Links:
    """The links between `parts` (in removal order); `known` tells codes of other machines."""
    parts = tuple(parts)
    place = {part.code: number for number, part in enumerate(parts)}
    outer: list[list[int]] = []
    deeper: list[list[int]] = [[] for _ in parts]
    odd: list[OddLink] = []
    backward = False
    for here, part in enumerate(parts):
        row = []
        for code in dict.fromkeys(part.behind):
            there = place.get(code, here)
            if there == here:
                odd.append(_odd_link(part.code, code, known))
                continue
            row.append(there)
            deeper[there].append(here)
            backward = backward or there > here
        outer.append(row)
    return Links(parts, place, outer, deeper, tuple(odd), backward)


def _odd_link(code: str, behind: str, known: Callable[[str], bool]) -> OddLink:
    if behind == code:
        return OddLink(code, behind, "itself")
    return OddLink(code, behind, "other machine" if known(behind) else "unknown")


def find_loop(parts: Mapping[str, Part], code: str, behind: Iterable[str]) -> list[str]:
    """The loop that would arise if part `code` were behind the parts in `behind`.

    The codes in order, each behind the next one, the first repeated at the end; empty when
    there is none. The shortest loop is given. `code` need not be in the book yet.
    """
    came_from: dict[str, str] = {}
    queue: deque[tuple[str, str]] = deque((code, entry) for entry in behind)
    while queue:
        origin, here = queue.popleft()
        if here == code:
            return _spell(came_from, origin, code)
        if here in came_from:
            continue
        came_from[here] = origin
        if here in parts:
            queue.extend((here, further) for further in parts[here].behind)
    return []


def refuse_loop(tables: Tables, code: str, behind: Iterable[str]) -> None:
    """Raises `Refused` with the loop spelled out when the links would make one."""
    loop = find_loop(tables.parts, code, behind)
    if loop:
        raise Refused(
            f"That would make a loop: {loop_words(tables.parts, loop)}. "
            f"Take one of these links out, or leave this one out."
        )


def loop_words(parts: Mapping[str, Part], loop: list[str]) -> str:
    """A loop in words: `hub TP-003-K is behind drum TP-004-L, which is behind hub TP-003-K`."""
    named = [f"{parts[code].said} {code}" if code in parts else code for code in loop]
    return f"{named[0]} is behind " + ", which is behind ".join(named[1:])


def _walk(neighbours: list[list[int]], start: Iterable[int]) -> set[int]:
    seen: set[int] = set()
    open_ends = list(start)
    while open_ends:
        for there in neighbours[open_ends.pop()]:
            if there not in seen:
                seen.add(there)
                open_ends.append(there)
    return seen


def _spell(came_from: dict[str, str], last: str, code: str) -> list[str]:
    back = [code]
    while last != code:
        back.append(last)
        last = came_from[last]
    return [code, *back[1:][::-1], code]
