"""The one fact of a part that is wanted from across the bench: where it is, or how tight."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from tagbench.records import Part, Tables
from tagbench.rules.bin_contents import bin_of
from tagbench.rules.bins import bin_words
from tagbench.rules.care.pieces import is_new
from tagbench.rules.count.fastener_lines import wants_torque
from tagbench.rules.whereabouts import Whereabouts, whereabouts

_SHORTLY: Mapping[Whereabouts, str] = MappingProxyType(
    {
        "on": "on the machine",
        "never off": "on the machine",
        "here": "in no bag",
        "to come": "new one to come",
        "away": "away",
        "lost": "lost",
    }
)


def where_shortly(part: Part, tables: Tables) -> str:
    """`bag Plate screws`: the bin that it lies in itself; `on the machine`, `away`, `lost`."""
    own = tables.bins.get(bin_of(part))
    if own is not None:
        return bin_words(own)
    place = whereabouts(part)
    return "the new one" if place == "here" and is_new(part) else _SHORTLY[place]


def tighten_shortly(part: Part, tables: Tables) -> str:
    """`32–44 lbf·ft`: the torque that is given next; without one, where the part is."""
    for line in part.fasteners:
        if line.torque is not None and wants_torque(line):
            from tagbench.trade.quantities.shown import show_torque
            from tagbench.trade.torque.ranges import as_range

            return show_torque(as_range(line.torque))
    return where_shortly(part, tables)
