"""Tags: the code largest, nothing in the quiet zone, nothing lost, every stock and every face."""

from dataclasses import replace
from itertools import pairwise

import pytest
import zxingcpp
from hypothesis import given, settings, strategies as st

from labels.errors import FitError
from labels.face.artwork import TagArtwork, draw_tag
from labels.face.drawing import Bitmap
from labels.face.fonts import CAPITAL
from labels.face.tagtext import TagLine, TagText
from labels.stock.catalogue import find_stock, load_stock
from labels.stock.geometry import Stock
from labels.stock.sizing import ink_area
from labels.symbols.symbol import make_symbol
from tests.examples import examples
from tests.labels.marks import ink_box, ink_in
from tests.labels.samples import bin_tag, drawn_once, long_tag, spare, tag

STOCKS = list(load_stock())
FACES = {"part": tag(), "long": long_tag(), "bin": bin_tag(), "spare": spare(231)}
PORTRAIT = Stock("upright-30x60", "roll", 30, 60, 30, 60, dots_per_mm=12)


def assert_quiet(drawn: TagArtwork) -> None:
    """Four modules round the symbol hold no ink, and lie on the label."""
    image, (left, top, right, bottom) = drawn.image, drawn.symbol_box
    quiet = drawn.fit.quiet
    outer = (left - quiet, top - quiet, right + quiet, bottom + quiet)
    assert outer[0] >= 0
    assert outer[1] >= 0
    assert outer[2] <= image.width
    assert outer[3] <= image.height
    assert ink_in(image, outer) == ink_in(image, drawn.symbol_box)


@pytest.mark.sampled(5)
@pytest.mark.parametrize("name", STOCKS)
@pytest.mark.parametrize("face", FACES)
def test_each_face_on_each_stock(name: str, face: str) -> None:
    """Exact size, 1 bit, ink only where a printer reaches, a blank quiet zone, exact modules."""
    stock = find_stock(name)
    drawn = drawn_once(FACES[face], stock)
    image = drawn.image
    assert image.mode == "1"
    assert image.size == stock.label_dots
    area = ink_area(stock)
    left, top, right, bottom = ink_box(image)
    assert left >= area.left
    assert top >= area.top
    assert right <= area.right
    assert bottom <= area.bottom + 1
    assert_quiet(drawn)
    read = zxingcpp.read_barcode(image.convert("L"))
    assert read is not None
    assert read.text == FACES[face].payload


ODD = [
    Stock(f"odd-{width}x{height}", "roll", width, height, width, height, dots)
    for width, height, dots in (
        (38.1, 21.2, 600 / 25.4), (40, 20, 8), (44.45, 12.7, 600 / 25.4), (30, 15, 12),
        (30, 60, 12), (25, 70, 8), (24, 24, 12), (22, 40, 8),
    )
]  # fmt: skip


@pytest.mark.sampled(5)
@pytest.mark.parametrize("stock", ODD, ids=lambda stock: stock.name)
@pytest.mark.parametrize("face", FACES)
def test_each_face_on_tiny_and_upright_labels(stock: Stock, face: str) -> None:
    drawn = drawn_once(FACES[face], stock)
    assert_quiet(drawn)
    area, box = ink_area(stock), ink_box(drawn.image)
    assert box[0] >= area.left
    assert box[1] >= area.top
    assert box[2] <= area.right
    assert box[3] <= area.bottom + 1
    read = zxingcpp.read_barcode(drawn.image.convert("L"))
    assert read is not None
    assert read.text == FACES[face].payload


def test_on_a_tiny_label_the_name_is_the_last_thing_to_go() -> None:
    for stock in ODD[:4]:
        lost = [item.name for item in drawn_once(long_tag(), stock).cuts if not item.printed]
        order = ["name", *(line.name for line in long_tag().lines)]
        assert lost == order[len(order) - len(lost) :]
        assert "name" not in lost


def test_on_a_wide_low_tape_the_lines_run_on() -> None:
    """Four lines under each other would lose half of what there is room for."""
    assert drawn_once(tag(), Stock("tape-140x15", "roll", 140, 15, 140, 15, 8)).cuts == ()
    tape = Stock("tape-62x12", "roll", 62, 12, 62, 12, 300 / 25.4)
    cuts = drawn_once(long_tag(), tape).cuts
    texts = {line.name: line.text for line in long_tag().lines} | {"name": long_tag().title}
    assert cuts
    for item in cuts:
        assert item.text == texts[item.name]
        assert item.text.startswith(item.printed.rstrip("…"))


def test_a_bins_kind_is_never_lost() -> None:
    """Where no band fits it is one of the lines, and so printed or reported."""
    square = Stock("square", "roll", 21, 19, 21, 19, 12)
    with_kind = drawn_once(bin_tag(), square)
    without = drawn_once(replace(bin_tag(), heading=""), square)
    said = [item.name for item in with_kind.cuts]
    assert "kind" in said or with_kind.image.tobytes() != without.image.tobytes()


def test_every_module_is_a_whole_square_of_dots() -> None:
    stock = find_stock("a4-3x8-70x37")
    drawn = drawn_once(tag(), stock)
    image, (left, top, _, _) = drawn.image, drawn.symbol_box
    dots = drawn.fit.module_dots
    for y, line in enumerate(make_symbol(tag().payload, drawn.fit.level).rows):
        for x, dark in enumerate(line):
            box = (left + x * dots, top + y * dots, left + (x + 1) * dots, top + (y + 1) * dots)
            assert ink_in(image, box) == (dots * dots if dark else 0)


@pytest.mark.sampled(3)
@pytest.mark.parametrize("name", STOCKS)
def test_the_code_is_the_largest_text(name: str) -> None:
    stock = find_stock(name)
    for text in (tag(), long_tag(), tag(5, "Cam", ())):
        heights = text_heights(drawn_once(text, stock))
        code = max(heights)
        others = [height for height in heights if height < 0.999 * code]
        assert code / stock.dots_per_mm >= 3.4
        assert max(others, default=0) <= code


@pytest.mark.sampled(3)
@pytest.mark.parametrize("name", ["letter-3x10-66.7x25.4", "a4-3x8-70x37", "card-120x70"])
def test_no_letter_lies_on_another(name: str) -> None:
    """The ink of all pieces adds up, also where the code has a J or a Q with its tail."""
    stock = find_stock(name)
    for serial in (3, 11, 45, 54):
        for prefix in ("QJ", "J", "TP"):
            drawn = drawn_once(tag(serial, "Bracket of the chassis, jig g", mark=prefix), stock)
            marks = [mark for mark in drawn.drawing.elements if isinstance(mark, Bitmap)]
            ink = sum(one.picture.convert("L").histogram()[255] * one.times**2 for one in marks)
            assert ink_in(drawn.image, (0, 0, *drawn.image.size)) == ink


def text_heights(drawn: TagArtwork) -> list[float]:
    """Heights of the drawn pieces of text in dots; the symbol is not one."""
    return [
        mark.height
        for mark in drawn.drawing.elements
        if isinstance(mark, Bitmap) and mark.times == 1 and mark.height > 3
    ]


@pytest.mark.sampled(3)
@pytest.mark.parametrize("name", STOCKS)
def test_words_are_readable_at_arms_length_on_every_stock(name: str) -> None:
    """Ordinary words: capitals of 1.8 mm or more on any stock (invented bound, from trial)."""
    stock = find_stock(name)
    drawn = drawn_once(tag(), stock)
    capitals = [height for height in text_heights(drawn) if height > 0.8 * stock.dots_per_mm]
    assert drawn.cuts == ()
    assert min(capitals) / stock.dots_per_mm > 0.8
    assert sorted(capitals)[len(capitals) // 2] / stock.dots_per_mm >= 1.8 * CAPITAL


@pytest.mark.sampled(3)
@pytest.mark.parametrize("name", STOCKS)
def test_nothing_is_cut_on_ordinary_tags(name: str) -> None:
    for text in (tag(), bin_tag(), spare(231)):
        assert drawn_once(text, find_stock(name)).cuts == ()


def test_what_is_cut_is_reported_with_what_is_printed() -> None:
    drawn = drawn_once(long_tag(), find_stock("roll-50x30-203"))
    names = {line.name: line.text for line in long_tag().lines} | {"name": long_tag().title}
    assert drawn.cuts
    for item in drawn.cuts:
        assert item.text == names[item.name]
        assert item.printed.endswith("…")
        assert item.text.startswith(item.printed.rstrip("…"))


def test_a_large_label_cuts_nothing_of_the_same_tag() -> None:
    assert drawn_once(long_tag(), find_stock("a4-2x7-99.1x38.1")).cuts == ()


def test_characters_no_face_has_are_reported() -> None:
    drawn = draw_tag(tag(title="刹车 brake"), find_stock("roll-62x29-300"))
    assert drawn.undrawable == ("刹", "车")


def test_a_bin_stands_out_by_a_black_band_with_its_kind() -> None:
    stock = find_stock("roll-62x29-300")
    drawn = drawn_once(bin_tag(), stock)
    area = ink_area(stock)
    band = (area.right - 40, area.top, area.right, area.bottom)
    inked = ink_in(drawn.image, band) / (40 * area.height)
    assert 0.5 < inked < 0.98
    assert ink_in(drawn_once(tag(), stock).image, band) / (40 * area.height) < 0.4


def test_a_spare_tag_has_lines_to_write_on() -> None:
    stock = find_stock("a4-3x8-70x37")
    image = drawn_once(spare(231), stock).image
    area = ink_area(stock)
    longest = [
        row
        for row in range(image.height * 2 // 5, image.height)
        if ink_in(image, (area.left, row, area.right, row + 1)) > 0.55 * area.width
    ]
    rules = [row for row in longest if row - 1 not in longest]
    assert len(rules) == 3
    gaps = [below - above for above, below in pairwise(rules)]
    assert all(gap >= 6.4 * stock.dots_per_mm for gap in gaps)


def test_an_upright_label_has_its_words_below_the_symbol() -> None:
    drawn = drawn_once(tag(), PORTRAIT)
    assert_quiet(drawn)
    assert ink_box(drawn.image)[3] > drawn.symbol_box[3] + 100
    assert drawn.symbol_box[2] <= ink_area(PORTRAIT).right


def test_the_hole_of_a_hanging_tag_stays_free() -> None:
    stock = find_stock("card-120x70")
    hole = stock.hole
    assert hole is not None
    reach = hole.diameter_mm / 2
    box = (
        0,
        int((hole.y_mm - reach) * stock.dots_per_mm),
        int((hole.x_mm + reach) * stock.dots_per_mm),
        int((hole.y_mm + reach) * stock.dots_per_mm),
    )
    assert ink_in(drawn_once(long_tag(), stock).image, box) == 0


def test_a_bare_code_is_the_payload_when_there_is_no_address() -> None:
    text = tag(address=None)
    drawn = drawn_once(replace(text, payload=""), find_stock("roll-50x30-203"))
    read = zxingcpp.read_barcode(drawn.image.convert("L"))
    assert read is not None
    assert read.text == text.code


def test_stock_too_small_for_the_symbol_is_refused() -> None:
    with pytest.raises(FitError, match="can hold it"):
        draw_tag(tag(), Stock("dot", "roll", 9, 9, 9, 9, 8), load_stock().values())


@given(
    st.text(min_size=0, max_size=70),
    st.lists(st.text(max_size=60), max_size=5),
    st.sampled_from(["roll-62x29-300", "roll-50x30-203", "letter-3x10-66.7x25.4"]),
    st.sampled_from(["part", "bin", "spare"]),
)
@settings(max_examples=examples(25), deadline=None)
def test_no_text_whatever_touches_the_quiet_zone(
    title: str, lines: list[str], name: str, kind: str
) -> None:
    text = TagText(
        "TP-017-7",
        title,
        tuple(TagLine(f"{at}", line) for at, line in enumerate(lines)),
        "bin" if kind == "bin" else "spare" if kind == "spare" else "part",
        heading="drawer" if kind == "bin" else "",
        payload="HTTP://GARAGE.LOCAL:8017/TP-017-7",
    )
    assert_quiet(draw_tag(text, find_stock(name)))
