"""One line of a part's fasteners as the phone page shows it."""

from __future__ import annotations

from typing import NamedTuple

from tagbench.records import Fastener, Machine, replace
from tagbench.rules.count.fastener_lines import Line, missing, wants_torque
from tagbench.rules.describe.fasteners import unit_given_in
from tagbench.rules.rebuild.guide import line_guide
from tagbench.trade.fasteners.spelling import spell


class FastenerLine(NamedTuple):
    """One line of fasteners."""

    number: int
    """Which line, counted from 1."""
    text: str
    """How many of what."""
    place: str
    """Where it sat."""
    torque: str
    """Its torque in the person's unit, and as the source has it."""
    remarks: tuple[str, ...]
    """How far it is: torqued, short, not back yet."""
    steps: tuple[str, ...]
    """How it goes in: the castle nut, the stages round a circle, what is renewed."""
    quantity: int
    """How many there are."""
    short: int
    """How many are known to be missing."""


def fastener_line(line: Line, machine: Machine) -> FastenerLine:
    """One line of a part's fasteners, in the units of its machine."""
    fastener = line.fastener
    guide = line_guide(line, machine)
    return FastenerLine(
        number=line.number,
        text=spell(replace(fastener, place="", torque=None)),
        place=fastener.place,
        torque=guide.torque,
        remarks=tuple(filter(None, _remarks(fastener))),
        steps=guide.steps,
        quantity=fastener.quantity,
        short=fastener.short,
    )


def _remarks(fastener: Fastener) -> tuple[str, ...]:
    given = fastener.torqued
    return (
        f"torqued to {given:g} {unit_given_in(fastener)}" if given is not None else "",
        "not torqued yet" if wants_torque(fastener) and fastener.back else "",
        f"{fastener.short} short" if fastener.short else "",
        f"{missing(fastener)} not back yet" if fastener.back and missing(fastener) else "",
    )
