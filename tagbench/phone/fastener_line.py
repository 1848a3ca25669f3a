"""One line of a part's fasteners as the phone page shows it."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from tagbench.records import Fastener, Torque, replace
from tagbench.rules.fastener_lines import missing, wants_renewing, wants_torque
from tagbench.rules.fit_text import torque_unit_of
from tagbench.trade.fastener_spelling import spell, spell_torque
from tagbench.trade.shown import show_torque
from tagbench.trade.units import Range


class FastenerLine(NamedTuple):
    """One line of fasteners."""

    number: int
    """Which line, counted from 1."""
    text: str
    """How many of what."""
    place: str
    """Where it sat."""
    remarks: tuple[str, ...]
    """Torque, locking, what is to be renewed, how many are back and missing."""
    quantity: int
    """How many there are."""
    short: int
    """How many are known to be missing."""


def fastener_line(number: int, fastener: Fastener, unit: str) -> FastenerLine:
    """One line of a part's fasteners; `unit` is the torque unit the person thinks in."""
    return FastenerLine(
        number=number,
        text=spell(replace(fastener, place="", torque=None)),
        place=fastener.place,
        remarks=tuple(filter(None, _remarks(fastener, unit))),
        quantity=fastener.quantity,
        short=fastener.short,
    )


def _remarks(fastener: Fastener, unit: str) -> tuple[str, ...]:
    torque = fastener.torque
    given = fastener.torqued
    return (
        f"torque {spell_torque(torque)}" if torque else "",
        _in_own_unit(torque, unit) if torque else "",
        "an estimate: the maker's manual goes before it" if torque and torque.estimate else "",
        f"torqued to {given:g} {torque_unit_of(fastener)}" if given is not None else "",
        "not torqued yet" if wants_torque(fastener) and fastener.back else "",
        "renew: single use" if wants_renewing(fastener) else "",
        f"{fastener.short} short" if fastener.short else "",
        f"{missing(fastener)} not back yet" if fastener.back and missing(fastener) else "",
    )


def _in_own_unit(torque: Torque, unit: str) -> str:
    """The range in the unit that the person thinks in, when it was given in another one."""
    if not unit or unit == torque.unit:
        return ""
    given = Range(Fraction(torque.low), Fraction(torque.high), torque.unit)
    return f"that is {show_torque(given, unit)}"
