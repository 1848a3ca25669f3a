"""A screw or stud lying on its side: the solid that fits its outline, and the thread on it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import cv2
import numpy as np
from numpy.typing import NDArray

from tagbench.measure.edges import Light, has_edge, sharpen, signed_area, smoothed
from tagbench.measure.lay.plainness import Tip, side_doubted, tip_sight
from tagbench.measure.lay.solid import FLAT, Solid, off_outline
from tagbench.measure.lay.solid_fit import Fitted, fit_solid, posed, refit
from tagbench.measure.lay.strip import Frame, PieceEdges, along_edges
from tagbench.measure.lay.thread_profile import FEWEST_PIXELS, ThreadProfile, read_thread
from tagbench.measure.lay.thread_view import under_crests
from tagbench.measure.rectification import RectifiedSheet
from tagbench.measure.solver import Array

HeadShape = Literal["hex", "socket", "cheese", "pan", "countersunk", ""]

_HEX_WIDE = 1.79
"""A hexagon is wider over its corners than so many diameters (ISO 4017: 1.85 to 2.0), a cheese or
socket head is not (ISO 1207 and 4762: 1.5 to 1.75; both from memory)."""
_SOCKET_HIGH = 0.85
_DOMED_TOP, _DOMED_FROM = 0.82, 0.62
_ALIKE = 0.8
"""One form is believed over another when it fits so much better; else what is usual decides."""
_MOST_OFF_MM, _OFF_OVER, _MOST_ODD = 0.055, 3.0, 8.0
_OFF_OVER_RADIUS_MM = 2.2
"""What fits no better, turns of a thread smoothed over (steps of the outline), or is shaped so
unusually, is wrong in every third figure (rendered pictures)."""
_HARDLY_MM, _CLIPPED_MM = 0.2, 0.4
_AREA_AGREES = 0.15
_OUT_MM, _OUT_SHARE = 0.1, 0.06
_BESIDE_HEAD_MM, _BESIDE_TIP_MM = 0.4, 0.3
_FEWEST_COLUMNS = 25
_NEAR_MM, _NEAR_SHARE = 0.2, 0.07
_FEWEST_NEAR = 0.9
_FEWEST_SEEN, _FEWEST_SEEN_SIDE, _FEWEST_POINTS = 0.75, 0.65, 8
"""So much of the outline must show an edge, and so much of each side of the shank."""
_CLOSER_MM, _NEAREST_MM = 0.03, 0.4
_TIP_WITHIN_MM, _TIP_REACH, _FEWEST_TIP = 0.2, 1.2, 0.6
_SHORTER_MM = (-0.5, 0.6, 1.2)
_NO_HEAD = 1.3
"""No head is so slim (radii of the shank; ISO 4762, the slimmest, has 1.5): what fits one is a
stud of which one end is plain, or in shadow."""
NO_FASTENER = "no screw, washer or nut by its outline: two that touch, or one that stands on end"
HARDLY = (
    "its outline is hardly a screw's: two that touch, or an edge lost in shadow or shine; lay it "
    "another way, or move the light"
)
BROKEN = "its outline is broken by a bright reflection or a shadow: turn it, or move the light"
TIP_LOST = "where it ends is lost in shadow or shine: turn it, or move the light"
SHADOWED = "an edge is lost in shadow or shine"
BLURRED = "its edges are not sharp"
NO_THREAD = "a plain pin, or edges that are not sharp"
_USUAL_PITCH = 0.16
"""Pitch of a coarse thread over its diameter (ISO 261: 0.175 for M4, 0.15 for M10)."""
_DOUBT_MM, _DOUBT_UNREAD_MM = 0.18, 0.22
_UNSURE_MM, _UNSURE_SHARE, _MOST_UNSURE_MM = 0.3, 0.06, 0.9
_PLAIN_COLUMNS = 25
_FAINTEST_MM = 0.02
_USUAL_FALL, _ODD_SHARE, _CLOSELY_MM = 0.04, 0.2, 0.06
"""A fall (radians) so far from the usual leaves the length less sure, by so much of what it is; to
lie level is usual too where the outline is off by less."""
_NOT_SEEN = "pitch not readable: turn it across the view, the thread hardly shows along its edges"
_AGAIN_MM = 0.6
_PLAIN_HEIGHT_MM, _FEWEST_EVEN, _ONE_SIDE = 0.04, 0.4, 0.15
_SHALLOWEST = 0.04
"""The fainter edge follows the thread by so much of the pitch, seen straight across, or it is not
the thread's but its shadow's: a V of 60 degrees has a first harmonic of 0.25 before blur."""
_SURELY_SEEN, _OPEN_SHARE = 7.0, 0.5
"""Where the usual pitch has so many pixels of the picture, and its crests leave so much of its
roots open to the view, a thread is seen if there is one."""


@dataclass(frozen=True, slots=True)
class Screw:
    """What was measured of a screw or stud, mm."""

    length: float
    """Under the head; over all for a countersunk head and for a stud."""
    diameter: float
    """Outside diameter of the shank, over the crests where there is a thread."""
    head: HeadShape
    """Empty for a stud."""
    head_width: float | None
    """Over the corners of a hexagon, else the diameter."""
    head_height: float | None
    thread: ThreadProfile
    length_doubt: float
    diameter_doubt: float
    trouble: str = ""
    """Why the diameter is less sure than usual; its doubt says how much."""
    tip_doubted: bool = False
    """Whether the length is not to be believed where the diameter is not."""


@dataclass(frozen=True, slots=True)
class _Profile:
    """Radius along the axis as if the axis lay at height `height` all along."""

    x: Array
    share: Array
    """Radius over the distance from the eye down to the axis; radius itself without a camera."""
    crest: Array
    """The same from the middle line to either edge by itself, (2, n): the crests of a thread lie
    half a pitch apart on both sides."""
    middle: Array
    low: Array
    high: Array


def measure_screw(light: Light, sheet: RectifiedSheet, outer: Array) -> Screw | str:
    """The screw whose rough outer edge this is, or why it is none."""
    eye = sheet.camera.eye if sheet.camera else None
    first = sharpen(light, sheet, outer)
    area = abs(signed_area(first))
    fits = fit_solid(first, eye)
    if not fits:
        return NO_FASTENER
    # looked at again along the outline that fits: where the rough one was broken it was misled
    seen = sharpen(light, sheet, _contour(fits[0].solid.outline(eye)), inward=_AGAIN_MM)
    fits = refit(fits, seen, eye)
    if _apart(seen, fits[0].solid, eye) > _CLOSER_MM:
        # and once more for the nearest edges, when shadows beside them have led astray
        near = sharpen(light, sheet, _contour(fits[0].solid.outline(eye)), inward=_NEAREST_MM)
        closer = refit(fits[:2], near, eye)
        if closer[0].unlikely < fits[0].unlikely:
            fits, seen = closer, near
    solid, fitted = _chosen(fits)
    if fitted.spread < _HARDLY_MM and not _tip_seen(solid, seen, eye):
        shorter = _shorter(light, sheet, fitted, eye)
        if shorter is None:
            return HARDLY
        fitted, seen = shorter
    apart = 0.0
    if eye is not None:
        fitted, apart = posed(fitted, seen, eye)
    solid = fitted.solid
    if solid.shape != "stud" and solid.half < _NO_HEAD * solid.radius:
        return BROKEN
    hulls = solid.outline(eye)
    outline = _contour(hulls)
    why = _disbelieved(fitted, seen, eye, abs(signed_area(outline)) / area)
    if why:
        return why
    if not _seen_all_round(light, sheet, solid, hulls, seen):
        return BROKEN
    tip = tip_sight(light, sheet, outline, solid, eye)
    return TIP_LOST if tip.lost else _measured(light, sheet, fitted, eye, outline, tip, apart)


def _disbelieved(
    fitted: Fitted, seen: Array, eye: tuple[float, float, float] | None, covers: float
) -> str:
    """Why what fits an outline best is not it, covering so much of what was seen at first; empty
    when it is."""
    apart = _apart(seen, fitted.solid, eye)
    # a bright face may be lost in the first look; what fits closely at the second is right
    if fitted.spread > _HARDLY_MM or (apart > _CLOSER_MM and abs(covers - 1) > _AREA_AGREES):
        return NO_FASTENER
    return HARDLY if apart > _MOST_OFF_MM or fitted.odd > _MOST_ODD else ""


def _apart(seen: Array, solid: Solid, eye: tuple[float, float, float] | None) -> float:
    """How far an outline is from a solid's, mm, turns of a thread smoothed over: those of a thick
    one are longer."""
    off = np.clip(off_outline(seen, solid.outline(eye)), -_CLIPPED_MM, _CLIPPED_MM)
    off = smoothed(off, _OFF_OVER * max(1.0, solid.radius / _OFF_OVER_RADIUS_MM))
    return float(np.abs(off).mean())


def _tip_seen(solid: Solid, seen: Array, eye: tuple[float, float, float] | None) -> bool:
    """Whether the outline ends where the solid does, at its tip; a stud at both ends."""
    near = np.abs(off_outline(seen, solid.outline(eye))) < _TIP_WITHIN_MM
    way = np.array((np.cos(solid.turn), np.sin(solid.turn)))
    middle = np.array((solid.x, solid.y))
    for end in (1, -1) if solid.shape == "stud" else (1,):
        # the tip's middle and both its sides, seen from where the camera stands
        spot = Frame(middle, way, solid.heights[end > 0], eye).to_sheet(
            np.array((end * solid.length / 2 * float(np.cos(solid.tilt)),)), np.zeros(1)
        )[0]
        here = np.linalg.norm(seen - spot, axis=1) < _TIP_REACH * solid.radius
        if here.sum() < _FEWEST_POINTS or near[here].mean() < _FEWEST_TIP:
            return False
    return True


def _shorter(
    light: Light, sheet: RectifiedSheet, fitted: Fitted, eye: tuple[float, float, float] | None
) -> tuple[Fitted, Array] | None:
    """The same with its tip where an edge is: a shadow may go on from it as wide as it is. Not much
    shorter, or a turn of the thread is taken for the tip."""
    solid = fitted.solid
    level = np.array((np.cos(solid.turn), np.sin(solid.turn)))
    for by in _SHORTER_MM:
        if solid.length - by < solid.radius:
            continue
        x, y = np.array((solid.x, solid.y)) - level * by / 2
        start = replace(solid, x=float(x), y=float(y), length=solid.length - by)
        seen = sharpen(light, sheet, _contour(start.outline(eye)), inward=_NEAREST_MM)
        one = refit([replace(fitted, solid=start)], seen, eye)[0]
        if _tip_seen(one.solid, seen, eye):
            return one, seen
    return None


def _seen_all_round(
    light: Light, sheet: RectifiedSheet, solid: Solid, hulls: list[Array], seen: Array
) -> bool:
    """Whether an edge is seen along most of the outline, and along both sides of the shank."""
    # crests and roots of a thread lie to both sides of the mean
    far = _NEAR_MM + _NEAR_SHARE * solid.radius
    near = np.abs(off_outline(seen, hulls)) < far
    good = near & has_edge(light, sheet, seen, far)
    if near.mean() < _FEWEST_NEAR or good.mean() < _FEWEST_SEEN:
        return False
    way = np.array((np.cos(solid.turn), np.sin(solid.turn)))
    along = (seen - (solid.x, solid.y)) @ way
    across = (seen - (solid.x, solid.y)) @ (-way[1], way[0])
    shank = np.abs(along) < 0.4 * solid.length
    sides = [good[shank & side] for side in (across > 0, across <= 0)]
    return all(one.mean() >= _FEWEST_SEEN_SIDE for one in sides if len(one) > _FEWEST_POINTS)


def _contour(hulls: list[Array]) -> Array:
    """The outline round convex pieces that overlap, mm."""
    per_mm = 20.0
    corner = np.concatenate(hulls).min(axis=0) - 0.5
    size = np.ceil((np.concatenate(hulls).max(axis=0) - corner + 0.5) * per_mm).astype(int)
    cover = np.zeros((int(size[1]), int(size[0])), np.uint8)
    for hull in hulls:
        places = np.round(((hull - corner) * per_mm - 0.5) * 16).astype(np.int32)
        cv2.fillPoly(cover, [places], 255, shift=4)
    lines, _ = cv2.findContours(cover, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    longest = max(lines, key=len).reshape(-1, 2)
    return np.asarray((longest + 0.5) / per_mm + corner)


def _chosen(fits: list[Fitted]) -> tuple[Solid, Fitted]:
    """The form that is believed: the best fitting one, or of two alike the usual one."""
    best = fits[0]
    by_shape = {one.solid.shape: one for one in reversed(fits)}
    stud = by_shape.get("stud")
    if stud and best.solid.shape != "stud" and best.solid.half < _NO_HEAD * best.solid.radius:
        return stud.solid, stud
    one, other = by_shape.get("hex"), by_shape.get("round")
    if best.solid.shape in ("hex", "round") and one and other:
        low, high = sorted((one.unlikely, other.unlikely))
        tall = other.solid.high > _SOCKET_HIGH * 2 * (other.solid.radius + _THREAD_SHARE)
        if tall:
            best = other
        elif not _domed(other.solid):
            wide = one.solid.half > _HEX_WIDE * (one.solid.radius + _THREAD_SHARE)
            # no flat round head is as wide as a hexagon over its corners, however square it looks
            if wide or low > _ALIKE * high:
                best = one if wide else other
    return best.solid, best


_THREAD_SHARE = 0.06
"""The outline runs a little within the crests of the thread, mm."""


def _domed(solid: Solid) -> bool:
    return solid.top < _DOMED_TOP and solid.straight < _DOMED_FROM


def _head(solid: Solid, diameter: float) -> HeadShape:
    if solid.shape == "stud":
        return ""
    if solid.shape == "countersunk":
        return "countersunk"
    if solid.shape == "hex":
        return "hex"
    if _domed(solid):
        return "pan"
    return "socket" if solid.high > _SOCKET_HIGH * diameter else "cheese"


def _profile(edges: PieceEdges, frame: Frame) -> _Profile:
    """From the rays that touch the body: its radius and its middle."""
    if frame.eye is None:
        sides = np.stack((edges.high, -edges.low))
        middle = (edges.high + edges.low) / 2
        return _Profile(edges.x, sides.mean(axis=0), sides, middle, edges.low, edges.high)
    foot, down = frame.foot[1], frame.eye[2] - frame.height
    one, other = np.arctan((edges.low - foot) / down), np.arctan((edges.high - foot) / down)
    middle = (one + other) / 2
    share = np.sin((other - one) / 2) / np.cos(middle)
    axis = float(np.arctan(-foot / down))
    sides = np.sin(np.stack((other - axis, axis - one))) / np.cos(axis)
    return _Profile(edges.x, share, sides, foot + down * np.tan(middle), edges.low, edges.high)


def _measured(
    light: Light, sheet: RectifiedSheet, fitted: Fitted, eye: tuple[float, float, float] | None,
    outline: Array, tip: Tip, apart: float,
) -> Screw | str:  # fmt: skip
    solid = fitted.solid
    heights = solid.heights
    u = np.array((np.cos(solid.turn), np.sin(solid.turn)))
    frame = Frame(np.array((solid.x, solid.y)), u, sum(heights) / 2 if eye else 0.0, eye)
    edges = _clear(along_edges(light, sheet, frame, _shank(solid, eye)), frame, solid)
    if len(edges.x) < _FEWEST_COLUMNS:
        return "its head hides its shank: turn it across the view, or hold the camera steeper"
    profile = _profile(edges, frame)
    half = solid.length / 2 * float(np.cos(solid.tilt))
    run = (-half, half)
    thread = _thread(sheet, frame, profile, run, heights)
    if thread.period > 0 and thread.height < _FAINTEST_MM:
        # an edge is never so true that nothing repeats in it
        thread = replace(thread, pitch=None, period=0.0, why=_NOT_SEEN)
    if thread.period > 0 and thread.height > _PLAIN_HEIGHT_MM and thread.even < _ONE_SIDE:
        return BROKEN
    trouble = _edge_trouble(sheet, solid, frame, thread)
    pitch = thread.pitch or _USUAL_PITCH * 2 * solid.radius
    read = thread.pitch is not None
    if not trouble and side_doubted(light, sheet, outline, solid, pitch, read=read):
        trouble = SHADOWED
    diameter, doubt = _over_crests(sheet, profile, frame, run, solid, thread)
    if trouble:
        doubt = max(doubt, unsure(diameter))
    head = _head(solid, diameter)
    # what lies quite otherwise than it should was hardly seen to do so by its outline alone
    fall = abs(solid.fall)
    if fitted.spread < _CLOSELY_MM:
        fall = min(fall, abs(solid.tilt))
    odd = max(0.0, fall - _USUAL_FALL) * _ODD_SHARE * solid.length
    length_doubt = float(np.linalg.norm((fitted.doubt["length"], 0.04, odd, apart / 2)))
    return Screw(
        solid.length, diameter, head, 2 * solid.half if head else None,
        solid.high if head else None, thread, length_doubt, doubt, trouble, tip.doubted,
    )  # fmt: skip


def unsure(diameter: float) -> float:
    """What the diameter may be off where one of the edges may be a shadow's, mm."""
    return min(_MOST_UNSURE_MM, _UNSURE_MM + _UNSURE_SHARE * diameter)


def _clear(edges: PieceEdges, frame: Frame, solid: Solid) -> PieceEdges:
    """The columns where both edges are the shank's own: not hidden by the head, nor at the tip."""
    hulls = solid.outline(frame.eye)[: solid.shape != "stud"]
    keep = np.ones(len(edges.x), bool)
    if hulls:
        for side in (edges.low, edges.high):
            keep &= off_outline(frame.to_sheet(edges.x, side), hulls) > _BESIDE_HEAD_MM
    # the rim where the tip's chamfer begins, to either side of the axis
    ends = [solid.length / 2 - solid.chamfer]
    if solid.shape == "stud":
        ends.append(-solid.length / 2 + solid.chamfer)
    for end in ends:
        sign = 1 if end > 0 else -1
        height = solid.heights[1] - frame.height
        at = end * float(np.cos(solid.tilt))
        if frame.eye is not None:
            at = at + (at - frame.foot[0]) * height / (frame.eye[2] - solid.heights[1])
        keep &= sign * (edges.x - at) < -_BESIDE_TIP_MM
    return PieceEdges(edges.x[keep], edges.low[keep], edges.high[keep], edges.sure[keep])


def _shank(solid: Solid, eye: tuple[float, float, float] | None) -> Array:
    """The outline of the shank alone, a little without: its crests stand out over the mean."""
    out = _OUT_MM + _OUT_SHARE * solid.radius
    wider = replace(solid, radius=solid.radius + out, chamfer=0.5 * solid.chamfer)
    # it lies as the whole one lies: what it rests on is as much wider
    if solid.shape == "stud":
        return _contour(replace(wider, raised=-out).outline(eye))
    return _contour(
        replace(wider, half=solid.half + out / _resting(solid), raised=-out).outline(eye)[1:]
    )


def _resting(solid: Solid) -> float:
    return FLAT if solid.shape == "hex" else 1.0


def _on_axis(
    profile: _Profile, frame: Frame, run: tuple[float, float], heights: tuple[float, float]
) -> tuple[Array, Array]:
    """x along the level and what shares are to be multiplied by, the axis falling from the first
    height to the second."""
    if frame.eye is None:
        return profile.x, np.ones(len(profile.x))
    foot, top = frame.foot[0], frame.eye[2]
    height = np.full(len(profile.x), heights[1])
    x = profile.x
    for _ in range(3):
        x = foot + (profile.x - foot) * (top - height) / (top - frame.height)
        part = np.clip((x - run[0]) / max(run[1] - run[0], 1e-6), 0, 1)
        height = heights[0] + (heights[1] - heights[0]) * part
    return x, top - height


def _thread(
    sheet: RectifiedSheet, frame: Frame, profile: _Profile, run: tuple[float, float],
    heights: tuple[float, float],
) -> ThreadProfile:  # fmt: skip
    x, _ = _on_axis(profile, frame, run, heights)
    grown = (
        1.0 if frame.eye is None else (frame.eye[2] - heights[1]) / (frame.eye[2] - frame.height)
    )
    tilt = np.arcsin(np.clip((heights[0] - heights[1]) / max(run[1] - run[0], 1.0), -0.6, 0.6))
    inside = np.ones(len(x), bool)
    centre = frame.to_sheet(np.array((float(np.mean(profile.x[inside])),)), np.zeros(1))[0]
    detail = sheet.detail_along(centre, frame.u)
    return read_thread(
        x[inside] / np.cos(tilt), profile.high[inside] * grown, profile.low[inside] * grown, detail
    )


def _edge_trouble(sheet: RectifiedSheet, solid: Solid, frame: Frame, thread: ThreadProfile) -> str:
    """Why the edges are not those of a thread although one would be seen; empty when they are."""
    if thread.period > 0 and thread.even < _FEWEST_EVEN:
        # a thread on one side alone: the other edge is a shadow's
        return SHADOWED
    pitch, thick = thread.pitch or _USUAL_PITCH * 2 * solid.radius, 2 * solid.radius
    slant = _slant_to_axis(solid, frame)
    open_share = under_crests(thick, pitch, slant) / under_crests(thick, pitch, 0.0)
    if thread.pitch is not None:
        return BLURRED if thread.fainter < _SHALLOWEST * open_share * pitch else ""
    detail = sheet.detail_along(np.array((solid.x, solid.y)), frame.u)
    seen = pitch * detail > _SURELY_SEEN and open_share > _OPEN_SHARE
    return NO_THREAD if seen else ""


def _over_crests(
    sheet: RectifiedSheet, profile: _Profile, frame: Frame, run: tuple[float, float], solid: Solid,
    thread: ThreadProfile,
) -> tuple[float, float]:  # fmt: skip
    """Outside diameter and how unsure it is: from the mean of both edges, and how far that is seen
    under the crests."""
    x, scale = _on_axis(profile, frame, run, solid.heights)
    wide = (profile.crest * scale).sum(axis=0)
    slant = _slant_to_axis(solid, frame)
    first, last = (place * float(np.cos(solid.tilt)) for place in thread.where)
    cut: NDArray[np.bool_] = (x >= first) & (x <= last)
    if thread.period <= 0 or cut.sum() < 6:
        return _unread(wide, sheet, slant)
    mean = float(wide[cut].mean())
    under = under_crests(mean + 0.5 * thread.period, thread.period, slant)
    crests = mean + 2 * under
    plain = x < first - 0.5
    if plain.sum() > _PLAIN_COLUMNS:
        # the plain shank beside it is no smaller than the crests, unless it is a reduced one
        beside = float(np.median(wide[plain]))
        if 0 < beside - crests < 0.3:
            crests = (crests + beside) / 2
    return crests, _DOUBT_MM if thread.pitch else _DOUBT_UNREAD_MM


def _unread(wide: Array, sheet: RectifiedSheet, slant: float) -> tuple[float, float]:
    """The diameter where no thread is told: plain, or too fine to be seen."""
    mean = float(np.median(wide))
    pitch = _USUAL_PITCH * mean
    under = 2 * under_crests(mean + 0.5 * pitch, pitch, slant)
    if pitch * sheet.detail > FEWEST_PIXELS and under > 0.15:
        # a thread of the usual pitch would be seen here: it is a plain one
        return mean, _DOUBT_UNREAD_MM
    # half way between a plain one and one with a thread that cannot be seen
    return mean + under / 2, _DOUBT_UNREAD_MM + under / 2


def _slant_to_axis(solid: Solid, frame: Frame) -> float:
    """Degrees between the line of sight and what is square to the axis."""
    along = np.array((*(frame.u * np.cos(solid.tilt)), -np.sin(solid.tilt)))
    if frame.eye is None:
        return float(np.degrees(abs(np.arcsin(along[2]))))
    sight = np.array(frame.eye) - (solid.x, solid.y, sum(solid.heights) / 2)
    return float(np.degrees(np.arcsin(abs(sight @ along) / np.linalg.norm(sight))))
