"""The front brake from outside: where the four backing-plate screws sit."""

from __future__ import annotations

from PIL import Image

from demo.drawings.paper import (
    ALLOY,
    BLUE,
    BRASS,
    DARK,
    INK,
    IRON,
    PAPER,
    RED,
    STEEL,
    Paper,
    Point,
    around,
    bend,
    mixed,
)

HUB: Point = (520.0, 490.0)
PLATE = 300.0
SCREWS = 150.0
SCREW_CLOCKS = (2, 4, 8, 10)
LEG = 150.0
"""How far the fork leg goes on below the axle."""


def front_brake() -> Image.Image:
    """Draws the backing plate on its fork leg, seen from the left."""
    paper = Paper("Front brake, seen from outside", "left side; forward is to the left")
    _plate(paper)
    _fork_leg(paper)
    _cam(paper)
    for clock in SCREW_CLOCKS:
        _pan_screw(paper, around(HUB, SCREWS, clock), clock)
    _torque_arm(paper)
    _clock(paper)
    _labels(paper)
    return paper.finished()


def _plate(paper: Paper) -> None:
    paper.dome(HUB, PLATE, STEEL, 5)
    paper.ring(HUB, PLATE - 16, INK, 2)
    paper.ring(HUB, PLATE - 26, mixed(STEEL, INK, 0.3), 2)
    paper.arc(HUB, 236, (4.7, 5.6), mixed(STEEL, INK, 0.35), 4)
    paper.arc(HUB, 236, (6.4, 7.3), mixed(STEEL, INK, 0.35), 4)
    paper.disc(around(HUB, 232, 6), 22, DARK, 4)


def _fork_leg(paper: Paper) -> None:
    """The leg comes down from above; its flange carries the plate, its end the axle."""
    top, end = (HUB[0], 150.0), (HUB[0], HUB[1] + LEG)
    paper.disc(HUB, 196, ALLOY, 5)
    paper.ring(HUB, 182, mixed(ALLOY, INK, 0.3), 2)
    paper.disc(end, 34, IRON, 5)
    left, right = (top[0] - 38, top[1]), (top[0] + 38, top[1])
    foot_left, foot_right = (end[0] - 31, end[1]), (end[0] + 31, end[1])
    broken = [left, (top[0] - 10, top[1] - 8), (top[0] + 12, top[1] + 8), right]
    paper.polygon([*broken, foot_right, foot_left], IRON, line=0)
    for start, stop in ((left, foot_left), (right, foot_right)):
        paper.line([start, stop], INK, 5)
    paper.line(broken, INK, 3)
    paper.line([(top[0] - 18, 164), (end[0] - 14, end[1] - 24)], mixed(IRON, ALLOY, 0.7), 8)
    paper.disc(end, 13, DARK)
    paper.disc(HUB, 62, ALLOY, 4)
    paper.hexagon(HUB, 84, STEEL)
    paper.dome(HUB, 22, ALLOY)


def _cam(paper: Paper) -> None:
    """The cam spindle with its arm, 20 degrees forward, and the stop of the cable."""
    cam = around(HUB, 246, 11)
    tip = around(cam, 128, -20 / 30)
    paper.bar(cam, tip, 30, IRON, 4)
    paper.dome(cam, 30, ALLOY, 4)
    paper.line([around(cam, 24, 10), around(cam, 24, 4)], INK, 4)
    paper.disc(tip, 7, DARK)
    stop = around(HUB, 268, 9.2)
    paper.bar(stop, around(HUB, 322, 9.2), 26, IRON, 4)
    paper.line([(tip[0] - 4, tip[1] + 8), (stop[0] - 46, stop[1] - 6)], DARK, 5)
    start = (stop[0] - 46, stop[1] + 8)
    paper.line(bend(start, (start[0] - 26, 680), (start[0] - 100, 780)), DARK, 11)


def _pan_screw(paper: Paper, at: Point, clock: int) -> None:
    paper.disc(at, 27, mixed(ALLOY, INK, 0.35), 0)
    paper.dome(at, 22, BRASS, 4)
    turn = clock + 1.3
    paper.line([around(at, 15, turn), around(at, 15, turn + 6)], INK, 6)


def _torque_arm(paper: Paper) -> None:
    """Shown dashed: it is off, and it covers the screw at 4 o'clock when it is on."""
    start, end = (HUB[0] + 252, HUB[1] + 14), (HUB[0], HUB[1] + LEG)
    side = (14.0, 26.0)
    upper = [(start[0] - side[0], start[1] - side[1]), (end[0] - side[0], end[1] - side[1])]
    lower = [(start[0] + side[0], start[1] + side[1]), (end[0] + side[0], end[1] + side[1])]
    paper.dashed(upper, BLUE, 4)
    paper.dashed(lower, BLUE, 4)
    paper.disc(start, 20, IRON, 4)
    paper.disc(start, 8, DARK, 2)


def _clock(paper: Paper) -> None:
    """The clock positions of the four screws, on small cards; 12 and 6 for the eye."""
    for hour in SCREW_CLOCKS:
        at = around(HUB, 238, hour)
        paper.disc(at, 24, PAPER, 2)
        paper.words(at, str(hour), 30, bold=True, colour=RED, anchor="mm")
    for hour in (1, 3, 5, 6, 7):
        paper.words(around(HUB, PLATE + 26, hour), str(hour), 20, colour=IRON, anchor="mm")


def _labels(paper: Paper) -> None:
    screws = around(HUB, SCREWS, 2)
    paper.label(
        (880, 423),
        [
            "4× M5x0.8x12 pan",
            "backing plate screws at",
            "2, 4, 8 and 10 o'clock,",
            "all one length",
        ],
        [(screws[0] + 22, screws[1])],
        colour=RED,
    )
    paper.label(
        (880, 570),
        ["torque arm (off)", "covers the 4 o'clock", "screw: it goes on last"],
        [(HUB[0] + 264, HUB[1] + 16)],
        colour=BLUE,
    )
    paper.label(
        (880, 716),
        ["backing plate", "three paper shims", "behind the flange"],
        [around(HUB, 262, 4.7)],
    )
    paper.label((70, 250), ["cam arm", "20° forward"], [around(around(HUB, 246, 11), 84, -20 / 30)])
    paper.label((70, 420), ["cable stop"], [around(HUB, 318, 9.2)])
    paper.label((610, 176), ["fork leg"], [(HUB[0] + 20, 196)])
    paper.label((330, 850), ["shoe pivot"], [around(HUB, 240, 6)])
