"""A castle nut as people say it: thread, slots and cross-holes in any order."""

from __future__ import annotations

import re

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.threads.designation import parse_thread
from tagbench.trade.threads.thread import Thread

_SLOTS = re.compile(r"\b([0-9]{1,3})\s*-?\s*slots?\b", re.IGNORECASE)
_HOLES = re.compile(
    r"\b([0-9]{1,3}|one|two)\s*(?:cross|cotter|pin|drilled)?[\s-]*holes?\b", re.IGNORECASE
)
_NUMBERS = {"one": 1, "two": 2}


class NutSaid(msgspec.Struct, frozen=True):
    """What was said about a castle nut."""

    thread: Thread | None = None
    """Its thread; None when it was not said."""
    slots: int = 6
    """Slots, six when not said."""
    cross_holes: int = 1
    """Holes through the bolt, one when not said."""


def parse_castle_nut(text: str) -> NutSaid:
    """`M12x1.25`, `6 slots`, `8`, `3/8-24, 6 slots, 2 holes`; BadInput for anything else."""
    slots, holes = _SLOTS.search(text), _HOLES.search(text)
    rest = _HOLES.sub(" ", _SLOTS.sub(" ", text)).strip(" ,;+")
    said = NutSaid(
        slots=int(slots[1]) if slots else 6,
        cross_holes=_NUMBERS.get(holes[1].lower()) or int(holes[1]) if holes else 1,
    )
    if not rest:
        return said
    if rest.isdecimal() and slots is None:
        return msgspec.structs.replace(said, slots=int(rest[:3]))
    try:
        return msgspec.structs.replace(said, thread=parse_thread(rest))
    except BadInput as error:
        raise BadInput(
            f'"{text}" is no castle nut; write its thread, as M12x1.25, and 8 slots or 2 holes'
            " where it has not 6 and 1."
        ) from error
