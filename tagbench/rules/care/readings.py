"""Readings as people type them, and what is usually measured on a kind of part."""

from __future__ import annotations

import math
import re

from tagbench.errors import BadInput
from tagbench.records import Part, Reading, replace
from tagbench.rules.care.inspecting import part_kind
from tagbench.rules.find.words import stems
from tagbench.trade.quantities.typed import parse_number

_FIGURE_AND_UNIT = re.compile(r"\s*(?P<figures>[-0-9.,/;\s]*[0-9])\s*(?P<unit>[^0-9]*)")


def parse_values(text: str) -> tuple[tuple[float, ...], str]:
    """Readings and their unit, empty when none was typed: `2.1; 2.3 mm`, `1,95 2,00`, `3/8 in`.

    Several are separated with blanks or `;`. Raises BadInput for what is no figure.
    """
    if not text.strip():
        return (), ""
    found = _FIGURE_AND_UNIT.fullmatch(text)
    if found is None:
        raise BadInput(f"“{text}” is not a reading; write it as 2.1 mm, or several as 2.1; 2.3 mm.")
    pieces = [piece for piece in re.split(r"[;\s]+", found["figures"].strip()) if piece]
    return tuple(float(parse_number(piece)) for piece in pieces), found["unit"].strip()


def parse_limit(text: str) -> float | None:
    """A wear limit without its unit, None for nothing typed; BadInput for what is no figure."""
    return float(parse_number(text)) if text.strip() else None


def check_reading(reading: Reading) -> Reading:
    """The reading tidied; BadInput for no words, or for limits the wrong way round."""
    what = " ".join(reading.what.split())
    if not what:
        raise BadInput("Say what is measured, for example “lining thickness”.")
    figures = (*reading.values, reading.low or 0, reading.high or 0, reading.uncertainty)
    if not all(map(math.isfinite, figures)):
        raise BadInput(f"The figures of the {what} must be ordinary numbers.")
    if reading.low is not None and reading.high is not None and reading.low > reading.high:
        raise BadInput(
            f"The smallest allowed {what} ({reading.low:g}) is above the largest "
            f"({reading.high:g}); change them round."
        )
    return replace(reading, what=what, unit=" ".join(reading.unit.split()) or "mm")


def same_reading(one: Reading, other: Reading) -> bool:
    """Whether two readings are of the same thing, however it is spelled."""
    return stems(one.what) == stems(other.what)


def usual_readings(part: Part) -> tuple[Reading, ...]:
    """What is usually measured on this kind of part and is not on it yet, without values."""
    kind = part_kind(part)
    usual = kind.readings if kind is not None else ()
    return tuple(r for r in usual if not any(same_reading(r, one) for one in part.readings))
