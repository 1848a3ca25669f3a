"""Burying: what fitting a part too early would shut in, and what it would cost to undo."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from tagbench.errors import Refused
from tagbench.records import Tables
from tagbench.rules.rebuild.links import Links
from tagbench.rules.rebuild.reach import Undoing, in_front, undoing


@dataclass(frozen=True, slots=True)
class Burial:
    """What would be shut in by one part."""

    code: str
    """The part that would go on too early."""
    shut_in: list[str]
    """Every deeper part still off, over any number of links, latest off first."""
    cost: Undoing
    """What would have to come off again later to put them in, the part itself among it."""
    words: str
    """All of it in two sentences."""


def burying(tables: Tables, links: Links, code: str, planned: Iterable[str] = ()) -> Burial | None:
    """What fitting `code` now would shut in; None when nothing deeper is off.

    `planned` are parts that are to go on before it and so count as on. Nothing is changed: the
    same answer serves for a part that is only being planned. Raises NotFound for unknown codes.
    """
    here = links.at(code)
    going_on = {links.at(other) for other in planned}
    deeper = links.all_deeper([here]) - going_on - {here}
    shut_in = sorted((place for place in deeper if links.off(place)), reverse=True)
    if not shut_in:
        return None
    on_then = in_front(links, shut_in) | (links.all_outer(shut_in) & going_on) | {here}
    cost = undoing(tables, links, on_then)
    words = _words(links, here, shut_in, cost)
    return Burial(code, links.codes(shut_in), cost, words)


def refuse_burying(tables: Tables, links: Links, code: str) -> None:
    """Raises `Refused` with the names when fitting `code` now would shut something in."""
    found = burying(tables, links, code)
    if found:
        raise Refused(f"{found.words} Fit these first, or say that you want it anyway.")


def _words(links: Links, here: int, shut_in: list[int], cost: Undoing) -> str:
    again = links.named(links.at(code) for code in cost.take_off)
    extra = [
        (len(cost.untorqued), "torque", "to give again"),
        (len(cost.to_renew), "single-use item", "to renew"),
        (len(cost.unsettled), "setting", "to measure again"),
    ]
    price = [f"{n} {what}{'s' * (n > 1)} {to_do}" for n, what, to_do in extra if n]
    shut = f"{links.named([here])} would shut in {links.named(shut_in)}"
    return "; ".join([shut, f"to put that right, take off again {again}", *price]) + "."
