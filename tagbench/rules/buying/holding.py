"""What a want holds up: how many parts cannot go on until it is here."""

from __future__ import annotations

from tagbench.records import Tables, Want
from tagbench.rules.rebuild.links import Links, links_of


def held_by(links: Links, want: Want) -> list[str]:
    """The parts that cannot go on until the want is here, in removal order; empty once it is.

    Those that wait for it, and everything further out, over any number of links; parts already
    on the machine are not counted.
    """
    if want.arrived is not None:
        return []
    waiting = [links.place[code] for code in want.parts if code in links.place]
    waiting = [place for place in waiting if links.off(place)]
    held = links.all_outer(waiting).union(waiting)
    return links.codes(place for place in sorted(held) if links.off(place))


def hold_ups(tables: Tables, mark: str) -> dict[int, list[str]]:
    """Number of each open want of a machine → the parts it holds up, most parts first.

    Linear in parts and links for each want.
    """
    links = links_of(tables, mark)
    wants = [want for want in tables.wants.values() if want.machine == mark and not want.arrived]
    held = {want.id: held_by(links, want) for want in wants}
    return dict(sorted(held.items(), key=lambda item: (-len(item[1]), item[0])))
