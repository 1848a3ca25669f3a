"""The rebuild at a glance: what is ready, held up and why, on; what can be done tonight."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from tagbench.records import Tables
from tagbench.rules.rebuild.held_up import Reason, obstacles, on_machine, open_wants, own_reasons
from tagbench.rules.rebuild.links import Links, links_of, loop_words
from tagbench.rules.rebuild.loops import loops
from tagbench.rules.rebuild.order import rebuild_order


class HeldUp(NamedTuple):
    """A part that cannot go on yet."""

    code: str
    """Its code."""
    reasons: tuple[Reason, ...]
    """Every reason."""


@dataclass(frozen=True, slots=True, eq=False)
class Build:
    """Where the rebuild of one machine stands; lists of codes in rebuild order."""

    links: Links
    """The parts and links it was made from."""
    order: list[str]
    """All parts, in the order in which they go back on."""
    ready: list[str]
    """Off the machine, and nothing stands in the way."""
    held_up: list[HeldUp]
    """Off the machine, with everything that stands in the way."""
    snug: list[str]
    """On the machine finger tight."""
    fitted: list[str]
    """On the machine and done."""

    @property
    def problems(self) -> list[str]:
        """What is wrong with the links, in sentences: odd entries and loops already in the book."""
        named = {part.code: part for part in self.links.parts}
        tangled = [
            f"{loop_words(named, loop)}: take one of these links out." for loop in loops(self.links)
        ]
        return [odd.words for odd in self.links.odd] + tangled


def build_overview(tables: Tables, mark: str, today: date | None = None) -> Build:
    """Where the rebuild of the machine with this mark stands; `today` tells what is overdue."""
    return build_with(tables, links_of(tables, mark), today)


def build_with(tables: Tables, links: Links, today: date | None = None) -> Build:
    """`build` with links at hand. Linear in parts and links, but for n log n in the ordering.

    Only over parts that were put on in spite of a deeper part still off is the search for the
    names longer; `fit` does not let that happen unasked.
    """
    places, in_the_way = rebuild_order(links), obstacles(tables, links, today)
    ready, held_up = [], []
    on: dict[str, list[str]] = {"snug": [], "fitted": []}
    for place in places:
        part = links.parts[place]
        if part.fitted != "off":
            on[part.fitted].append(part.code)
        elif reasons := in_the_way.reasons(place):
            held_up.append(HeldUp(part.code, tuple(reasons)))
        else:
            ready.append(part.code)
    return Build(links, links.codes(places), ready, held_up, on["snug"], on["fitted"])


def tonight(tables: Tables, mark: str) -> list[str]:
    """Every part that can go on with what is here, in rebuild order.

    A part counts as ready once all deeper ones are on or can go on before it in this same list.
    """
    return tonight_with(tables, links_of(tables, mark))


def tonight_with(tables: Tables, links: Links) -> list[str]:
    """`tonight` with links at hand; linear but for the ordering."""
    wants = open_wants(tables)
    able = bytearray(len(links.parts))
    going_on = []
    for place in rebuild_order(links):
        part = links.parts[place]
        inner_able = all(able[inner] for inner in links.deeper[place])
        lacking = not on_machine(part) and own_reasons(part, wants.get(part.code, ()))
        # A part put on over a gap is not able: the gap stays in the way of all further out.
        able[place] = inner_able and not lacking
        if able[place] and not on_machine(part):
            going_on.append(place)
    return links.codes(going_on)
