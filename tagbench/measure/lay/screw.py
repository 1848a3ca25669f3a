"""A screw or stud lying on its side: length, diameter, head, from the edges along its axis."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import cv2
import numpy as np
from numpy.typing import NDArray

from tagbench.measure.edges import Light, running_median
from tagbench.measure.lay.strip import STEP_MM, Edges, Frame, along_edges, end_edges
from tagbench.measure.lay.thread_profile import Thread, read_thread
from tagbench.measure.rectification import Sheet
from tagbench.measure.solver import Array

Head = Literal["hex", "socket", "pan", "countersunk", ""]

_HEAD_SHARE, _HEAD_MM = 1.18, 0.15
"""A head is wider than its shank by this."""
_FLAT_REST = float(np.cos(np.pi / 6))
"""A hexagon rests on a flat and shows its corners: its axis is so much of half its width high."""
_ROUND, _SOCKET_HIGH = 0.80, 0.85
_NOT_STRAIGHT_MM = 0.35
_UNEVEN = 0.75
NO_FASTENER = "no screw, washer or nut by its outline: two that touch, or one that stands on end"
BROKEN = "its outline is broken by a bright reflection or a shadow: turn it, or move the light"
_CREST_LOST_PX = 0.28
"""What blur takes off an edge that shows no thread, pixels of the picture."""
_CRESTS, _CREST_PITCH, _CREST_HEIGHT = 93, 0.04, 0.37
_MEAN_PITCH, _MEAN_HEIGHT = 0.054, 2.13
"""Blur fills a thread's roots and lowers its crests. The diameter over the crests is so many
pitches and heights of the first harmonic over the highest edges, and over their mean: for the
basic profile of ISO 68-1 unblurred the mean lies 2.3 heights under; found on rendered screws."""


@dataclass(frozen=True, slots=True)
class Screw:
    """What was measured of a screw or stud, mm."""

    length: float
    """Under the head; over all for a countersunk head and for a stud."""
    diameter: float
    """Outside diameter of the shank, over the crests where there is a thread."""
    head: Head
    """Empty for a stud."""
    head_width: float | None
    """As it is seen: over the corners of a hexagon."""
    head_height: float | None
    thread: Thread
    length_doubt: float
    diameter_doubt: float


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


def measure_screw(light: Light, sheet: Sheet, outer: Array) -> Screw | str:
    """The screw whose rough outer edge this is, or why it is none."""
    eye = sheet.camera.eye if sheet.camera else None
    best: tuple[float, Frame, _Profile] | None = None
    for direction in _directions(outer):
        frame = Frame(outer.mean(axis=0), direction, 0.0, eye)
        for _ in range(3):
            frame, profile, off = _aligned(light, sheet, frame, outer)
        if best is None or off < best[0]:
            best = off, frame, profile
    if best is None or best[0] > _NOT_STRAIGHT_MM:
        return NO_FASTENER
    if _broken(best[2]):
        return BROKEN
    return _measured(light, sheet, best[1], best[2], outer)


def _broken(profile: _Profile) -> bool:
    """One side's outline is missing where the piece is widest: a head is as wide on both sides."""
    one, other = (float(np.percentile(side, 96)) for side in (profile.high, -profile.low))
    return min(one, other) < _UNEVEN * max(one, other)


def _directions(outer: Array) -> list[Array]:
    _, (wide, high), degrees = cv2.minAreaRect(outer.astype(np.float32))
    angle = np.radians(degrees if wide >= high else degrees + 90)
    first = np.array((np.cos(angle), np.sin(angle)))
    second = np.array((-first[1], first[0]))
    slim = max(wide, high) > 1.35 * min(wide, high)
    return [first] if slim else [first, second]


def _aligned(
    light: Light, sheet: Sheet, frame: Frame, outer: Array
) -> tuple[Frame, _Profile, float]:
    """The frame laid along the middle of both edges and lifted to the axis; how crooked it was."""
    edges = along_edges(light, sheet, frame, outer)
    keep = edges.sure.copy()
    margin = max(3, int(0.06 * len(keep)))
    keep[:margin] = keep[-margin:] = False
    if keep.sum() < 8:
        keep[:] = True
    profile = _profile(edges, frame)
    slope, base = _line(edges.x[keep], profile.middle[keep])
    off = profile.middle[keep] - (slope * edges.x[keep] + base)
    turn = np.arctan(slope)
    u = frame.u * np.cos(turn) + frame.v * np.sin(turn)
    origin = frame.origin + frame.v * base
    radius = float(np.percentile(_radius(profile.share, frame.eye), 40))
    height = radius if frame.eye else 0.0
    return (
        Frame(origin, u / np.linalg.norm(u), height, frame.eye), profile,
        float(np.percentile(np.abs(off), 85)),
    )  # fmt: skip


def _line(x: Array, y: Array) -> tuple[float, float]:
    """A line through points, wild ones hardly counting."""
    weight = np.ones(len(x))
    slope = base = 0.0
    for _ in range(8):
        system = np.column_stack((x, np.ones(len(x)))) * weight[:, None]
        slope, base = np.linalg.lstsq(system, y * weight, rcond=None)[0]
        off = np.abs(y - slope * x - base)
        weight = 1 / np.sqrt(1 + (off / 0.08) ** 2)
    return float(slope), float(base)


def _profile(edges: Edges, frame: Frame) -> _Profile:
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


def _radius(share: Array, eye: tuple[float, float, float] | None, rest: float = 1.0) -> Array:
    """Radius of a body that rests on the paper, its axis `rest` radii high."""
    return share if eye is None else np.asarray(eye[2] * share / (1 + rest * share))


def _measured(light: Light, sheet: Sheet, frame: Frame, profile: _Profile, outer: Array) -> Screw:
    resting = _radius(profile.share, frame.eye)
    smooth = running_median(resting, round(0.45 / STEP_MM))
    inner = smooth[5:-5] if len(smooth) > 20 else smooth
    shank, widest = float(np.percentile(inner, 35)), float(np.percentile(inner, 98))
    headed = widest > _HEAD_SHARE * shank + _HEAD_MM
    if headed:
        # the plain part under the head is wider than the thread's mean
        shank = float(np.percentile(inner[inner < shank + 0.4 * (widest - shank)], 90))
        wide = smooth > (shank + widest) / 2
        # the head lies at the low end of x
        if profile.x[wide].mean() > profile.x.mean():
            frame = Frame(frame.origin, -frame.u, frame.height, frame.eye)
            profile = _profile(along_edges(light, sheet, frame, outer), frame)
            resting = _radius(profile.share, frame.eye)
            smooth = running_median(resting, round(0.45 / STEP_MM))
    ends = _Ends(light, sheet, frame, outer)
    if not headed:
        return _stud(sheet, frame, profile, shank, ends)
    return _headed(sheet, frame, profile, smooth, shank, ends)


@dataclass(frozen=True, slots=True)
class _Ends:
    light: Light
    sheet: Sheet
    frame: Frame
    outer: Array

    def at(self, radius: float, height: float, *, first: bool) -> tuple[float, float]:
        """x of an end whose axis is so high, in mm along the level, and how unsure that is.

        Seen at a slant, the rim of an end bulges outward by its radius times the slant; how far
        the bulge reaches tells the radius that the end was chamfered to.
        """
        across = np.linspace(-0.9, 0.9, 31) * radius
        seen = end_edges(self.light, self.sheet, self.frame, self.outer, across, first=first)
        good = np.isfinite(seen)
        if good.sum() < 6:
            rough = self.frame.from_sheet(self.outer)[:, 0]
            return _levelled(self.frame, float(rough.min() if first else rough.max()), height), 0.5
        y, x = across[good], seen[good]
        # a streak as bright as the paper may break an end: what is seen farthest out is the end
        edge = float(np.percentile(x, 8 if first else 92))
        far = np.abs(x - edge) < 0.8 + abs(_slants(self.frame, edge, height)[0]) * radius
        y, x = y[far], x[far]
        slants = _slants(self.frame, float(np.median(x)), height)
        slant = abs(slants[0])
        outward = -1.0 if first else 1.0
        best = (np.inf, float(np.median(x)), 0.0)
        for share in np.linspace(0.6, 1.0, 9):
            # the end's own rim, and behind a chamfer of 45 degrees that of the whole body
            bulge = np.maximum(
                outward * _bulge(_circle(share * radius), y, slants, outward),
                outward * _bulge(_circle(radius), y, slants, outward) - (1 - share) * radius,
            )
            places = x - outward * bulge
            middle = float(np.median(places))
            spread = float(np.mean(np.minimum(np.abs(places - middle), 0.4)))
            # little slant tells little of the chamfer: then the usual one
            spread += 0.01 * abs(share - 0.85)
            if spread < best[0]:
                best = (spread, middle, share)
        return _levelled(self.frame, best[1], height), 0.05 + 0.5 * best[0] + 0.05 * slant * radius


def _levelled(frame: Frame, x: float, height: float) -> float:
    """x in the frame's plane as x where the axis is `height` high."""
    if frame.eye is None:
        return x
    foot = frame.foot[0]
    return foot + (x - foot) * (frame.eye[2] - height) / (frame.eye[2] - frame.height)


def _slants(frame: Frame, x: float, height: float) -> tuple[float, float]:
    """How far (a part of its height) a point over the axis is seen moved along and across."""
    if frame.eye is None:
        return 0.0, 0.0
    down = frame.eye[2] - height
    return (x - frame.foot[0]) / down, -frame.foot[1] / down


def _circle(radius: float) -> Array:
    """A rim: y and height over the axis."""
    turn = np.linspace(0, 2 * np.pi, 97)
    return np.column_stack((np.cos(turn), np.sin(turn))) * radius


def _hexagon(half: float) -> Array:
    """The rim of a hexagon that rests on a flat, its corners `half` from the axis."""
    turn = np.radians(60) * np.arange(7)
    return np.column_stack((np.cos(turn), np.sin(turn))) * half


def _bulge(rim: Array, y: Array, slants: tuple[float, float], outward: float) -> Array:
    """How far outward along x a rim is seen at each y; far inward where it is not seen."""
    along, across = slants
    places = np.column_stack((rim[:, 0] + across * rim[:, 1], outward * along * rim[:, 1]))
    start, end = places[:-1], places[1:]
    width = end[:, 0] - start[:, 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        part = (y[:, None] - start[None, :, 0]) / width[None]
        x = start[None, :, 1] + part * (end - start)[None, :, 1]
    x = np.where((part >= 0) & (part <= 1), x, -np.inf)
    farthest = x.max(axis=1)
    return np.asarray(outward * np.where(np.isfinite(farthest), farthest, -1e3))


def _stud(sheet: Sheet, frame: Frame, profile: _Profile, radius: float, ends: _Ends) -> Screw:
    start, unsure = ends.at(radius, radius, first=True)
    end, also = ends.at(radius, radius, first=False)
    thread = _thread(sheet, frame, profile, (start, end), (radius, radius))
    diameter, doubt = _over_crests(sheet, profile, frame, (start, end), (radius, radius), thread)
    return Screw(
        abs(end - start), diameter, "", None, None, thread, float(np.hypot(unsure, also)), doubt
    )


def _headed(
    sheet: Sheet, frame: Frame, profile: _Profile, smooth: Array, shank: float, ends: _Ends
) -> Screw:
    x, eye = profile.x, frame.eye
    top_radius = float(smooth[: max(4, len(smooth) // 2)].max())
    beyond = np.flatnonzero(smooth > shank + 0.5 * (top_radius - shank))
    neck = float(x[beyond[-1]])
    head_rows = (x < neck) & (x > x[0] + 0.3)
    share = float(np.percentile(profile.share[head_rows], 90)) if head_rows.any() else 0.0
    slanted = 0.9 * abs(_slants(frame, float(x[0]), shank)[0]) * top_radius
    head, fall = _head_kind(x, smooth, shank, neck, float(x[0]) + slanted)
    rest = _FLAT_REST if head == "hex" else 1.0
    wide = float(_radius(np.array(share), eye, rest))
    high_axis = rest * wide
    tip, tip_doubt = ends.at(shank, shank, first=False)
    top, top_doubt = ends.at(wide, high_axis, first=True)
    if head == "countersunk":
        across = max(tip - top, 1.0)
        tilt = float(np.arcsin(np.clip((high_axis - shank) / across, -0.6, 0.6)))
        length, doubt = across / np.cos(tilt), top_doubt
        face = top + (wide - shank)
    else:
        face, face_doubt = _bearing_face(frame, profile, shank, wide, neck, high_axis)
        across = max(tip - face, 0.5)
        tilt = float(np.arcsin(np.clip((high_axis - shank) / across, -0.6, 0.6)))
        length, doubt = across / np.cos(tilt), face_doubt
    run = (face + 0.15 * fall, tip)
    heights = (high_axis, shank)
    thread = _thread(sheet, frame, profile, run, heights)
    diameter, diameter_doubt = _over_crests(sheet, profile, frame, run, heights, thread)
    height = abs(face - top) if head != "countersunk" else fall
    if head in ("hex", "") and height > _SOCKET_HIGH * diameter:
        head = "socket"
    slant_doubt = 0.1 * abs(high_axis - shank) * abs(_slants(frame, tip, shank)[0])
    return Screw(
        float(length), diameter, head, 2 * wide, float(height), thread,
        float(np.sqrt(tip_doubt**2 + doubt**2 + slant_doubt**2)), diameter_doubt,
    )  # fmt: skip


def _head_kind(
    x: Array, smooth: Array, shank: float, neck: float, start: float
) -> tuple[Head, float]:
    """The kind of head by its profile, and how far it takes to fall to the shank. `start` is where
    the head begins, what bulges out at a slant left out."""
    widest = float(smooth[x <= neck + 0.5].max())
    down = np.flatnonzero((x > neck) & (smooth < shank + 0.2 * (widest - shank)))
    foot = float(x[down[0]]) if len(down) else neck
    full = x[(x <= foot) & (smooth > shank + 0.92 * (widest - shank))]
    first, last = float(full.min()), float(full.max())
    whole = foot - start
    if (last - start) < 0.38 * whole and foot - last > 0.5 * (widest - shank):
        return "countersunk", foot - start
    top = (start + float(x[0])) / 2
    near_top = float(np.interp(top + 0.15 * (neck - top) + 0.25, x, smooth))
    if near_top < _ROUND * widest and first - top > 0.3 * (neck - top):
        return "pan", foot - last
    return ("socket" if (neck - start) > _SOCKET_HIGH * 2 * shank * 1.12 else "hex"), foot - last


def _bearing_face(
    frame: Frame, profile: _Profile, shank: float, wide: float, neck: float, height: float
) -> tuple[float, float]:
    """x under the head where the axis is `height` high, and how unsure that is.

    Seen at a slant, the rim of the face bulges toward the tip: as a circle, or with the straight
    sides of a hexagon. Whichever agrees best with the edges is taken.
    """
    x = profile.x
    slants = _slants(frame, neck, height)
    reach = 0.5 + wide * (0.15 + abs(slants[0]))
    near = (x > neck - reach) & (x < neck + reach)
    best = (np.inf, neck)
    rims = (None, _circle(wide), _hexagon(wide))
    for rim in rims if frame.eye else rims[:1]:
        places = []
        for edge, side in ((profile.high, 1), (profile.low, -1)):
            size = side * edge
            keep = (
                near
                & (size > shank + 0.22 * (wide - shank))
                & (size < shank + 0.8 * (wide - shank))
            )
            # only the fall behind the head's widest place counts, not its rounded top
            widest = np.flatnonzero(near & (size > shank + 0.8 * (wide - shank)))
            if len(widest):
                keep &= np.arange(len(x)) > widest[-1]
            bulge = (
                np.zeros(int(keep.sum())) if rim is None else _bulge(rim, edge[keep], slants, 1.0)
            )
            places.append(x[keep] - bulge)
        found = np.concatenate(places)
        if len(found) < 2:
            continue
        middle = float(np.mean([np.median(part) for part in places if len(part)]))
        spread = float(np.median(np.abs(found - middle)))
        if spread < best[0]:
            best = spread, middle
    if not np.isfinite(best[0]):
        return _levelled(frame, neck, height), 0.2
    return _levelled(frame, best[1], height), 0.05 + best[0]


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
    sheet: Sheet, frame: Frame, profile: _Profile, run: tuple[float, float],
    heights: tuple[float, float],
) -> Thread:  # fmt: skip
    x, _ = _on_axis(profile, frame, run, heights)
    grown = (
        1.0 if frame.eye is None else (frame.eye[2] - heights[1]) / (frame.eye[2] - frame.height)
    )
    tilt = np.arcsin(np.clip((heights[0] - heights[1]) / max(run[1] - run[0], 1.0), -0.6, 0.6))
    inside = (x > run[0] + 0.5) & (x < run[1] - 0.3)
    if inside.sum() < 20:
        return Thread(None, 0.0, 0.0, 0.0, (run[0], run[1]), "too short to show a thread")
    centre = frame.to_sheet(np.array((float(np.mean(profile.x[inside])),)), np.zeros(1))[0]
    detail = sheet.detail_along(centre, frame.u)
    return read_thread(
        x[inside] / np.cos(tilt), profile.high[inside] * grown, profile.low[inside] * grown, detail
    )


def _over_crests(
    sheet: Sheet, profile: _Profile, frame: Frame, run: tuple[float, float],
    heights: tuple[float, float],
    thread: Thread,
) -> tuple[float, float]:  # fmt: skip
    """Outside diameter and how unsure it is: from the crests where a thread is seen."""
    x, scale = _on_axis(profile, frame, run, heights)
    sides = profile.crest * scale
    inside: NDArray[np.bool_] = (x > run[0] + 0.6) & (x < run[1] - 0.5)
    if inside.sum() < 6:
        inside = (x > run[0]) & (x < run[1])
    tilt = np.arcsin(np.clip((heights[0] - heights[1]) / max(run[1] - run[0], 1.0), -0.6, 0.6))
    first, last = (place * float(np.cos(tilt)) for place in thread.where)
    cut = inside & (x >= first) & (x <= last)
    if thread.period <= 0 or cut.sum() < 6:
        return _both(sides[:, inside], 92) + 2 * _CREST_LOST_PX / sheet.detail, 0.12
    pitch, height = thread.period, thread.height
    highest = _both(sides[:, cut], _CRESTS) + _CREST_PITCH * pitch + _CREST_HEIGHT * height
    mean = float(sides[:, cut].sum(axis=0).mean()) + _MEAN_PITCH * pitch + _MEAN_HEIGHT * height
    crests = (highest + mean) / 2
    plain = inside & (x < first - 0.5)
    if plain.sum() > 25:
        # the plain shank beside it is no smaller than the crests
        crests = max(crests, _both(sides[:, plain], 50))
    return crests, 0.08 if thread.pitch else 0.12


def _both(sides: Array, percentile: float) -> float:
    """A diameter from both sides' own radii."""
    return float(np.percentile(sides, percentile, axis=1).sum())
