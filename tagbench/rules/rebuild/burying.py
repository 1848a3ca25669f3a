"""Burying: what fitting a part too early would shut in, and what it would cost to undo."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

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
    """What it would shut in, what to fit first, and what would have to come off again."""

    @property
    def again(self) -> list[str]:
        """What is on already and would have to come off again, in order."""
        return [code for code in self.cost.take_off if code != self.code]


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


def _words(links: Links, here: int, shut_in: list[int], cost: Undoing) -> str:
    named = links.named(shut_in)
    code = links.parts[here].code
    again = [one for one in cost.take_off if one != code]
    extra = [
        (len(cost.untorqued), "torque", "to give again"),
        (len(cost.to_renew), "single-use item", "to renew"),
        (len(cost.unsettled), "setting", "to measure again"),
    ]
    price = [f"{n} {what}{'s' * (n > 1)} {to_do}" for n, what, to_do in extra if n]
    return " ".join(
        [
            f"{links.named([here])} would shut in {named}.",
            f"Fit these first: {named}.",
            "; ".join([again_words(links, again), *price]) + ".",
        ]
    )


def again_words(links: Links, again: list[str]) -> str:
    """What would have to come off again; the part in the hand is not on yet and not named."""
    if not again:
        return f"{IF_ON}, it would have to come off again"
    return f"{IF_ON}, these would have to come off again: {links.named(map(links.at, again))}"


IF_ON = "If it went on now"
