"""The pitch of a thread from its profile: the period that both edges share along the axis."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tagbench.measure.solver import Array

FEWEST_PIXELS = 5.0
"""A pitch of fewer pixels of the picture is not read."""
_TOO_FINE = "pitch not readable: fewer than five pixels a pitch"
_FINEST_MM, _COARSEST_MM = 0.25, 4.5
_FEWEST_TURNS = 3.0
_CLEAR = 5.0
"""How far the period must stand out over what else is in the edges."""


@dataclass(frozen=True, slots=True)
class ThreadProfile:
    """What was read of a thread, mm."""

    pitch: float | None
    doubt: float
    """How unsure the pitch is."""
    period: float
    """The period of the edges even where it is too fine to be believed as a pitch; 0 for none."""
    height: float
    """How high the profile is seen: of its first harmonic, mm."""
    where: tuple[float, float]
    """From where to where along the axis."""
    even: float = 1.0
    """How much of the profile the fainter edge shows, as a share of the plainer one."""
    why: str = ""
    """Why no pitch is told."""

    @property
    def fainter(self) -> float:
        """How high the profile is seen on the edge that shows less of it, mm."""
        return 2 * self.height * self.even / (1 + self.even)


def read_thread(x: Array, high: Array, low: Array, detail: float) -> ThreadProfile:
    """The pitch from both edges along the axis; `detail` is pixels of the picture a mm."""
    step = 0.04
    even = np.arange(x.min(), x.max(), step)
    where = (float(even[0]), float(even[-1]))
    edges = [_flattened(np.interp(even, x, edge), step) for edge in (high, low)]
    found = _period(edges, step)
    if found is None:
        return ThreadProfile(None, 0.0, 0.0, 0.0, where, why="no thread is seen")
    first, last = _threaded(edges, step, found)
    part = [edge[first:last] for edge in edges]
    better = _period(part, step, near=found)
    if better is None or (last - first) * step < _FEWEST_TURNS * better:
        return ThreadProfile(None, 0.0, 0.0, 0.0, where, why="no thread is seen")
    pitch, heights = _fine(part, step, better)
    height, even_ = float(heights.mean()), float(heights.min() / max(heights.max(), 1e-9))
    where = (float(even[first]), float(even[last - 1]))
    if pitch * detail < FEWEST_PIXELS:
        return ThreadProfile(None, 0.0, pitch, height, where, even_, _TOO_FINE)
    turns = (last - first) * step / pitch
    return ThreadProfile(
        pitch, max(0.004 * pitch, 0.06 * pitch / turns), pitch, height, where, even_
    )


def _flattened(edge: Array, step: float) -> Array:
    """An edge without its slow course and without jumps."""
    x = np.linspace(-1, 1, len(edge))
    weight = np.ones(len(edge))
    course: Array = np.zeros(len(edge))
    for _ in range(5):
        course = np.polynomial.polynomial.polyval(
            x, np.polynomial.polynomial.polyfit(x, edge, 3, w=weight)
        )
        weight = 1 / np.sqrt(1 + ((edge - course) / 0.25) ** 2)
    del step
    return np.asarray(np.clip(edge - course, -0.8, 0.8))


def _power(edges: list[Array], step: float, periods: Array) -> Array:
    total = np.zeros(len(periods))
    for edge in edges:
        at = np.arange(len(edge)) * step
        window = np.hanning(len(edge))
        waves = np.exp(-2j * np.pi * at[None] / periods[:, None])
        total += np.abs((waves * (edge - edge.mean()) * window).sum(axis=1)) ** 2
    return np.asarray(total)


def _spectrum(edges: list[Array], step: float, longest: float) -> tuple[Array, Array]:
    """Periods from the longest to the finest, five to a turn, and the power of each."""
    count = 5 * len(edges[0])
    window = np.hanning(len(edges[0]))
    power = sum(np.abs(np.fft.rfft((edge - edge.mean()) * window, count)) ** 2 for edge in edges)
    waves = np.fft.rfftfreq(count, step)
    keep = (waves >= 1 / longest) & (waves <= 1 / _FINEST_MM)
    return 1 / waves[keep], np.asarray(power)[keep]


def _period(edges: list[Array], step: float, near: float | None = None) -> float | None:
    length = len(edges[0]) * step
    longest = min(_COARSEST_MM, length / _FEWEST_TURNS)
    if longest <= _FINEST_MM:
        return None
    if near is not None:
        periods = near * np.linspace(0.93, 1.07, 57)
        return float(periods[np.argmax(_power(edges, step, periods))])
    periods, power = _spectrum(edges, step, longest)
    # a thread's profile is as high as its pitch is long: weigh by that, or slow waviness wins
    power = power / periods**2
    best = int(np.argmax(power))
    if power[best] < _CLEAR * float(np.median(power)) or periods[best] > 0.98 * longest:
        return None
    return float(periods[best])


def _threaded(edges: list[Array], step: float, period: float) -> tuple[int, int]:
    """From where to where the period is there: a shank is often plain under the head."""
    reach = max(4, round(3 * period / step))
    at = np.arange(len(edges[0])) * step
    wave = np.exp(-2j * np.pi * at / period)
    kernel = np.ones(reach) / reach
    size = sum(np.abs(np.convolve(edge * wave, kernel, "same")) for edge in edges)
    there = np.asarray(size) > 0.45 * np.percentile(size, 90)
    best, start = (0, len(there)), None
    longest = 0
    for index, yes in enumerate([*there, False]):
        if yes and start is None:
            start = index
        elif not yes and start is not None:
            if index - start > longest:
                longest, best = index - start, (start, index)
            start = None
    return best


def _fine(edges: list[Array], step: float, period: float) -> tuple[float, Array]:
    """The period to a part of a thousandth, and the height of either edge, by least squares."""
    at = np.arange(len(edges[0])) * step
    at = at - at.mean()
    both = np.column_stack(edges)

    def fitted(length: float) -> tuple[float, Array]:
        turn = 2 * np.pi * at / length
        system = np.column_stack((np.cos(turn), np.sin(turn), np.ones(len(at)), at, at**2))
        answer = np.linalg.solve(system.T @ system, system.T @ both)
        left = float(((both - system @ answer) ** 2).sum())
        return left, np.asarray(np.hypot(answer[0], answer[1]))

    width = 0.03
    for _ in range(5):
        tries = period * np.linspace(1 - width, 1 + width, 13)
        period = float(tries[np.argmin([fitted(length)[0] for length in tries])])
        width /= 4
    return period, fitted(period)[1]
