"""Stacks: shims, washers, plates, rollers in their order from a named side, and what they measure.

Typed as `from the nut: shim 0.3; 2x friction plate 3.0; 24 needle rollers`. The named side is the
outside, which comes off first and goes on last, unless the order runs `outwards`.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import NamedTuple

from tagbench.errors import BadInput
from tagbench.records import Part, Stack, StackPiece, replace
from tagbench.rules.describe.phrases import quantity
from tagbench.trade.quantities.typed import parse_length

STACK_EXAMPLE = "from the nut: shim 0.3; 2x friction plate 3; 24 needle rollers"
"""How a stack is typed."""
_SIDE = re.compile(
    r"\s*from\s+(?:the\s+)?(?P<side>[^:;]+?)(?P<way>\s+(?:inwards?|outwards?))?\s*:\s*", re.I
)
_COUNT = re.compile(r"(?P<count>\d{1,3})\s*(?:[x×]\s*|\s+)(?=[^\W\d])", re.I)
_THICK = re.compile(
    r"\s+(?P<thick>\d+(?:[.,]\d+)?(?:\s*(?:mm|in|inch|thou|\"))?|\d+/\d+\s*(?:in|inch|\")?)"
    r"(?:\s+thick)?\s*$",
    re.I,
)
_BESIDE = re.compile(r"\b(?:needles?|rollers?|balls?)\b", re.I)
_BETWEEN = re.compile(r"\s*(?:;|\n|,\s)\s*")


class MeasuredStack(NamedTuple):
    """How thick a stack is."""

    thickness_mm: float
    """What was measured, all together."""
    unmeasured: tuple[str, ...]
    """What was not measured."""

    @property
    def words(self) -> str:
        """`12.3 mm together`, `12.3 mm without the thrust washer, which is not measured`."""
        total = f"{self.thickness_mm:g} mm"
        if not self.unmeasured:
            return f"{total} together"
        which = " and the ".join(self.unmeasured)
        verb = "is" if len(self.unmeasured) == 1 else "are"
        if not self.thickness_mm:
            return f"the {which} {verb} not measured"
        return f"{total} without the {which}, which {verb} not measured"


def read_stack(text: str) -> Stack:
    """A stack as it is typed. BadInput says what is missing."""
    found = _SIDE.match(text)
    if not found or not (side := found["side"].strip()):
        raise BadInput(f"Say from which side the order runs, such as: {STACK_EXAMPLE}.")
    body = text[found.end() :].strip(" ;,\n")
    pieces = tuple(_piece(one) for one in _BETWEEN.split(body) if one.strip())
    if len(pieces) < 2:
        raise BadInput(f"A stack has two pieces or more, such as: {STACK_EXAMPLE}.")
    outwards = (found["way"] or "").strip().casefold().startswith("out")
    return Stack(side=side, pieces=pieces, first_on="first" if outwards else "last")


def _piece(text: str) -> StackPiece:
    counted = _COUNT.match(text)
    count = int(counted["count"]) if counted else 1
    rest = text[counted.end() :] if counted else text
    thick = _THICK.search(rest)
    what = " ".join((rest[: thick.start()] if thick else rest).split())
    if not any(sign.isalpha() for sign in what) or not count:
        raise BadInput(f"“{text.strip()}” is not a piece of a stack; say what it is: shim 0.3.")
    if thick is None:
        return StackPiece(what=what, quantity=count)
    across = parse_length(thick["thick"], "mm").number("mm")
    if across <= 0:
        raise BadInput(f"“{text.strip()}” cannot be {thick['thick']} thick.")
    return StackPiece(what=what, quantity=count, thickness_mm=round(float(across), 4))


def piece_words(piece: StackPiece) -> str:
    """`2 × friction plate 3 mm`, `shim 0.3 mm`."""
    thick = f" {piece.thickness_mm:g} mm" if piece.thickness_mm is not None else ""
    named = quantity(piece.quantity, piece.what) if piece.quantity > 1 else piece.what
    return f"{named}{thick}"


def spell_stack(stack: Stack) -> str:
    """The stack as it is typed; `read_stack` reads it back."""
    way = " outwards" if stack.first_on == "first" else ""
    pieces = "; ".join(piece_words(one).replace(" × ", "x ") for one in stack.pieces)
    return f"from the {stack.side}{way}: {pieces}"


def stack_words(stack: Stack) -> str:
    """In the order from the named side, with what they measure together."""
    way = "outwards" if stack.first_on == "first" else "inwards"
    pieces = ", ".join(map(piece_words, stack.pieces))
    return f"from the {stack.side} {way}: {pieces}; {thickness(stack).words}"


def fitting_order(stack: Stack) -> list[StackPiece]:
    """The pieces in the order in which they go on."""
    return list(stack.pieces if stack.first_on == "first" else stack.pieces[::-1])


def going_on_lines(part: Part) -> list[str]:
    """`1. 2 × friction plate 3 mm`, … and the measured sum; empty without a stack."""
    if part.stack is None:
        return []
    steps = [f"{at}. {piece_words(one)}" for at, one in enumerate(fitting_order(part.stack), 1)]
    side = part.stack.side
    last = f"the {side} side is {'last' if part.stack.first_on == 'last' else 'first'}"
    return [*steps, f"{thickness(part.stack).words}; {last.replace('side side', 'side')}"]


def thickness(stack: Stack) -> MeasuredStack:
    """How thick it is. Needles, rollers and balls lie beside one another and add nothing."""
    solid = [one for one in stack.pieces if not _BESIDE.search(one.what)]
    total = sum(
        (Decimal(str(one.thickness_mm)) * one.quantity for one in solid if one.thickness_mm),
        Decimal(0),
    )
    unknown = dict.fromkeys(one.what for one in solid if one.thickness_mm is None)
    return MeasuredStack(float(total), tuple(unknown))


def with_stack(part: Part, text: str) -> Part:
    """The part with its stack as typed; without one for an empty text."""
    return replace(part, stack=read_stack(text) if text.strip() else None)
