"""Why a part cannot go on yet: every reason, not only the first.

A part is ready when every part deeper than it is on the machine, it is degreased and to be used
again, or its replacement is here, it is not in the soak, and nothing it needs is missing: no
fastener short, no want open for it. Otherwise it is held up. A snug part counts as on the machine.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal, NamedTuple

from tagbench.records import Fastener, Finish, Part, Tables, Want, replace
from tagbench.records.care_steps import CLEANING
from tagbench.rules.care.pieces import is_scrap, needs_washing, soaking
from tagbench.rules.count.fastener_lines import count_away
from tagbench.rules.describe.finish import finish_words
from tagbench.rules.describe.phrases import moment, named, quantity
from tagbench.rules.describe.want import standing_words
from tagbench.rules.rebuild.links import Links
from tagbench.rules.rebuild.loops import tangles
from tagbench.rules.whereabouts import elsewhere_words
from tagbench.trade.fasteners.spelling import spell

ReasonKind = Literal[
    "deeper",
    "buried",
    "loop",
    "dirty",
    "soaking",
    "undecided",
    "replacement",
    "short",
    "want",
    "away",
    "lost",
    "finish",
]


class Reason(NamedTuple):
    """One reason why a part is held up."""

    kind: ReasonKind
    """deeper and buried: a deeper part is off; loop: the links contradict each other; dirty: not
    degreased; soaking: in the tray once more; undecided: no verdict; replacement, short, want:
    something is not here; away, lost: the part or its fasteners are elsewhere; finish: still to be
    blasted, painted, plated, …"""
    words: str
    """The reason as a person reads it."""
    codes: tuple[str, ...] = ()
    """The other parts it is about."""


UNDECIDED = Reason("undecided", "not decided: reuse or replace")
NO_REPLACEMENT = Reason("replacement", "the replacement is not here yet")
DIRTY = Reason("dirty", f"not {CLEANING.name}")


def on_machine(part: Part) -> bool:
    """Whether the part is on the machine: fitted, or snug."""
    return part.fitted != "off"


def open_wants(tables: Tables) -> dict[str, list[Want]]:
    """Code → the wants the part waits for, those that have not arrived."""
    waiting: dict[str, list[Want]] = defaultdict(list)
    for want in tables.wants.values():
        if want.arrived is None:
            for code in want.parts:
                waiting[code].append(want)
    return dict(waiting)


def own_reasons(part: Part, wants: Sequence[Want] = (), today: date | None = None) -> list[Reason]:
    """What the part itself lacks, whatever the other parts do, each lack once.

    `wants` are those open for it; with `today` a late one is said to be overdue.
    """
    reasons = []
    if elsewhere := elsewhere_words(part):
        reasons.append(Reason("away" if part.away else "lost", elsewhere))
    if soaking(part):
        reasons.append(_soaking(part))
    elif needs_washing(part):
        reasons.append(DIRTY)
    if part.verdict == "undecided":
        reasons.append(UNDECIDED)
    elif is_scrap(part) and not wants:
        reasons.append(NO_REPLACEMENT)
    reasons += [_to_finish(finish) for finish in part.finishes if finish.at is None]
    reasons += [_short(fastener) for fastener in part.fasteners if fastener.short]
    reasons += [_away(fastener) for fastener in part.fasteners if count_away(fastener)]
    reasons += [_waits_for(want, today) for want in wants]
    return reasons


@dataclass(frozen=True, slots=True, eq=False)
class Obstacles:
    """What stands in the way of each part of one machine; a snapshot like its links."""

    links: Links
    """The parts and links."""
    wants: Mapping[str, Sequence[Want]]
    """Code → open wants, as from `open_wants`."""
    tangle: Sequence[int]
    """Place → tangle, as from `loops.tangles`."""
    shut: bytearray
    """Place → 1 when any part deeper than it, over any number of links, is off the machine."""
    names: Sequence[str]
    """Place → name and code, for the sentences."""
    today: date | None = None
    """The day by which late orders are overdue."""

    def lacking(self, place: int) -> list[Reason]:
        """What the part itself lacks."""
        part = self.links.parts[place]
        return own_reasons(part, self.wants.get(part.code, ()), self.today)

    def reasons(self, place: int) -> list[Reason]:
        """Every reason why the part at `place` cannot go on; empty when it is ready."""
        deeper = self._deeper(place) if self.shut[place] else []
        return deeper + self.lacking(place)

    def _deeper(self, place: int) -> list[Reason]:
        parts, reasons = self.links.parts, []
        off = [inner for inner in self.links.deeper[place] if parts[inner].fitted == "off"]
        if self.tangle[place] >= 0:
            reasons.append(_loop(self.links, place, self.tangle))
        if off:
            off.reverse()
            reasons.append(self._about("deeper", "goes on after ", off))
        if len(off) < len(self.links.deeper[place]) and (hidden := self._hidden_below(place)):
            reasons.append(self._about("buried", "would shut in, further inside, ", hidden))
        return reasons

    def _about(self, kind: ReasonKind, words: str, places: list[int]) -> Reason:
        names, parts = self.names, self.links.parts
        words += ", ".join([names[place] for place in places])
        return Reason(kind, words, tuple([parts[place].code for place in places]))

    def _hidden_below(self, place: int) -> list[int]:
        """Parts that are off, reached only through parts already put on over them."""
        links, straight = self.links, self.links.deeper[place]
        over_gap = {inner for inner in straight if self.shut[inner] and not links.off(inner)}
        open_ends, found = list(over_gap), set()
        while open_ends:
            for inner in links.deeper[open_ends.pop()]:
                if links.off(inner):
                    found.add(inner)
                elif self.shut[inner] and inner not in over_gap:
                    over_gap.add(inner)
                    open_ends.append(inner)
        return sorted(found.difference(straight, [place]), reverse=True)


def obstacles(tables: Tables, links: Links, today: date | None = None) -> Obstacles:
    """What stands in the way of the parts of a machine; linear in parts and links.

    With `today` the reasons say which orders are overdue.
    """
    names = [named(part) for part in links.parts]
    return Obstacles(links, open_wants(tables), tangles(links), blocked(links), names, today)


def blocked(links: Links) -> bytearray:
    """Place → 1 when any part deeper than it, over any number of links, is off the machine."""
    count = len(links.parts)
    shut = bytearray(count)
    open_ends = [place for place, part in enumerate(links.parts) if part.fitted == "off"]
    seen = bytearray(count)
    for place in open_ends:
        seen[place] = 1
    while open_ends:
        for there in links.outer[open_ends.pop()]:
            shut[there] = 1
            if not seen[there]:
                seen[there] = 1
                open_ends.append(there)
    return shut


def _loop(links: Links, place: int, tangle: Sequence[int]) -> Reason:
    others = [there for there in links.outer[place] if tangle[there] == tangle[place]]
    words = f"the links form a loop through {links.named(others)}; take one of them out"
    return Reason("loop", words, tuple(links.codes(others)))


def _soaking(part: Part) -> Reason:
    soak = soaking(part)
    since = f"soaking since {moment(soak.since)}" if soak else ""
    if needs_washing(part):
        return Reason("dirty", f"{DIRTY.words}; {since}")
    return Reason("soaking", since)


def _to_finish(finish: Finish) -> Reason:
    return Reason("finish", f"still to be {finish_words(finish)}")


def _away(fastener: Fastener) -> Reason:
    gone = replace(fastener, quantity=count_away(fastener), torque=None, note="")
    return Reason("away", f"with someone else: {spell(gone)}")


def _short(fastener: Fastener) -> Reason:
    one = replace(fastener, quantity=1, torque=None, note="", place="")
    words = f"short of {fastener.short} of {fastener.quantity}: {spell(one)}"
    return Reason("short", words + (f", {fastener.place}" if fastener.place else ""))


def _waits_for(want: Want, today: date | None) -> Reason:
    stand = "not ordered yet"
    if want.ordered is not None:
        # Without a day to go by nothing is late.
        stand = standing_words(want, today if today is not None else want.ordered)
    return Reason("want", f"waits for {quantity(want.quantity, want.what)}, {stand}")
