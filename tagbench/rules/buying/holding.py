"""What a want holds up: how many parts cannot go on until it is here."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import overload

from tagbench.records import Tables, Want
from tagbench.rules.rebuild.links import Links, links_of
from tagbench.rules.rebuild.loops import tangles

AT_ONCE = 8192
"""So many wants are counted in one pass over the parts: one bit each."""


def held_by(links: Links, want: Want) -> list[str]:
    """The parts that cannot go on until the want is here, in removal order; empty once it is.

    Those that wait for it, and everything further out, over any number of links; parts already
    on the machine are not counted.
    """
    waiting = _waiting(links, want)
    held = links.all_outer(waiting).union(waiting)
    return links.codes(place for place in sorted(held) if links.off(place))


def _waiting(links: Links, want: Want) -> list[int]:
    """The places of the parts that wait for the want itself."""
    if want.arrived is not None:
        return []
    places = (links.place[code] for code in want.parts if code in links.place)
    return [place for place in places if links.off(place)]


class Held(Sequence[str]):
    """The codes of the parts that a want holds up: counted already, walked to when looked at."""

    def __init__(self, links: Links, want: Want, count: int) -> None:
        self._links = links
        self._want = want
        self._count = count
        self._codes: list[str] | None = None

    def __len__(self) -> int:
        return self._count

    @overload
    def __getitem__(self, at: int) -> str: ...

    @overload
    def __getitem__(self, at: slice) -> list[str]: ...

    def __getitem__(self, at: int | slice) -> str | list[str]:
        if self._codes is None:
            self._codes = held_by(self._links, self._want)
        return self._codes[at]


def hold_ups(tables: Tables, mark: str) -> dict[int, Held]:
    """Number of each open want of a machine → the parts it holds up, most parts first.

    They are counted in one pass over parts and links, whatever the number of wants.
    """
    links = links_of(tables, mark)
    wants = [want for want in tables.wants.values() if want.machine == mark and not want.arrived]
    counts = count_held(links, wants)
    held = {w.id: Held(links, w, count) for w, count in zip(wants, counts, strict=True)}
    return dict(sorted(held.items(), key=lambda item: (-len(item[1]), item[0])))


def count_held(links: Links, wants: Sequence[Want]) -> list[int]:
    """How many parts each want holds up, as `held_by` names them."""
    order = list(_outwards(links)) if wants else []
    found: list[int] = []
    for start in range(0, len(wants), AT_ONCE):
        found += _counted(links, wants[start : start + AT_ONCE], order)
    return found


def _counted(links: Links, wants: Sequence[Want], order: Iterable[Sequence[int]]) -> list[int]:
    """One pass from the deepest part outwards; a part hands on the wants that hold it, a bit each.

    The bits are added up in columns: `planes[n]` holds bit n of every want's count.
    """
    held = [0] * len(links.parts)
    for number, want in enumerate(wants):
        for place in _waiting(links, want):
            held[place] |= 1 << number
    planes: list[int] = []
    for together in order:
        bits = 0
        for place in together:
            bits |= held[place]
        if not bits:
            continue
        for place in together:
            held[place] = 0
            if links.off(place):
                _add(planes, bits)
        for place in together:
            for further in links.outer[place]:
                held[further] |= bits
    shown = [f"{plane:b}"[::-1] for plane in planes]
    return [
        sum(1 << n for n, bits in enumerate(shown) if bits[number : number + 1] == "1")
        for number in range(len(wants))
    ]


def _add(planes: list[int], carry: int) -> None:
    """Adds one to the count of every want in `carry`, as a binary counter does, all at once."""
    for n, plane in enumerate(planes):
        planes[n] = plane ^ carry
        carry &= plane
        if not carry:
            return
    planes.append(carry)


def _outwards(links: Links) -> Iterator[Sequence[int]]:
    """The places from the deepest outwards, those of a loop together (Kahn's algorithm)."""
    if not links.backward:
        yield from ((place,) for place in range(len(links.parts) - 1, -1, -1))
        return
    loop_of = tangles(links)
    groups: dict[int, list[int]] = {}
    group = [number if number >= 0 else -2 - place for place, number in enumerate(loop_of)]
    for place, number in enumerate(group):
        groups.setdefault(number, []).append(place)
    deeper = dict.fromkeys(groups, 0)
    for place, further in enumerate(links.outer):
        for other in further:
            deeper[group[other]] += group[other] != group[place]
    ready = [number for number, count in deeper.items() if not count]
    while ready:
        together = groups[ready.pop()]
        yield together
        for place in together:
            for other in links.outer[place]:
                if group[other] != group[place]:
                    deeper[group[other]] -= 1
                    if not deeper[group[other]]:
                        ready.append(group[other])
