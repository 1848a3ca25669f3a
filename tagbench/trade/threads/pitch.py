"""A pitch as it is found at the bench: by gauge, by threads per inch, or counted over a length."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.quantities.typed import parse_length, parse_number, tidy

#: What a steel rule or caliper laid along the crests may be off, mm.
RULE_UNCERTAINTY_MM = 0.1


@cache
def _per_inch() -> re.Pattern[str]:
    return re.compile(
        r"(?P<count>[0-9./ -]+?)\s?(?:tpi|t\.p\.i\.?|threads? (?:per|an|to the) inch)"
    )


@cache
def _counted() -> re.Pattern[str]:
    return re.compile(
        r"(?P<count>[0-9]{1,3})\s?(?:threads?|pitches|turns|crests)?\s?(?:in|over|on|across|=)\s"
        r"(?P<length>.+)",
        re.IGNORECASE,
    )


_FORMS = "write 0.8, 0.8 mm, 20 tpi or 10 threads in 12.5 mm"


class Pitch(msgspec.Struct, frozen=True):
    """A measured pitch."""

    mm: float
    """Crest to crest, mm."""
    uncertainty_mm: float = 0.0
    """How far it may be off, mm; 0 for a gauge leaf that fits."""
    threads_per_inch: float | None = None
    """The count that was typed, when it was typed so."""


def parse_pitch(text: str) -> Pitch:
    """`0.8`, `0.8 mm`, `20 tpi`, `10 threads in 12.5 mm`; BadInput for anything else."""
    clean = tidy(text)
    if per_inch := _per_inch().fullmatch(clean.lower()):
        count = _positive(parse_number(per_inch["count"].strip()), text)
        return Pitch(25.4 / float(count), threads_per_inch=float(count))
    if counted := _counted().fullmatch(clean):
        return pitch_over(int(counted["count"]), parse_length(counted["length"], "mm").number("mm"))
    try:
        length = parse_length(clean, "mm")
    except BadInput as error:
        raise BadInput(f"“{text}” is not a pitch; {_FORMS}.") from error
    return Pitch(float(_positive(length.to("mm").value, text)))


def pitch_over(threads: int, length_mm: float) -> Pitch:
    """The pitch of `threads` whole pitches that take up `length_mm`, with a rule's uncertainty."""
    if threads < 1 or length_mm <= 0:
        raise BadInput(f"A pitch is counted over at least one thread and a length; {_FORMS}.")
    return Pitch(length_mm / threads, RULE_UNCERTAINTY_MM / threads)


def _positive(value: Fraction, text: str) -> Fraction:
    if value <= 0:
        raise BadInput(f"“{text}” is not a pitch; {_FORMS}.")
    return value
