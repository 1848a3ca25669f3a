"""What is said about a line of fasteners: how many of what, where, its torque, how far it is."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from tagbench.records import Fastener, Machine, Torque, replace
from tagbench.rules.count.fastener_lines import (
    FastenerLine,
    count_away,
    count_lost,
    in_bag,
    missing,
    renewed_items,
    to_renew,
    wants_torque,
)
from tagbench.rules.describe.fact import Fact, State
from tagbench.rules.open_questions import open_question

PLAIN_UNIT = "N·m"
"""Unit of a torque that was given to a line without a range."""


class LineFacts(NamedTuple):
    """One line of fasteners."""

    number: int
    """Which line of the part, counted from 1."""
    what: Fact
    """How many of which, without place and torque: `4x M5x0.8x12 pan`."""
    place: Fact
    """Where it sat or which one of several it is: `long one at 6 o'clock`."""
    torque: Fact
    """Its torque as it was typed, then in the machine's unit: `8–10 N·m (manual p. 12)`."""
    remarks: tuple[Fact, ...]
    """What is not yet known of it, which of two readings was chosen (`“8mm” taken as M8x1.25
    thread`), and how far it is: torqued or not yet, lost, in the bag, renewed or not."""
    quantity: int
    """How many there are."""
    short: int
    """How many are known to be missing."""

    def facts(self) -> Iterator[Fact]:
        """All of it, what says nothing left out."""
        yield from filter(lambda fact: fact.words, (self.what, self.place, self.torque))
        yield from self.remarks

    @property
    def words(self) -> str:
        """All of it in one line: `4x M5x0.8x12 pan, at 6 o'clock, torque 8–10 N·m, 1 lost`."""
        torque = f"torque {self.torque.words}" if self.torque.words else ""
        said = [self.what.words, self.place.words, torque, *(one.words for one in self.remarks)]
        return ", ".join(filter(None, said))


def describe_line(line: FastenerLine, machine: Machine) -> LineFacts:
    """One line of a part's fasteners, in the units of its machine."""
    from tagbench.trade.fasteners.spelling import spell

    fastener = line.fastener
    return LineFacts(
        number=line.number,
        what=Fact("fasteners", spell(replace(fastener, place="", torque=None))),
        place=Fact(place_label(fastener.place), " ".join(fastener.place.split())),
        torque=_torque_fact(fastener.torque, machine.units.torque),
        remarks=tuple(_remarks(line)),
        quantity=fastener.quantity,
        short=fastener.short,
    )


def place_label(place: str) -> str:
    """`place`, or `which` where the words only tell it from the others: `which: the long one`."""
    from tagbench.trade.fasteners.vocabulary import bench_words, fold_words

    sides = ("front", "rear", "left", "right", "top", "bottom", "upper", "lower", "inner", "outer")
    which = {*bench_words("sort"), *bench_words("weak"), *bench_words("condition")} - {*sides}
    words = fold_words(place)
    return "which" if words and all(word in which for word in words) else "place"


def _torque_fact(torque: Torque | None, unit: str) -> Fact:
    if torque is None:
        return Fact("torque", "")
    from tagbench.trade.torque.ranges import as_range

    wanted = as_range(torque).to(unit)
    figures = (float(wanted.low), float(wanted.high))
    return Fact("torque", torque_words(torque, unit), "", figures, unit)


def torque_words(torque: Torque, unit: str) -> str:
    """`32–44 lbf·ft (43.4–59.7 N·m, maker's manual)`: as it was typed first, then in `unit`."""
    from tagbench.trade.quantities.shown import show_torque
    from tagbench.trade.torque.ranges import as_range

    wanted = as_range(torque)
    told = [show_torque(wanted, unit)] if torque.unit != unit else []
    return _with_source(show_torque(wanted), told, torque)


def torque_asked(torque: Torque, unit: str) -> str:
    """`43.4–59.7 N·m (32–44 lbf·ft, …)`: first in the unit that a bare figure is taken for."""
    from tagbench.trade.quantities.shown import show_torque
    from tagbench.trade.torque.ranges import as_range

    wanted = as_range(torque)
    told = [show_torque(wanted)] if torque.unit != unit else []
    return _with_source(show_torque(wanted, unit), told, torque)


def _with_source(shown: str, told: list[str], torque: Torque) -> str:
    source = [torque.source] if torque.source else []
    yields = ["an estimate: the maker's manual takes precedence"] if torque.estimate else []
    behind = ", ".join([*told, *source, *yields])
    return f"{shown} ({behind})" if behind else shown


def unit_given_in(fastener: Fastener) -> str:
    """The unit in which the torque given to a line is written down."""
    return fastener.torque.unit if fastener.torque else PLAIN_UNIT


def _identity(fastener: Fastener) -> Iterator[Fact]:
    """How it is known what it is, and what is not known."""
    if question := open_question(fastener):
        # Once all are back it is a fact that holds up nothing.
        yield Fact("not known", question, "open" if missing(fastener) else "")
    for choice in fastener.chosen:
        yield Fact("taken as", choice.replace("”: ", "” taken as ", 1))
    if fastener.measured:
        yield Fact("measured", fastener.measured)


def _remarks(line: FastenerLine) -> Iterator[Fact]:
    fastener, on = line.fastener, line.part.fitted != "off"
    yield from _identity(fastener)
    if fastener.torqued is not None:
        from tagbench.trade.torque.passes import torqued_words

        unit = unit_given_in(fastener)
        state: State = "open" if wants_torque(fastener) else "done"
        yield Fact("torqued", torqued_words(fastener), state, (fastener.torqued,), unit)
    elif on and wants_torque(fastener):
        yield Fact("torqued", "not torqued yet", "open")
    if fastener.renewed:
        yield Fact("renewed", "renewed", "done")
    if on and to_renew(line):
        yield Fact("renewed", f"not renewed: {', '.join(renewed_items(line))}", "open")
    if count_lost(fastener):
        yield Fact("lost", f"{count_lost(fastener)} lost", "wrong", (count_lost(fastener),))
    if count_away(fastener):
        yield Fact(
            "away", f"{count_away(fastener)} with someone else", "open", (count_away(fastener),)
        )
    if on and in_bag(fastener):
        yield Fact(
            "in the bag", f"{in_bag(fastener)} still in the bag", "open", (in_bag(fastener),)
        )
