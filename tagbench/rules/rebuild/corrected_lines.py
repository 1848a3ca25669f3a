"""A part's fasteners written anew: what is in the machine stays in it where a line is the same."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from tagbench.errors import Refused
from tagbench.records import Fastener, Part, replace
from tagbench.rules.describe.phrases import named
from tagbench.trade.fasteners.spelling import spell

Changed = Literal["", "same", "others"]
"""What a line is that now reads as another fastener: the same ones, their text put right; others
that have yet to go in; or not said."""

_WHICH = ("kind", "thread", "diameter", "length", "length_unit")
"""The fields that make it this fastener and no other."""
_FURTHER = ("head", "drive", "grade", "material")
"""Fields that do so too, but may have been left empty before."""


def corrected_lines(
    part: Part, lines: Sequence[Fastener], changed: Changed = ""
) -> tuple[Fastener, ...]:
    """The new `lines`, each with how many are back, short, its torque and renewal from before.

    A line that is still the same fastener keeps them, but a torque only while the same one is
    specified. For one that now reads as another fastener, or is left out, while it was in the
    machine or known to be short, Refused asks; `changed` is the answer: `same` keeps them, with
    `others` the line begins anew. Lines that come with how many are back, and not as a text that
    was read, are taken as they say; only a torque does not outlive its specification.
    """
    if any(map(_has_state, lines)):
        return _as_they_say(part.fasteners, lines)
    found = _matched(part.fasteners, lines)
    left = [old for at, old in enumerate(part.fasteners) if at not in found.values()]
    unsure = [old for old in left if _has_state(old)]
    if unsure and not changed:
        raise Refused(_question(part, unsure[0]))
    if changed == "same":
        open_lines = [at for at in range(len(lines)) if at not in found]
        rest = [at for at in range(len(part.fasteners)) if at not in found.values()]
        found |= dict(zip(open_lines, rest, strict=False))
    return tuple(
        _carried(part.fasteners[found[at]], new) if at in found else _begun_anew(new)
        for at, new in enumerate(lines)
    )


def asks(part: Part, lines: Sequence[Fastener]) -> str:
    """The question that `corrected_lines` would ask; empty when it need not."""
    try:
        corrected_lines(part, lines)
    except Refused as question:
        return str(question)
    return ""


def _matched(old: Sequence[Fastener], new: Sequence[Fastener]) -> dict[int, int]:
    """Place among the new lines → place among the old ones of the same fastener."""
    found: dict[int, int] = {}
    for alike in (_equal, _same_there, _same):
        for at, line in enumerate(new):
            if at in found:
                continue
            free = [was for was in range(len(old)) if was not in found.values()]
            # The line of the same number first: two lines of one fastener keep their places.
            free.sort(key=lambda was: was != at)
            match = next((was for was in free if alike(old[was], line)), None)
            if match is not None:
                found[at] = match
    return found


def _equal(old: Fastener, new: Fastener) -> bool:
    return _begun_anew(old) == _begun_anew(new)


def _same_there(old: Fastener, new: Fastener) -> bool:
    return _same(old, new) and old.place.casefold() == new.place.casefold()


def _same(old: Fastener, new: Fastener) -> bool:
    """Whether the two are one fastener; what was left empty in one of them may be filled in."""
    if any(getattr(old, name) != getattr(new, name) for name in _WHICH):
        return False
    pairs = ((getattr(old, name), getattr(new, name)) for name in _FURTHER)
    return all(one == other or not one or not other for one, other in pairs)


def _as_they_say(old: Sequence[Fastener], new: Sequence[Fastener]) -> tuple[Fastener, ...]:
    known = [*old[: len(new)], *[None] * (len(new) - len(old))]
    return tuple(
        replace(line, torqued=None, passes=())
        if was is not None
        and line.torqued == was.torqued
        and _torque_figures(line) != _torque_figures(was)
        else line
        for was, line in zip(known, new, strict=True)
    )


def _has_state(line: Fastener) -> bool:
    return bool(line.back or line.short or line.torqued is not None or line.renewed)


def _begun_anew(line: Fastener) -> Fastener:
    return replace(line, back=0, short=0, torqued=None, passes=(), renewed=False)


def _carried(old: Fastener, new: Fastener) -> Fastener:
    back = min(old.back, new.quantity)
    same = _torque_figures(old) == _torque_figures(new)
    return replace(
        new,
        back=back,
        short=min(old.short, new.quantity - back),
        torqued=old.torqued if same else None,
        passes=old.passes if same else (),
        renewed=old.renewed and new.single_use,
    )


def _torque_figures(line: Fastener) -> tuple[float, float, str] | None:
    torque = line.torque
    return (torque.low, torque.high, torque.unit) if torque is not None else None


def _question(part: Part, line: Fastener) -> str:
    state = [f"{line.back} back" if line.back else "", f"{line.short} short" if line.short else ""]
    state += ["torqued" if line.torqued is not None else "", "renewed" if line.renewed else ""]
    return (
        f"{spell(line)} of {named(part)} ({', '.join(filter(None, state))}) would become "
        "another fastener; say whether these are the same ones with their text put right, or "
        "others that have yet to go in."
    )
