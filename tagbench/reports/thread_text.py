"""What is said about a thread and about a measured one, in plain lines."""

from __future__ import annotations

from collections.abc import Iterator

from tagbench.trade.threads import ThreadCandidate, parse_thread
from tagbench.trade.threads.caliper import NamedThread
from tagbench.trade.threads.card import ThreadCard
from tagbench.trade.tools.spanners import AcrossFlats

_INCH_MM = 25.4
ALIKE = 6
"""So many look-alikes are told; the worst come first."""


def thread_lines(card: ThreadCard) -> Iterator[str]:
    """A thread: its limits, the hole, the spanner, and what it is mistaken for."""
    yield f"{card.designation}   {family(card)}, {card.angle_deg:g}°"
    yield _line(
        "outside",
        f"{_span(card, card.major_min_mm, card.major_max_mm)} when new,"
        f" class {card.limits_class}; nominal {card.diameter_mm:.4g} mm",
    )
    yield _line("pitch", f"{pitch_words(card.designation, card.pitch_mm)}")
    yield _line("hole", f"{_span(card, card.hole_minor_min_mm, card.hole_minor_max_mm)} inside")
    drill = card.tapping
    yield _line("tap drill", f"{drill.drill_mm:g} mm, {drill.depth_percent:.0f} % of the thread")
    lengths = ", ".join(f"{metal} {mm:.3g} mm" for metal, mm in drill.engaged_mm.items())
    if lengths:
        yield _line("engaged", f"{lengths} (common practice)")
    yield _line("stress area", f"{card.stress_area_mm2:.3g} mm²")
    yield _line("spanner", " or ".join(map(spanner_words, card.spanners)) or "no table holds it")
    for label, other in zip(
        ["look-alikes", *[""] * ALIKE], card.lookalike_notes[:ALIKE], strict=False
    ):
        yield _line(label, other.note)
    left = len(card.lookalike_notes) - ALIKE
    if left > 0:
        yield _line("", f"and {left} more, see --json")


def family(card: ThreadCard) -> str:
    """The family of standards and the series: `ISO metric coarse`, `unified UNF`, `BA`."""
    return " ".join(dict.fromkeys(filter(None, [card.system, card.series])))


def spanner_words(flats: AcrossFlats) -> str:
    """`13 mm (ISO 4014, 4017)`, and that a figure is to be tried first when it is from memory."""
    return (
        f"{flats.spanner} ({flats.standard}{', from memory: try it' if flats.from_memory else ''})"
    )


def pitch_words(designation: str, pitch_mm: float, *, short: bool = False) -> str:
    """`1.25 mm`, or `20 threads per inch (1.270 mm)` for a thread that is counted so."""
    if parse_thread(designation).system in ("ISO metric", "BA"):
        return f"{pitch_mm:.4g} mm"
    count = f"{_INCH_MM / pitch_mm:.4g}"
    return f"{count} tpi" if short else f"{count} threads per inch ({pitch_mm:.3f} mm)"


def named_lines(named: NamedThread) -> Iterator[str]:
    """What a measured thread may be, best first, each with its limits and what tells it apart."""
    yield named.sentence
    for one in named.candidates:
        yield f"  {candidate_sign(one)} {one.designation:15} {candidate_words(one)}"
        if one.note:
            yield f"      {one.note}"
    if named.across.note:
        yield named.across.note


def candidate_sign(one: ThreadCandidate) -> str:
    """A sign beside the words: whether the reading lies inside the limits."""
    return "=" if one.inside_limits else "~"


def candidate_words(one: ThreadCandidate) -> str:
    """`new 4.83 to 4.98 mm, pitch 0.8 mm, 60°`."""
    pitch = pitch_words(one.designation, one.pitch_mm)
    return f"new {limits_words(one)}, pitch {pitch}, {one.angle_deg:g}°"


def limits_words(one: ThreadCandidate) -> str:
    """`4.83 to 4.98 mm`: what a new one measures."""
    return f"{one.limit_min_mm:.2f} to {one.limit_max_mm:.2f} mm"


def _line(label: str, words: str) -> str:
    return f"  {label:12}{words}"


def _span(card: ThreadCard, low: float, high: float) -> str:
    """Both ends in mm, and in inches for a thread that is made in them."""
    said = f"{low:.2f} to {high:.2f} mm"
    if card.system in ("ISO metric", "BA"):
        return said
    return f"{said} ({low / _INCH_MM:.4f} to {high / _INCH_MM:.4f} in)"
