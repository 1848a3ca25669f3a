"""The chain drive from the left: which way the clip points, and where the slack is measured."""

from __future__ import annotations

from itertools import pairwise
from math import acos, cos, hypot, pi, sin

from PIL import Image

from demo.drawings.paper import (
    ALLOY,
    BLUE,
    BRASS,
    INK,
    IRON,
    RED,
    STEEL,
    Paper,
    Point,
    around,
    mixed,
)

FRONT: Point = (268.0, 480.0)
REAR: Point = (850.0, 480.0)
TEETH = (12, 36)
PITCH = 36.0
"""Length of a link in the picture, dots."""
SAG = 26.0
"""Sag of the lower run in the picture, dots."""


def chain_drive() -> Image.Image:
    """Draws both sprockets and the chain, seen from the left."""
    paper = Paper("Drive chain and sprockets", "seen from the left; forward is to the left")
    for centre, teeth in zip((FRONT, REAR), TEETH, strict=True):
        _sprocket(paper, centre, teeth)
    _bolt_circle(paper)
    pins = chain_pins()
    _links(paper, pins)
    _connecting_link(paper, pins)
    _slack(paper)
    _labels(paper, pins)
    return paper.finished()


def pitch_radius(teeth: int) -> float:
    """Radius of the pitch circle, dots: half a pitch over the sine of half the tooth angle."""
    return PITCH / 2 / sin(pi / teeth)


def _sprocket(paper: Paper, centre: Point, teeth: int) -> None:
    pitch = pitch_radius(teeth)
    points: list[Point] = []
    for tooth in range(teeth):
        for share, radius in ((-0.5, -13), (-0.3, -10), (-0.12, 9), (0.12, 9), (0.3, -10)):
            clock = (tooth + share) / teeth * 12
            points.append(around(centre, pitch + radius, clock))
    paper.polygon(points, STEEL, line=4)
    paper.ring(centre, pitch - 28, mixed(STEEL, INK, 0.3), 2)


def _bolt_circle(paper: Paper) -> None:
    """The middle of both sprockets: nut in front, six bolts with tab washers at the rear."""
    paper.hexagon(FRONT, 54, ALLOY)
    paper.dome(FRONT, 15, IRON)
    for clock in (1, 3, 5, 7, 9, 11):
        paper.disc(around(REAR, 138, clock), 20, mixed(STEEL, INK, 0.45), 3)
    paper.dome(REAR, 112, ALLOY, 4)
    for clock in range(0, 12, 4):
        paper.arc(REAR, 82, (clock + 0.35, clock + 3.65), mixed(BRASS, INK, 0.1), 40)
    for clock in range(1, 13, 2):
        at = around(REAR, 82, clock)
        paper.hexagon(at, 32, STEEL, clock / 3)
        paper.disc(at, 5, mixed(STEEL, INK, 0.3), 0)
    paper.dome(REAR, 42, IRON, 4)
    paper.polygon(
        [
            (REAR[0] - 9, REAR[1] - 46),
            (REAR[0] + 9, REAR[1] - 46),
            (REAR[0] + 9, REAR[1] - 28),
            (REAR[0] - 9, REAR[1] - 28),
        ],
        BRASS,
    )


def chain_pins() -> list[Point]:
    """The chain's pins, one pitch apart, once around; the lower run sags a little."""
    path = _path()
    lengths = [hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise([*path, path[0]])]
    count = round(sum(lengths) / PITCH / 2) * 2
    step = sum(lengths) / count
    pins: list[Point] = []
    wanted = travelled = 0.0
    for (start, end), length in zip(pairwise([*path, path[0]]), lengths, strict=True):
        while wanted < travelled + length and len(pins) < count:
            share = (wanted - travelled) / length
            pins.append(
                (start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share)
            )
            wanted += step
        travelled += length
    return pins


def _path() -> list[Point]:
    """The line of the pins in fine steps: around the front, sagging below, around the rear.

    The straight upper run closes it. The tangent points of both circles lie at the angle whose
    cosine is the difference of the radii over the distance of the centres.
    """
    small, large = (pitch_radius(teeth) for teeth in TEETH)
    reach = acos((small - large) / (REAR[0] - FRONT[0]))
    front = [_at(FRONT, small, 2 * pi - reach - (2 * pi - 2 * reach) * s / 60) for s in range(61)]
    rear = [_at(REAR, large, reach - 2 * reach * step / 120) for step in range(121)]
    start, end = front[-1], rear[0]
    lower = [
        (
            start[0] + (end[0] - start[0]) * share,
            start[1] + (end[1] - start[1]) * share + SAG * 4 * share * (1 - share),
        )
        for share in (step / 40 for step in range(1, 40))
    ]
    return [*front, *lower, *rear]


def _at(centre: Point, radius: float, angle: float) -> Point:
    return centre[0] + radius * cos(angle), centre[1] + radius * sin(angle)


def _links(paper: Paper, pins: list[Point]) -> None:
    """Inner links first, outer links over them, pins on top."""
    around_once = list(pairwise([*pins, pins[0]]))
    for start, end in around_once[1::2]:
        paper.bar(start, end, 19, IRON, 2)
    for start, end in around_once[0::2]:
        paper.bar(start, end, 21, STEEL, 2)
    for pin in pins:
        paper.disc(pin, 5.5, mixed(STEEL, INK, 0.55), 1.5)


def _upper_run(pins: list[Point]) -> list[tuple[Point, Point]]:
    """The outer links of the upper run, front one first."""
    outer = list(pairwise([*pins, pins[0]]))[0::2]
    left, right = FRONT[0] + 60, REAR[0] - 120
    upper = [
        pair for pair in outer if pair[0][1] < FRONT[1] and left < pair[1][0] and pair[0][0] < right
    ]
    return sorted(upper, key=lambda pair: pair[1][0])


def _clip_link(pins: list[Point]) -> tuple[Point, Point]:
    """The connecting link: rear pin, front pin."""
    upper = _upper_run(pins)
    return upper[len(upper) // 2]


def _connecting_link(paper: Paper, pins: list[Point]) -> None:
    """The spring clip on the outer side: closed and round in front, open behind."""
    rear, front = _clip_link(pins)
    paper.bar(rear, front, 25, BRASS, 3)
    for pin in (rear, front):
        paper.disc(pin, 6.5, mixed(STEEL, INK, 0.4), 2)
    along = (rear[0] - front[0]) / PITCH, (rear[1] - front[1]) / PITCH
    open_end = rear[0] + along[0] * 15, rear[1] + along[1] * 15
    slit = rear[0] + along[0] * 2, rear[1] + along[1] * 2
    paper.line([slit, open_end], INK, 5)


def _slack(paper: Paper) -> None:
    """The slack is measured in the middle of the lower run."""
    low = max(_path()[61:100], key=lambda point: point[1] - _chord(point[0]))
    top = low[1] - SAG
    for height in (top - 14, low[1] + 22):
        paper.dashed([(low[0] - 70, height - 12), (low[0] + 70, height + 12)], RED, 2.5, 10)
    paper.arrow((low[0], top - 76), (low[0], top - 16), RED)
    paper.arrow((low[0], low[1] + 84), (low[0], low[1] + 24), RED)


def _chord(across: float) -> float:
    """Height of the lower run if it were straight, at a distance from the left."""
    start, end = _path()[60], _path()[100]
    return start[1] + (end[1] - start[1]) * (across - start[0]) / (end[0] - start[0])


def _labels(paper: Paper, pins: list[Point]) -> None:
    rear, front = _clip_link(pins)
    paper.label(
        (470, 176),
        ["connecting link, outside", "closed end of the clip leads"],
        [(front[0] + 6, front[1] - 14)],
    )
    slope = (rear[1] - front[1]) / (rear[0] - front[0])
    paper.arrow(
        (front[0] - 30, front[1] - 50), (front[0] - 160, front[1] - 50 - slope * 130), BLUE, 5, 24
    )
    paper.words((front[0] - 320, front[1] - 84), "direction of travel", 23, bold=True, colour=BLUE)
    paper.label(
        (60, 640), ["gearbox sprocket", "12 teeth, raised boss inwards"], [around(FRONT, 58, 7)]
    )
    paper.label(
        (880, 780), ["rear sprocket, 36 teeth", "six bolts in star order"], [around(REAR, 178, 5.2)]
    )
    paper.label(
        (570, 768), ["slack 20-30 mm", "up and down, at the", "tightest place"], [], colour=RED
    )
