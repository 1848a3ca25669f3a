"""What can be done tonight with what is here: simulated onward, part after part."""

from __future__ import annotations

from tagbench.records import Tables
from tagbench.rules.rebuild.held_up import on_machine, open_wants, own_reasons
from tagbench.rules.rebuild.links import Links, links_of
from tagbench.rules.rebuild.order import rebuild_order


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
