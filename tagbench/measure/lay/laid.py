"""All pieces of a picture: measured, named, counted, equal ones together."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

import cv2
import numpy as np

from tagbench.errors import BadInput
from tagbench.measure.edges import edge_light, edges_near, sharpen
from tagbench.measure.lay.plainness import rim_doubted
from tagbench.measure.lay.rings import Ring, measure_ring
from tagbench.measure.lay.screw import SHADOWED, TIP_LOST, Screw, measure_screw, unsure
from tagbench.measure.lay.separate import Piece, separate
from tagbench.measure.lay.standard_sizes import inch_length, standard_length, standard_washer
from tagbench.measure.rectification import MORE_MM, RectifiedSheet, StepReport
from tagbench.trade.threads.designation import parse_thread
from tagbench.trade.threads.naming import name_thread
from tagbench.trade.threads.naming_notes import ThreadCandidate
from tagbench.trade.threads.sizes import all_threads
from tagbench.trade.tools.spanners import spanner_sizes

PieceKind = Literal["screw", "stud", "washer", "ring", "nut"]
_LEAST_LENGTH_DOUBT_MM = 0.35
_SHADOWED_LENGTH_MM, _MOST_LENGTH_DOUBT_MM = 0.6, 0.8
CRESTS_LOST = "its crests are worn, or lost in shadow or shine"
LENGTH_LOST = "its length is not readable: turn it across the view, or hold the camera steeper"
DIAMETER_LOST = "its diameter is not readable, measure it with the caliper"
_DOUBTS_COUNTERSUNK = 4
"""Seen at a slant, the rim of a countersunk head is soon taken for a part of its cone."""
_RING_DOUBT_MM, _NUT_DOUBT_MM = 0.28, 0.2
"""A ring's contact shadow widens it all round; an edge that is no circle tells of worse."""
_SLIM = 1.45
_THIN_WALL = 0.1
_NEAR_RIM_MM, _RIM_WITHIN_MM = 0.41, 0.8
_UNDER_NAME, _OVER_NAME = 0.4, 0.12
RIM_LOST = "a nut or a ring whose rim is lost in its shadow or shine: move it, or the light"
_SHORT, _SHORT_UNREAD = 0.6, 1.5
"""What is shorter than so many diameters, with a thread and without one, is no screw for sure."""
_DOUBTS_BESIDE = 2.0
"""An everyday thread within so many doubts is not passed over for a rarer one."""
_SELDOM, _SELDOM_MM = 3, 1.1
"""Nor for one that is seldom met, such as M9, where a shadow of so much would make it that."""
_BESIDE_MM = 0.2
_OVER_LIMITS_MM = 0.1
"""A picture may show a screw so much thicker than its thread allows (blur, shadow). Below what the
thread allows (ISO 965-1) its crests are worn, or they were not seen."""
_SAME_PITCH = 0.02
"""Over its turns a pitch is read to so much (share): 26 threads an inch are not 1 mm."""


@dataclass(frozen=True, slots=True)
class MeasuredPiece:
    """One piece, mm; None for what it has not."""

    kind: PieceKind
    x: float
    y: float
    name: str
    """What it is taken for: `M6x1x25 hex`, `washer 6.4x12`, `nut M6x1`."""
    length: float | None = None
    diameter: float | None = None
    pitch: float | None = None
    head: str | None = None
    head_width: float | None = None
    head_height: float | None = None
    outside: float | None = None
    inside: float | None = None
    across_flats: float | None = None
    uncertainty: float = 0.1
    """What the diameter, outside or width across flats may be off; also where no diameter is told,
    for then the thread is told by its pitch and by a diameter that is no more than likely."""
    length_uncertainty: float | None = None
    candidates: tuple[ThreadCandidate, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class Unclear:
    """A piece that is not measured, and why."""

    x: float
    """mm to the right of the lower left of `of`."""
    y: float
    """mm up from there."""
    why: str
    of: str = ""
    """What its place is told from: the mat's plain middle, or the scan."""


@dataclass(frozen=True, slots=True)
class Laid:
    """What lies on the sheet."""

    pieces: tuple[MeasuredPiece, ...]
    unclear: tuple[Unclear, ...]
    residual_mm: float
    source: str
    note: str = ""
    """What the person should know of the picture's scale."""

    @property
    def fasteners(self) -> str:
        """Equal pieces together, as fasteners are typed: `2x M6x1x25 hex; 4x washer 6.4x12`."""
        return "; ".join(f"{count}x {name}" for name, count in self.groups())

    def groups(self) -> list[tuple[str, int]]:
        """Names and how many of each, in the order in which they lie."""
        counts: dict[str, int] = {}
        for piece in self.pieces:
            counts[piece.name] = counts.get(piece.name, 0) + 1
        return list(counts.items())


def measure_laid(sheet: RectifiedSheet, told: StepReport = lambda _: None) -> Laid:
    """Every piece on a sheet; BadInput where nothing lies there."""
    told("telling the pieces apart")
    pieces, parted = separate(sheet)
    light = edge_light(sheet, parted.body)
    (left, low), of = origin_of(sheet)
    found: list[MeasuredPiece] = []
    unclear: list[Unclear] = []
    for number, piece in enumerate(pieces, 1):
        told(f"measuring piece {number} of {len(pieces)}")
        place = piece.middle[0] - left, low - piece.middle[1]
        if piece.trouble:
            unclear.append(Unclear(*place, piece.trouble, of))
            continue
        measured = _measured(light, sheet, piece, place)
        if isinstance(measured, str):
            unclear.append(Unclear(*place, measured, of))
        else:
            found.append(measured)
    return Laid(tuple(found), tuple(unclear), sheet.residual_mm, sheet.source, sheet.note)


def origin_of(sheet: RectifiedSheet) -> tuple[tuple[float, float], str]:
    """The lower left from where places are told, on the sheet in mm, and what it is that of."""
    low = sheet.top + sheet.pixels.shape[0] / sheet.per_mm
    if sheet.camera is None:
        return (sheet.left, low), "the scan"
    return (sheet.left + MORE_MM, low - MORE_MM), "the mat's plain middle"


def _measured(
    light: np.ndarray, sheet: RectifiedSheet, piece: Piece, place: tuple[float, float]
) -> MeasuredPiece | str:
    """The piece, or a sentence that says why it is not measured."""
    _, sides, _ = cv2.minAreaRect(piece.outer.astype(np.float32))
    if max(sides) < _SLIM * min(sides):
        eye = sheet.camera.eye if sheet.camera else None
        gap = sharpen(light, sheet, piece.gap, inward=0.4) if piece.gap is not None else None
        ring = measure_ring(
            sharpen(light, sheet, piece.outer), gap, eye,
            lambda outline: sharpen(light, sheet, outline, inward=_NEAR_RIM_MM),
            lambda outline: edges_near(light, sheet, outline, _RIM_WITHIN_MM),
        )  # fmt: skip
        if ring is not None and (ring.is_nut or ring.inside is not None):
            doubted = rim_doubted(light, sheet, ring)
            return RIM_LOST if doubted else _named_ring(ring, place)
    screw = measure_screw(light, sheet, piece.outer)
    if isinstance(screw, str):
        compact = max(sides) < _SLIM * min(sides)
        return RIM_LOST if compact and piece.gap is not None else screw
    short = _SHORT if screw.thread.pitch else _SHORT_UNREAD
    if screw.length < short * screw.diameter:
        return "too short to be told from a nut on its side: lay it another way"
    return named_screw(screw, place)


def _named_ring(ring: Ring, place: tuple[float, float]) -> MeasuredPiece:
    least, spreads = (_NUT_DOUBT_MM, 1.0) if ring.is_nut else (_RING_DOUBT_MM, 3.0)
    doubt = round(least + spreads * ring.spread, 2)
    if ring.is_nut:
        candidates = nut_threads(ring.outside)
        name = (
            f"nut {candidates[0].designation}"
            if candidates
            else f"nut {ring.outside:.1f} across flats"
        )
        return MeasuredPiece(
            "nut", *place, name, across_flats=ring.outside, uncertainty=doubt,
            candidates=candidates,
            note="the thread is taken from the width across flats; try it on a screw",
        )  # fmt: skip
    assert ring.inside is not None
    sold = standard_washer(ring.inside, ring.outside, doubt)
    inside, outside = sold or (round(ring.inside, 1), round(ring.outside, 1))
    thin = (ring.outside - ring.inside) / 2 < _THIN_WALL * ring.outside
    kind: PieceKind = "ring" if thin and sold is None else "washer"
    return MeasuredPiece(
        kind, *place, f"{kind} {inside:g}x{outside:g}", outside=ring.outside, inside=ring.inside,
        uncertainty=doubt,
    )  # fmt: skip


def nut_threads(across_mm: float) -> tuple[ThreadCandidate, ...]:
    """The threads that nuts of this width have, the everyday ones first."""
    found = []
    for thread in all_threads():
        sizes = [size.across_mm for size in spanner_sizes(thread, "nut")]
        off = [across_mm - size for size in sizes if -_UNDER_NAME <= across_mm - size <= _OVER_NAME]
        if off:
            nearest = min(off, key=abs)
            found.append((thread.common, thread.system != "ISO metric", abs(nearest), thread))
    found.sort(key=lambda one: one[:3])
    return tuple(
        ThreadCandidate(
            designation=thread.designation, inside_limits=True, off_by_mm=round(off, 3),
            limit_min_mm=0.0, limit_max_mm=0.0, pitch_mm=round(thread.pitch_mm, 4),
            angle_deg=thread.angle_deg, note="by the width across flats alone",
        )
        for _, _, off, thread in found[:6]
    )  # fmt: skip


def named_screw(screw: Screw, place: tuple[float, float]) -> MeasuredPiece | str:
    """What a screw is taken for; a sentence where its length or diameter cannot be promised."""
    across, pitch, doubt = screw.diameter, screw.thread.pitch, screw.diameter_doubt
    trouble = screw.trouble
    candidates = thread_candidates(across, pitch, doubt)
    if pitch and not fits_a_thread(pitch, candidates):
        # the pitch is read from many turns: it is the diameter that a shadow may have widened
        doubt = unsure(across)
        candidates = thread_candidates(across, pitch, doubt)
        if not fits_a_thread(pitch, candidates):
            return (
                f"its pitch of {pitch:.2f} mm and its diameter of about {across:.1f} mm fit no "
                "thread: turn it or move the light, or measure it"
            )
        trouble = trouble or SHADOWED
    if everyday := passed_over(across, pitch, doubt, candidates):
        trouble = (
            f"nearest to {candidates[0].designation}, which is seldom met, and shadows make a "
            "piece wider"
        )
        doubt = max(unsure(across), abs(across - everyday) + _BESIDE_MM)
        candidates = thread_candidates(across, pitch, doubt)
    if pitch and not trouble and not _as_thick(across, candidates):
        trouble, doubt = CRESTS_LOST, unsure(across)
    # what may be so far off is named by its pitch, and never after a thread that is seldom met
    seldom = bool(candidates) and parse_thread(candidates[0].designation).common == _SELDOM
    told = candidates if not trouble or (pitch and not seldom) else ()
    if trouble:
        if screw.tip_doubted:
            return TIP_LOST
        trouble = f"{DIAMETER_LOST}: {trouble}"
        if not (pitch and told):
            return trouble
    kind: PieceKind = "screw" if screw.head else "stud"
    flats = (
        screw.head_width * float(np.cos(np.pi / 6))
        if screw.head == "hex" and screw.head_width
        else None
    )
    notes = [why for why in (trouble, screw.thread.why) if why]
    if screw.head in ("hex", "cheese"):
        alike = "cheese" if screw.head == "hex" else "hexagon"
        notes.append(f"a {alike} head looks alike from the side")
    times = _DOUBTS_COUNTERSUNK if screw.head == "countersunk" else 2
    least = _SHADOWED_LENGTH_MM if trouble else _LEAST_LENGTH_DOUBT_MM
    length_doubt = max(least, times * screw.length_doubt)
    if length_doubt > _MOST_LENGTH_DOUBT_MM:
        return LENGTH_LOST
    return MeasuredPiece(
        kind, *place, screw_name(screw.length, across, screw.head, told),
        length=screw.length, diameter=None if trouble else screw.diameter, pitch=screw.thread.pitch,
        head=screw.head or None, head_width=screw.head_width, head_height=screw.head_height,
        across_flats=flats, uncertainty=round(doubt, 2),
        length_uncertainty=round(length_doubt, 2), candidates=candidates,
        note="; ".join(notes),
    )  # fmt: skip


def fits_a_thread(pitch: float, candidates: tuple[ThreadCandidate, ...]) -> bool:
    """Whether a thread of this pitch is as thick as was measured."""
    return any(
        one.inside_limits and abs(one.pitch_mm / pitch - 1) < _SAME_PITCH for one in candidates
    )


def _as_thick(diameter: float, candidates: tuple[ThreadCandidate, ...]) -> bool:
    """Whether the likeliest thread is as thick as was measured, by its own limits."""
    best = next(iter(candidates), None)
    return best is None or best.limit_min_mm <= diameter <= best.limit_max_mm + _OVER_LIMITS_MM


def passed_over(
    diameter: float, pitch: float | None, doubt: float, candidates: tuple[ThreadCandidate, ...]
) -> float | None:
    """The diameter of an everyday thread near by where only a rarer one lies within the doubt."""
    best = next(iter(candidates), None)
    if best is None or not best.inside_limits:
        return None
    rank = parse_thread(best.designation).common
    far = min(_SELDOM_MM, diameter / 3) if rank == _SELDOM else _DOUBTS_BESIDE * doubt
    for other in thread_candidates(diameter, pitch, far):
        alike = pitch is None or abs(other.pitch_mm / best.pitch_mm - 1) < _SAME_PITCH
        rarer = rank - parse_thread(other.designation).common
        if other.inside_limits and alike and rarer > 0:
            return (other.limit_min_mm + other.limit_max_mm) / 2
    return None


def thread_candidates(
    diameter: float, pitch: float | None, doubt: float
) -> tuple[ThreadCandidate, ...]:
    """The threads that it may be, best first, with the doubt that a picture leaves."""
    try:
        named = name_thread(
            diameter, pitch, uncertainty_mm=doubt,
            pitch_uncertainty_mm=0.015 * pitch if pitch else 0.0,
        )  # fmt: skip
    except BadInput:
        return ()
    return tuple(named[:6])


def screw_name(
    length: float, diameter: float, head: str, candidates: Iterable[ThreadCandidate]
) -> str:
    """`M6x1x25 hex`; the figures as measured where no thread is near."""
    best = next(iter(candidates), None)
    kind = head or "stud"
    sold = standard_length(length)
    if best is None or not best.inside_limits:
        return f"{diameter:.1f} mm x {sold or round(length, 1):g} mm {kind}"
    thread = parse_thread(best.designation)
    if thread.system in ("ISO metric", "BA"):
        return f"{best.designation}x{sold or round(length, 1):g} {kind}"
    return f"{best.designation} x {_inches(inch_length(length))} in {kind}"


def _inches(length: float) -> str:
    """`1-1/4`: to sixteenths."""
    whole = int(length)
    part = Fraction(round((length - whole) * 16), 16)
    if not part:
        return f"{whole}"
    return f"{whole}-{part}" if whole else f"{part}"
