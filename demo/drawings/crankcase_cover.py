"""The crankcase cover from the right: screws of three lengths, each at its clock position."""

from __future__ import annotations

from PIL import Image

from demo.drawings.paper import (
    ALLOY,
    BLUE,
    DARK,
    INK,
    IRON,
    PAPER,
    RED,
    STEEL,
    Colour,
    Paper,
    Point,
    around,
    mixed,
)

MIDDLE: Point = (430.0, 500.0)
GREEN: Colour = (36, 92, 52)
LENGTHS: dict[int, tuple[Colour, str]] = {
    25: (BLUE, "short"),
    40: (GREEN, "middle"),
    65: (RED, "long"),
}
"""Length under the head, mm → its colour in the picture and its word."""

SCREWS: dict[int, int] = {1: 25, 2: 25, 10: 25, 11: 25, 4: 40, 5: 40, 7: 40, 8: 65}
"""Clock position → length under the head, mm."""

_REACH = {1: 292, 2: 318, 10: 318, 11: 292, 4: 318, 5: 292, 7: 292, 8: 318}


def crankcase_cover() -> Image.Image:
    """Draws the right crankcase cover and a key with the screws true to each other."""
    paper = Paper(
        "Crankcase cover, eight screws of three lengths", "right side; forward is to the right"
    )
    _cover(paper)
    _kick_boss(paper)
    _dowels(paper)
    for clock, length in SCREWS.items():
        _screw(paper, clock, length)
    _key(paper)
    return paper.finished()


def _place(clock: int) -> Point:
    return around(MIDDLE, _REACH[clock], clock)


def _cover(paper: Paper) -> None:
    """The outline follows the lugs; inside it a clutch dome and a flat for the maker's plate."""
    hours = sorted(SCREWS)
    rim = [(_place(clock), _place(clock), 74.0) for clock in hours]
    edge = [
        (_place(a), _place(b), 50.0) for a, b in zip(hours, [*hours[1:], hours[0]], strict=True)
    ]
    middle = [(around(MIDDLE, 60, clock), around(MIDDLE, 60, clock), 420.0) for clock in hours]
    spokes = [(MIDDLE, around(MIDDLE, 266, clock), 160.0) for clock in (2, 4, 8, 10)]
    paper.joined([*middle, *spokes, *edge, *rim], ALLOY, 5)
    face = mixed(ALLOY, (255, 255, 255), 0.25)
    inner = [(around(MIDDLE, 190, clock), around(MIDDLE, 190, clock), 84.0) for clock in hours]
    paper.joined([(MIDDLE, MIDDLE, 436.0), *inner], face, 2)
    clutch = (MIDDLE[0] + 56, MIDDLE[1] - 40)
    paper.dome(clutch, 168, ALLOY, 4)
    paper.ring(clutch, 124, mixed(ALLOY, INK, 0.3), 2)
    paper.dome(clutch, 96, ALLOY, 2)
    for number in range(5):
        across = clutch[0] - 40 + number * 20
        paper.line([(across, clutch[1] - 50), (across, clutch[1] + 50)], mixed(ALLOY, INK, 0.35), 5)


def _kick_boss(paper: Paper) -> None:
    """The shaft of the kick start comes through at 8 o'clock, inside the long screw."""
    boss = around(MIDDLE, 206, 8)
    paper.dome(boss, 66, ALLOY, 4)
    paper.disc(boss, 42, DARK, 3)
    paper.dome(boss, 33, STEEL, 3)
    for number in range(12):
        paper.line([around(boss, 26, number), around(boss, 32, number)], INK, 2.5)


def _dowels(paper: Paper) -> None:
    for clock in (3, 9):
        at = around(MIDDLE, 276, clock)
        paper.disc(at, 24, ALLOY, 4)
        paper.disc(at, 11, mixed(IRON, ALLOY, 0.4), 2)


def _screw(paper: Paper, clock: int, length: int) -> None:
    at = _place(clock)
    colour = LENGTHS[length][0]
    paper.disc(at, 33, colour, 0)
    paper.disc(at, 25, STEEL, 4)
    paper.line([around(at, 18, 1.3), around(at, 18, 7.3)], INK, 6)
    paper.words(
        around(MIDDLE, _REACH[clock] + 62, clock),
        str(length),
        34,
        bold=True,
        colour=colour,
        anchor="mm",
    )


def _key(paper: Paper) -> None:
    """Three screws side by side, lengths in proportion, with where they go."""
    places = {
        25: "1, 2, 10 and 11 o'clock",
        40: "4, 5 and 7 o'clock",
        65: "8 o'clock, by the shaft",
    }
    for row, (length, (colour, word)) in enumerate(LENGTHS.items()):
        top = 250 + row * 170
        count = sum(one == length for one in SCREWS.values())
        paper.words(
            (850, top - 34), f"{word}: {count}× M6x1x{length}", 26, bold=True, colour=colour
        )
        _side_view(paper, (868, top), length * 3.4, colour)
        paper.words((850, top + 62), places[length], 23)
    paper.words((850, 780), "clock positions as you face the cover", 20)
    paper.words((850, 806), "figures: length under the head, mm", 20)
    paper.disc((870, 712), 20, ALLOY, 3)
    paper.disc((870, 712), 9, mixed(IRON, ALLOY, 0.4), 2)
    paper.words((904, 720), "two dowels stay in the case", 21)


def _side_view(paper: Paper, at: Point, length: float, colour: Colour) -> None:
    """A cheese-head screw lying on its side: head, shank, thread lines."""
    x, y = at[0], at[1]
    paper.polygon([(x - 26, y - 22), (x, y - 22), (x, y + 22), (x - 26, y + 22)], STEEL, line=3)
    paper.line([(x - 26, y), (x - 14, y)], INK, 6)
    paper.polygon(
        [(x, y - 11), (x + length, y - 11), (x + length, y + 11), (x, y + 11)],
        mixed(STEEL, PAPER, 0.4),
        line=3,
    )
    for step in range(1, round(length / 7)):
        paper.line(
            [(x + step * 7, y - 10), (x + step * 7 - 4, y + 10)], mixed(STEEL, INK, 0.5), 1.5
        )
    paper.line([(x, y + 34), (x + length, y + 34)], colour, 2.5)
    for end in (x, x + length):
        paper.line([(end, y + 27), (end, y + 41)], colour, 2.5)
