"""Kept together: a sub-assembly that is not taken apart now, its own parts known or not.

None of its own parts has come off yet: they and their fasteners are counted when it is taken apart.
They came out of it, so they are behind it and go on before it.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from tagbench.errors import BadInput, Refused
from tagbench.records import OwnPart, Part, replace
from tagbench.rules.describe.phrases import named, plural, quantity
from tagbench.rules.paths import SEPARATOR
from tagbench.rules.whereabouts import elsewhere_words, whereabouts

OWN_PARTS_EXAMPLE = "bowl: 4x M4x12 pan; float; 2x jet"
"""How own parts are typed."""
_COUNT = re.compile(r"(?P<count>\d{1,3})\s*(?:[x×]\s*|\s+)(?=[^\W\d])", re.IGNORECASE)


def read_own_parts(text: str) -> tuple[OwnPart, ...]:
    """Own parts as they are typed, apart by `;`: name, and behind a colon what holds it.

    Several kinds of fasteners of one part are parted by commas. BadInput for a name twice.
    """
    found = [_own_part(piece) for piece in re.split(r"[;\n]", text) if piece.strip()]
    names = [one.name.casefold() for one in found]
    for name in names:
        if names.count(name) > 1:
            raise BadInput(f"“{name}” is written twice; say 2x {name}, or tell the two apart.")
    return tuple(found)


def _own_part(text: str) -> OwnPart:
    from tagbench.trade.fasteners.reading import read_fasteners

    name, _, held = text.strip().partition(":")
    counted = _COUNT.match(name.strip())
    count = int(counted["count"]) if counted else 1
    what = " ".join((name.strip()[counted.end() :] if counted else name).split())
    if not what or not count:
        raise BadInput(f"“{text.strip()}” names no part; write for example {OWN_PARTS_EXAMPLE}.")
    return OwnPart(name=what, quantity=count, fasteners=read_fasteners(held).lines)


def spell_own_parts(parts: Iterable[OwnPart]) -> str:
    """Own parts as they are typed; `read_own_parts` reads them back."""
    return "; ".join(_spelled(one) for one in parts)


def _spelled(one: OwnPart) -> str:
    from tagbench.trade.fasteners.spelling import spell_all

    count = f"{one.quantity}x " if one.quantity > 1 else ""
    held = f": {spell_all(one.fasteners).replace(';', ',')}" if one.fasteners else ""
    return f"{count}{one.name}{held}"


def keep_together(part: Part, own_parts: Iterable[OwnPart] = ()) -> Part:
    """The part as a sub-assembly that stays in one piece. What is known of a part already stays."""
    known = {one.name.casefold(): one for one in part.own_parts}
    told = tuple(
        replace(one, sits_how=one.sits_how or known[one.name.casefold()].sits_how)
        if one.name.casefold() in known
        else one
        for one in own_parts
    )
    return replace(part, together=True, own_parts=told)


def not_together(part: Part) -> Part:
    """The part as one thing again, and no sub-assembly; Refused while own parts are known."""
    if not part.together:
        raise Refused(f"{named(part)} is not kept together.")
    if part.own_parts:
        raise Refused(
            f"{plural(len(part.own_parts), 'own part')} of {named(part)} would be forgotten; take "
            "it apart, or empty the list of its own parts first."
        )
    return replace(part, together=False)


def refuse_whole(part: Part) -> None:
    """Raises Refused when a part cannot be taken apart: it is none of several, or not here."""
    if not part.together:
        raise Refused(f"{named(part)} is not kept together, so there is nothing to take apart.")
    place = whereabouts(part)
    if place in ("on", "never off"):
        raise Refused(f"{named(part)} is on the machine; take it off first.")
    if place in ("away", "lost"):
        raise Refused(
            f"{named(part)} is {elsewhere_words(part)}, so nobody can take it apart here."
        )
    if place == "to come":
        raise Refused(f"The new {named(part)} is not here yet, so it cannot be taken apart.")


def taken_apart(part: Part, names: Iterable[str] = ()) -> tuple[Part, list[OwnPart]]:
    """The part without its own parts of these names (all without any), and those.

    With the last one out it is kept together no longer. Raises BadInput for a name it has not,
    Refused when nothing of it is known.
    """
    refuse_whole(part)
    wanted = {name.strip().casefold() for name in names}
    there = {one.name.casefold() for one in part.own_parts}
    if not there:
        raise Refused(
            f"No own part of {named(part)} is written down; say which: {OWN_PARTS_EXAMPLE}."
        )
    if missing := wanted - there:
        known = ", ".join(one.name for one in part.own_parts)
        raise BadInput(f"{named(part)} has no {sorted(missing)[0]}; it has {known}.")
    out = [one for one in part.own_parts if not wanted or one.name.casefold() in wanted]
    left = tuple(one for one in part.own_parts if one not in out)
    return replace(part, own_parts=left, together=bool(left)), out


def inner_assembly(part: Part) -> str:
    """The assembly that its own parts come from: `Engine / Carburettor`."""
    return SEPARATOR.join(filter(None, [part.assembly, part.name]))


def together_words(part: Part) -> str:
    """`in one piece: 2 × jet, bowl with 4x M4x0.7x12 pan`; empty for any other part."""
    if not part.together:
        return ""
    said = ", ".join(map(own_part_words, part.own_parts))
    return f"in one piece: {said}" if said else "in one piece, its own parts not written down"


def own_part_words(one: OwnPart) -> str:
    """`bowl with 4x M4x0.7x12 pan`."""
    from tagbench.trade.fasteners.spelling import spell_all

    name = quantity(one.quantity, one.name) if one.quantity > 1 else one.name
    return f"{name} with {spell_all(one.fasteners)}" if one.fasteners else name
