"""The words on the demo's tags, measured from their pictures.

Capitals of 1.8 mm or more are wanted at arm's length (common practice, no source).
"""

from __future__ import annotations

import random

import cv2
import numpy
import pytest
from PIL import Image

from labels.code import make_code
from labels.face.artwork import TagArtwork, draw_tag
from labels.face.drawing import Bar
from labels.face.fonts import Style
from labels.face.text import least_em, text_pieces, text_width, wrap
from labels.stock.catalogue import shipped_stock
from tagbench.book import Book
from tagbench.book.operations.tagging import codes_to_print
from tagbench.records import Bin, Part, Tables
from tagbench.rules.tag_text import part_title, tag_text
from tagbench.trade.fasteners.text import parse_fasteners

CAPITAL_MM = 1.8
ADDRESS = "garage.local:8017"


def lowest_line(drawn: TagArtwork, dots_per_mm: float) -> float:
    """The tallest letter of each line of words; of these the least, in mm.

    Letters are connected dots, told apart from the symbol by its box; those that end
    within 0.8 mm stand on one line (some have tails). Dots, signs and black bands are
    left out, and short lines: a last word such as "screws" has no capital to measure.
    """
    image = drawn.image.convert("L")
    quiet = drawn.fit.quiet
    left, top, right, bottom = drawn.symbol_box
    image.paste(255, (left - quiet, top - quiet, right + quiet, bottom + quiet))
    for mark in drawn.drawing.elements:
        if isinstance(mark, Bar):
            image.paste(255, (mark.x, mark.y, mark.x + mark.width, mark.y + mark.height))
    ink = numpy.asarray(image.point([255 if shade < 128 else 0 for shade in range(256)]))
    count, _, boxes, _ = cv2.connectedComponentsWithStats(ink.astype(numpy.uint8), connectivity=8)
    letters = sorted(
        (int(box[cv2.CC_STAT_TOP] + box[cv2.CC_STAT_HEIGHT]), int(box[cv2.CC_STAT_HEIGHT]))
        for box in boxes[1:count]
        if box[cv2.CC_STAT_HEIGHT] > dots_per_mm
    )
    lines: list[list[tuple[int, int]]] = []
    for foot, height in letters:
        if lines and foot - lines[-1][-1][0] <= 0.8 * dots_per_mm:
            lines[-1].append((foot, height))
        else:
            lines.append([(foot, height)])
    tallest = [max(height for _, height in line) for line in lines if len(line) >= 8]
    return min(tallest) / dots_per_mm


PARTS_OF_IT = 24
"""The tags of the demo are drawn by every twenty-fourth, on each stock."""


@pytest.mark.sampled(97)
@pytest.mark.parametrize("name", list(shipped_stock()))
@pytest.mark.parametrize("first", range(PARTS_OF_IT))
def test_all_words_of_the_demo_are_high_enough_and_none_is_left_out(
    name: str, first: int, demo_book: Book
) -> None:
    """On every stock; what is cut is told."""
    stock, tables = shipped_stock()[name], demo_book.records
    low = {}
    for code in list(codes_to_print(tables))[first::PARTS_OF_IT]:
        drawn = draw_tag(tag_text(tables, code, ADDRESS), stock)
        height = lowest_line(drawn, stock.dots_per_mm)
        if height < CAPITAL_MM - 1e-9:
            low[code] = round(height, 2)
        for item in drawn.cuts:
            assert item.name in ("sits how", "fasteners", "inside")
            assert item.printed.endswith("…")
    assert low == {}


NAMES = (
    *("Drum", "Kick start return spring with its bent anchor pin", "Gearbox layshaft third gear"),
    *("Hub felt seal", "Carburettor float chamber gasket", "Rückstrahlerbefestigungswinkel"),
)
PLACES = ("Front wheel / Brake", "Engine / Kick start / Right-hand cover", "Electrics")
SCREWS = ("4x M5x0.8x12 pan", "2x M8x1.25x30 hex 8.8", "circlip 17", "cotter pin 3.2x32")
SITS = ("", "heads outward", "long leg up, hook towards the gearbox, white paint at the top")


def ordinary(chance: random.Random) -> Tables:
    """Twins with one name, long or short, with up to three fasteners, in a bag."""
    bag = Bin(code=str(make_code("BIN", chance.randint(1, 900))), name=chance.choice(NAMES))
    serial, name = chance.randint(1, 900), chance.choice(NAMES)
    screws = parse_fasteners("; ".join(chance.sample(SCREWS, chance.randint(1, 3))))
    twins = [
        Part(
            code=str(make_code("TP", serial + at)),
            name=name,
            assembly=PLACES[serial % 3],
            position=f"{side}, behind the drum",
            quantity=chance.choice((1, 1, 4)),
            fasteners=screws,
            sits_how=chance.choice(SITS),
            bin=bag.code,
        )
        for at, side in enumerate(("left", "right"))
    ]
    return Tables(parts={part.code: part for part in twins}, bins={bag.code: bag})


@pytest.mark.sampled(5)
@pytest.mark.parametrize("name", list(shipped_stock()))
def test_capitals_of_random_ordinary_records_are_high_enough(name: str) -> None:
    """Two books of twins and a bag, the same on every stock."""
    stock, chance, low = shipped_stock()[name], random.Random(7), {}
    for _ in range(2):
        tables = ordinary(chance)
        for code in [*tables.parts, *tables.bins]:
            drawn = draw_tag(tag_text(tables, code, ADDRESS), stock)
            height = lowest_line(drawn, stock.dots_per_mm)
            if height < CAPITAL_MM - 1e-9:
                low[drawn.text] = round(height, 2)
    assert low == {}


def test_how_many_there_are_stays_with_its_sign() -> None:
    """Wherever a line ends, the number goes down together with the sign before it."""
    part = Part(code=str(make_code("TP", 405)), name="Spring clip", quantity=4)
    title, style = part_title(part), Style(40)
    for room in range(text_width("Spring", style), text_width(title, style)):
        line, rest = wrap(title, room, style)
        assert (line + rest).replace(" ", "").endswith("clip×\u00a04")
        assert rest.endswith("×\u00a04")


def test_left_and_right_twins_differ_in_their_looks(demo_book: Book) -> None:
    """LEFT stands black at the line's beginning, RIGHT at its end, level with the assembly."""
    tables, stock = demo_book.records, shipped_stock()["roll-62x29-300"]
    twins = {
        part.position: part for part in tables.parts.values() if part.name == "Front wheel bearing"
    }
    shares = {}
    for side, part in twins.items():
        drawn = draw_tag(tag_text(tables, part.code, ADDRESS), stock)
        boxed = [mark for mark in drawn.drawing.elements if isinstance(mark, Bar)]
        assert len(boxed) == 1
        shares[side] = (boxed[0].x + boxed[0].width / 2) / drawn.drawing.width
    assert shares["right"] - shares["left"] > 0.25


def test_letters_stand_apart_at_203_dots_per_inch() -> None:
    """As many separate pieces of ink as letters, for letters of one piece each."""
    for text in ("llllrnrnmmvvwwkk", "HHMMNNVVAAWWTT"):
        for width in (100, 90, 80):
            style = Style(least_em(CAPITAL_MM * 8), width=width)
            for picture, _, _ in text_pieces(text, style):
                room = Image.new("L", picture.size)
                room.paste(255, (0, 0), picture)
                count, _ = cv2.connectedComponents(numpy.asarray(room), connectivity=8)
                assert count - 1 == len(text)
