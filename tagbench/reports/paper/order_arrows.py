"""An order sheet: a card a part in the order in which they go on, and arrows for what covers what.

An arrow leads from a part to the one that covers it. Arrows run in lanes at the left; one that
leads to another page ends at the foot with the code it leads to, and begins again at the top there.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PIL import Image, ImageDraw

from labels.face.drawing import Drawing, PlacedPhoto
from labels.face.fonts import Style
from tagbench.reports.paper.blocks import Order, OrderCard, Picture
from tagbench.reports.paper.page_maker import (
    PageMaker,
    line_height,
    mm,
    put_box,
    put_frame,
    put_line,
    wrapped_lines,
)

LANE_MM = 4.0
THUMB_MM = (30.0, 22.0)
"""Room for the picture of a card."""
PAD_MM = 2.0
GAP_MM = 4.0
"""Between two cards."""
MOST_LANES = 9

Placer = Callable[[Picture, int, int], tuple[PlacedPhoto | None, str]]


@dataclass(frozen=True, slots=True)
class _Arrow:
    """From the card that is covered to the card that covers it, by their places in the list."""

    start: int
    end: int
    lane: int


def put_order(
    maker: PageMaker, order: Order, name: Style, body: Style, small: Style, fitted: Placer
) -> None:
    """Sets the cards on as many pages as they take, then the arrows between them."""
    arrows = _arrows(order.cards)
    lanes = 1 + max((arrow.lane for arrow in arrows), default=-1)
    gutter = mm(LANE_MM) * lanes + (mm(3) if lanes else 0)
    width = maker.width - gutter
    placed: list[tuple[Drawing, int, int]] = []
    for card in order.cards:
        put, high = _card(card, width, (name, body, small), fitted)
        if maker.left_over < high:
            maker.new_page()
        drawing = maker.drawing
        y = maker.bottom - maker.left_over
        put(drawing, maker.left + gutter, y)
        placed.append((drawing, y, high))
        maker.skip(high + mm(GAP_MM))
    for arrow in arrows:
        _put_arrow(maker, arrow, order.cards, placed, gutter, small)


def _arrows(cards: tuple[OrderCard, ...]) -> list[_Arrow]:
    """Each arrow in the first lane that is free all its way; long ones lie further out."""
    place = {card.number: at for at, card in enumerate(cards)}
    wanted = sorted(
        (
            (place[covered], at)
            for at, card in enumerate(cards)
            for covered in card.covers
            if covered in place
        ),
        key=lambda ends: (ends[1] - ends[0], ends),
    )
    taken: list[list[tuple[int, int]]] = []
    arrows = []
    for start, end in wanted:
        free = (
            lane
            for lane, used in enumerate(taken)
            if all(end <= other[0] or start >= other[1] for other in used)
        )
        lane = min(next(free, len(taken)), MOST_LANES - 1)
        if lane == len(taken):
            taken.append([])
        taken[lane].append((start, end))
        arrows.append(_Arrow(start, end, lane))
    return arrows


def _card(
    card: OrderCard, width: int, styles: tuple[Style, Style, Style], fitted: Placer
) -> tuple[Callable[[Drawing, int, int], None], int]:
    """A card: the number, the picture, the code, the name, and what it covers in words."""
    name, body, small = styles
    pad, thumb = mm(PAD_MM), (mm(THUMB_MM[0]), mm(THUMB_MM[1]))
    photo: PlacedPhoto | None = None
    said = ""
    if card.picture is not None:
        photo, said = fitted(Picture(card.picture), *thumb)
    left = pad + mm(10) + (thumb[0] + pad if card.picture is not None else 0)
    room = width - left - pad
    lines = [(text, name) for text in wrapped_lines(card.code, room, name)]
    lines += [(text, name) for text in wrapped_lines(card.name, room, name)]
    for words in card.words:
        lines += [(text, body) for text in wrapped_lines(words, room, body)]
    if said:
        lines += [(text, small) for text in wrapped_lines(said, room, small)]
    text_height = sum(line_height(style) for _, style in lines)
    high = max(text_height, thumb[1] if photo else 0, mm(12)) + 2 * pad

    def draw(to: Drawing, x: int, y: int) -> None:
        put_frame(to, x, y, width, high, mm(0.3))
        put_line(to, x + pad, y + pad, str(card.number), name)
        put_box(to, x + pad, y + pad + line_height(name) + mm(1), mm(5))
        if photo is not None:
            down = (thumb[1] - photo.height) // 2
            to.elements.append(photo._replace(x=x + pad + mm(10), y=y + pad + down))
        at = y + pad
        for text, style in lines:
            put_line(to, x + left, at, text, style)
            at += line_height(style)

    return draw, high


def _put_arrow(
    maker: PageMaker, arrow: _Arrow, cards: tuple[OrderCard, ...],
    placed: list[tuple[Drawing, int, int]], gutter: int, small: Style,
) -> None:  # fmt: skip
    x = maker.left + gutter - mm(3) - mm(LANE_MM) * arrow.lane - mm(LANE_MM) // 2
    edge = maker.left + gutter
    start, start_y, start_high = placed[arrow.start]
    end, end_y, end_high = placed[arrow.end]
    leaves, arrives = start_y + start_high * 2 // 3, end_y + end_high // 3
    thick = mm(0.4)
    start.bar(x, leaves, edge - x, thick)
    end.bar(x, arrives, edge - x - mm(1.5), thick)
    end.dots(_head(), edge - _head().width, arrives + thick // 2 - _head().height // 2)
    if start is end:
        start.bar(x, leaves, thick, arrives - leaves)
        return
    start.bar(x, leaves, thick, maker.bottom - leaves)
    put_line(start, x + mm(1), maker.bottom - line_height(small), cards[arrow.end].code, small)
    pages = maker.drawings
    for between in pages[pages.index(start) + 1 : pages.index(end)]:
        between.bar(x, maker.top, thick, maker.bottom - maker.top)
    end.bar(x, maker.top, thick, arrives - maker.top)


def _head() -> Image.Image:
    """The point of an arrow that leads to the right."""
    side = mm(2.6)
    picture = Image.new("1", (side, side))
    ImageDraw.Draw(picture).polygon([(0, 0), (side - 1, side // 2), (0, side - 1)], fill=1)
    return picture
