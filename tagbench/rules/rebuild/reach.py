"""Getting back to a part: what must come off again, in order, and what that undoes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from tagbench.errors import NotFound
from tagbench.records import Setting, Tables
from tagbench.rules.count.fastener_lines import FastenerLine, lines_of
from tagbench.rules.rebuild.links import Links, links_of
from tagbench.rules.rebuild.order import rebuild_order
from tagbench.rules.settings.standing import reopened_by


@dataclass(frozen=True, slots=True)
class Undoing:
    """What taking some parts off again undoes."""

    take_off: list[str]
    """The parts, in the order in which they come off."""
    unfitted: list[str]
    """Those of them that were fitted and done."""
    unsnugged: list[str]
    """Those of them that were snug."""
    untorqued: list[FastenerLine]
    """Fasteners that were torqued, to be torqued again."""
    to_renew: list[FastenerLine]
    """Single-use fasteners, to be renewed again."""
    unsettled: list[Setting]
    """Measured settings that must be measured again."""


def reach_part(tables: Tables, code: str) -> Undoing:
    """The fewest parts to take off again to get at a part, and what that undoes.

    These are the parts on the machine that lie further out, over any number of links; the part
    itself is not among them. Raises NotFound for an unknown code.
    """
    if code not in tables.parts:
        raise NotFound(f"No part in the book has the code {code}; find WORDS shows the codes.")
    links = links_of(tables, tables.parts[code].machine)
    return undoing(tables, links, in_front(links, [links.at(code)]))


def in_front(links: Links, places: Iterable[int]) -> set[int]:
    """The places of all parts on the machine that are in the way of the given ones."""
    return {outer for outer in links.all_outer(places) if not links.off(outer)}


def undoing(tables: Tables, links: Links, places: set[int]) -> Undoing:
    """What taking the parts at `places` off the machine undoes."""
    in_order = [place for place in reversed(rebuild_order(links)) if place in places]
    parts = [links.parts[place] for place in in_order]
    codes = [part.code for part in parts]
    lines = list(lines_of(parts))
    return Undoing(
        take_off=codes,
        unfitted=[part.code for part in parts if part.fitted == "fitted"],
        unsnugged=[part.code for part in parts if part.fitted == "snug"],
        untorqued=[line for line in lines if line.fastener.torqued is not None],
        to_renew=[line for line in lines if line.fastener.single_use],
        unsettled=reopened_by(tables.settings.values(), codes),
    )
