"""Names a thread from what was read at the bench, typed as people type it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.quantities.lengths import parse_lengths
from tagbench.trade.quantities.shown import plain_decimal
from tagbench.trade.quantities.typed import parse_length, parse_number
from tagbench.trade.quantities.units import Quantity
from tagbench.trade.threads.naming import CALIPER_UNCERTAINTY_MM, name_thread
from tagbench.trade.threads.naming_notes import ThreadCandidate
from tagbench.trade.threads.pitch import Pitch, parse_pitch

#: Readings further apart than this, mm, are worth taking again (common practice, no source).
_WIDE_MM = Fraction(1, 10)
_ANGLE = re.compile(r"(.+?)\s*(?:°|deg|degrees?)?", re.IGNORECASE)


class Across(msgspec.Struct, frozen=True):
    """A diameter from one reading or several."""

    mm: float
    """The middle of the readings, mm."""
    uncertainty_mm: float
    """What the caliper may be off, or what reaches all readings, whichever is more, mm."""
    note: str = ""
    """Why the readings should be taken again; empty when they agree."""


class NamedThread(msgspec.Struct, frozen=True):
    """What a measured thread may be, and from what."""

    across: Across
    """The diameter it was named from."""
    pitch: Pitch | None
    """The pitch, if it was measured."""
    candidates: list[ThreadCandidate]
    """Best first; never empty."""
    sentence: str
    """What was measured, and how well anything fits."""


def name_measured(
    across: str,
    pitch: str = "",
    *,
    angle: str = "",
    uncertainty: str = "",
    internal: bool = False,
    unit: str = "mm",
) -> NamedThread:
    """The threads that fit readings as typed: `4.95 4.96`, `0.8` or `20 tpi`, `55°`, `0.02 mm`.

    `unit` is taken for diameters without one; a pitch without a unit is in mm. BadInput for what
    cannot be read or cannot be.
    """
    off = _uncertainty(uncertainty)
    size = across_of(parse_lengths(across, unit), off)
    measured = parse_pitch(pitch) if pitch.strip() else None
    candidates = name_thread(
        size.mm,
        pitch_mm=measured.mm if measured and measured.threads_per_inch is None else None,
        tpi=measured.threads_per_inch if measured else None,
        uncertainty_mm=size.uncertainty_mm,
        angle=parse_angle(angle) if angle.strip() else None,
        internal=internal,
        pitch_uncertainty_mm=measured.uncertainty_mm if measured else 0.0,
    )
    return NamedThread(size, measured, candidates, _sentence(size, measured, candidates, internal))


def across_of(readings: Sequence[Quantity], uncertainty: Quantity) -> Across:
    """The middle of some readings; they widen the uncertainty when they lie further apart."""
    values = [reading.to("mm").value for reading in readings]
    low, high = min(values), max(values)
    off = max(uncertainty.to("mm").value, (high - low) / 2)
    note = ""
    if high - low > _WIDE_MM:
        apart = plain_decimal(high - low, 2)
        note = f"The readings lie {apart} mm apart: clean the thread and measure where it is whole."
    return Across(float((low + high) / 2), float(off), note)


def parse_angle(text: str) -> float:
    """A thread angle: `55`, `47.5°`, `60 deg`; BadInput for anything else."""
    found = _ANGLE.fullmatch(text.strip())
    try:
        return float(parse_number(found[1] if found else text))
    except BadInput as error:
        raise BadInput(f"“{text}” is not a thread angle; write 60, 55 or 47.5.") from error


def _uncertainty(text: str) -> Quantity:
    if not text.strip():
        return Quantity(Fraction(repr(CALIPER_UNCERTAINTY_MM)), "mm")
    return parse_length(text.strip().removeprefix("±").removeprefix("+-"), "mm")


def _sentence(
    across: Across, pitch: Pitch | None, candidates: list[ThreadCandidate], internal: bool
) -> str:
    where = "inside the hole" if internal else "across"
    measured = f"{across.mm:.3f}".rstrip("0").rstrip(".")
    said = f"{measured} mm ± {across.uncertainty_mm:.3g} {where}, {_pitch_words(pitch)}"
    if not any(one.inside_limits for one in candidates):
        return f"{said}: no thread fits, these come nearest:"
    return f"{said}:"


def _pitch_words(pitch: Pitch | None) -> str:
    if pitch is None:
        return "pitch not measured"
    if pitch.threads_per_inch is not None:
        return f"{pitch.threads_per_inch:g} threads per inch"
    off = f" ± {pitch.uncertainty_mm:.2g}" if pitch.uncertainty_mm else ""
    return f"pitch {pitch.mm:.4g} mm{off}"
