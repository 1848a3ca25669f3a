"""Bolt cards: positions as typed, 1:1 where measured, every screw named, order numbered."""

from math import cos, sin, tau

import pytest
import zxingcpp
from hypothesis import given, settings, strategies as st
from PIL import Image

from labels.boltcard.card import (
    RING_MM,
    BoltCard,
    CardHole,
    holes_in_one_measure,
    parse_clock,
    parse_hole,
    parse_place,
)
from labels.boltcard.face import draw_bolt_card
from labels.boltcard.shapes import letters
from labels.boltcard.tightening import star_order
from labels.errors import CardError, FitError
from labels.face.drawing import BLACK, Bitmap
from labels.stock.catalogue import find_stock, load_stock, whole_page
from labels.stock.geometry import Stock
from tests.examples import examples
from tests.labels.marks import ink_box, ink_in

STOCK = find_stock("card-120x70")
CODE = "TP-088-E"
SIX = tuple(CardHole(f"M6x{20 + 5 * at}", clock=2.0 * at) for at in range(6))
LID = tuple(
    parse_hole(text)
    for text in ("0 0: M6x20", "24 0: M6x45", "48 0: M6x20", "0 30: M6x60", "24 32: M6x20",
                 "48 30: M6x45", "24 16: M5x12")
)  # fmt: skip


@pytest.mark.parametrize(
    ("text", "hours"),
    [("6", 6), ("6 o'clock", 6), ("6 oclock", 6), ("6:30", 6.5), ("half past 6", 6.5),
     ("12", 0), ("12 o'clock", 0), ("0", 0), ("1.15", 1.25), ("3 h", 3), ("7½", 7.5),
     ("half past 12", 0.5)],
)  # fmt: skip
def test_clock_positions_are_read_as_typed(text: str, hours: float) -> None:
    assert parse_clock(text) == pytest.approx(hours)


@pytest.mark.parametrize("text", ["", "13", "6:75", "noon", "left", "-3", "6 7"])
def test_what_is_no_clock_position_is_refused(text: str) -> None:
    with pytest.raises(CardError, match="is not a clock position"):
        parse_clock(text)


@pytest.mark.parametrize(
    ("text", "place"),
    [("12.5 40", (12.5, 40)), ("12,5; 40", (12.5, 40)), ("12.5 x 40 mm", (12.5, 40)),
     ("(-3, 4)", (-3, 4)), ("12 mm / 8 mm", (12, 8)), ("-3.5/-4", (-3.5, -4))],
)  # fmt: skip
def test_places_are_read_as_typed(text: str, place: tuple[float, float]) -> None:
    assert parse_place(text) == place


@pytest.mark.parametrize("text", ["", "12", "12 o'clock", "1 2 3", "a b"])
def test_what_is_no_place_is_refused(text: str) -> None:
    with pytest.raises(CardError, match="is not a position"):
        parse_place(text)


@pytest.mark.parametrize(
    ("text", "hole"),
    [("6 o'clock: M6x45", CardHole("M6x45", clock=6)),
     ("6:30: long one", CardHole("long one", 6.5)),
     ("12.5 40: M5", CardHole("M5", at_mm=(12.5, 40))),
     ("half past 4: M6: black", CardHole("M6: black", 4.5))],
)  # fmt: skip
def test_holes_are_read_as_typed(text: str, hole: CardHole) -> None:
    assert parse_hole(text) == hole


@pytest.mark.parametrize("text", ["M6x45", "6 o'clock:", "6 o'clock M6", ": M6"])
def test_what_is_no_hole_is_refused(text: str) -> None:
    with pytest.raises(CardError):
        parse_hole(text)


def test_clock_positions_lie_round_a_circle_with_twelve_at_the_top() -> None:
    shape = holes_in_one_measure(BoltCard(CODE, SIX, circle_mm=50))
    for at, (x, y) in enumerate(shape.points):
        turn = tau * at / 6
        assert (x, y) == pytest.approx((25 * sin(turn), -25 * cos(turn)))
    assert shape.true_size
    assert shape.order == star_order(6)
    assert not holes_in_one_measure(BoltCard(CODE, SIX)).true_size


@pytest.mark.parametrize(
    ("card", "said"),
    [(BoltCard(CODE, ()), "at least one hole"),
     (BoltCard(CODE, (CardHole("a", 1), CardHole("b", at_mm=(1, 1)))), "not some of each"),
     (BoltCard(CODE, (CardHole("a"),)), "either a clock position or a measured place"),
     (BoltCard(CODE, (CardHole("a", 1, (1, 1)),)), "either a clock position"),
     (BoltCard(CODE, (CardHole("a", 1), CardHole("b", 2), CardHole("c", 1))),
      "Hole 3 is at the same place as hole 1"),
     (BoltCard(CODE, SIX, circle_mm=-2), "must be above zero")],
)  # fmt: skip
def test_holes_that_cannot_be_drawn_together_are_refused(card: BoltCard, said: str) -> None:
    with pytest.raises(CardError, match=said):
        draw_bolt_card(card, STOCK)


def rings(image: Image.Image, stock: Stock) -> list[tuple[float, float]]:
    """Middles of the rings in mm, found by their shape: inked at the ring and at the middle,
    blank in between."""
    grey, dots = image.convert("L"), stock.dots_per_mm
    ring, blank = (RING_MM / 2 - 0.18) * dots, 1.5 * dots
    turns = [tau * at / 16 for at in range(16)]
    on = [(round(ring * cos(turn)), round(ring * sin(turn))) for turn in turns]
    off = [(round(blank * cos(turn)), round(blank * sin(turn))) for turn in turns]
    data, width = grey.tobytes(), grey.width
    edge = round(ring) + 1
    found: list[tuple[float, float]] = []
    for y in range(edge, grey.height - edge):
        for x in range(edge, width - edge):
            if (
                not data[y * width + x]
                and all(data[(y + b) * width + x + a] for a, b in off)
                and not any(data[(y + b) * width + x + a] for a, b in on)
                and all(abs(x / dots - a) + abs(y / dots - b) > 1 for a, b in found)
            ):
                found.append((x / dots, y / dots))
    return found


def test_measured_holes_are_drawn_one_to_one() -> None:
    """Distances between the rings on the card, within 0.2 mm of what was measured."""
    low = find_stock("roll-100x50-203")
    for holes, stock in ((LID, STOCK), (LID[1:2] + LID[6:], low)):
        drawn = draw_bolt_card(BoltCard(CODE, holes), stock)
        assert drawn.true_size
        found = rings(drawn.image, stock)
        assert len(found) == len(holes)
        left, bottom = min(x for x, _ in found), max(y for _, y in found)
        measured = [hole.at_mm for hole in holes if hole.at_mm]
        x0, y0 = min(x for x, _ in measured), min(y for _, y in measured)
        for x, y in measured:
            meant = (left + x - x0, bottom - (y - y0))
            assert any(abs(meant[0] - a) <= 0.2 and abs(meant[1] - b) <= 0.2 for a, b in found), (
                meant
            )


def test_a_bolt_circle_of_known_size_is_drawn_one_to_one() -> None:
    found = rings(draw_bolt_card(BoltCard(CODE, SIX, circle_mm=44), STOCK).image, STOCK)
    assert len(found) == 6
    assert max(y for _, y in found) - min(y for _, y in found) == pytest.approx(44, abs=0.2)


def test_every_screw_is_named_and_the_card_decodes() -> None:
    card = BoltCard(CODE, SIX, "Right-hand crankcase cover", "HTTP://GARAGE.LOCAL:8017/TP-088-E")
    drawn = draw_bolt_card(card, STOCK)
    assert drawn.cuts == ()
    assert drawn.order == (1, 4, 2, 5, 3, 6)
    read = zxingcpp.read_barcode(drawn.image.convert("L"))
    assert read is not None
    assert read.text == card.payload


def test_names_and_discs_lie_on_nothing_else() -> None:
    """Ink of the words drawn last adds up: no word covers another or a ring."""
    for holes in (SIX, LID):
        drawn = draw_bolt_card(BoltCard(CODE, holes, "Cover"), STOCK)
        pictures = [mark for mark in drawn.drawing.elements if isinstance(mark, Bitmap)]
        inked = sum(_ink(mark) if mark.ink == BLACK else -_ink(mark) for mark in pictures)
        assert ink_in(drawn.image, (0, 0, *drawn.image.size)) == inked


def _ink(mark: Bitmap) -> int:
    return int(mark.picture.convert("L").histogram()[255]) * mark.times**2


def test_a_card_that_is_too_small_for_one_to_one_says_so_and_names_one_that_is_not() -> None:
    holes = (CardHole("a", at_mm=(0, 0)), CardHole("b", at_mm=(100, 40)))
    others = [whole_page("a4"), whole_page("letter"), STOCK]
    with pytest.raises(CardError, match=r"need 106 × 46 mm.*leaves \d+ × \d+ mm; use letter"):
        draw_bolt_card(BoltCard(CODE, holes), STOCK, others)
    assert draw_bolt_card(BoltCard(CODE, holes), whole_page("a4")).true_size
    with pytest.raises(CardError, match="use larger stock"):
        draw_bolt_card(BoltCard(CODE, holes), STOCK)


def test_a_card_too_small_for_the_symbol_is_refused() -> None:
    with pytest.raises(FitError):
        draw_bolt_card(BoltCard(CODE, SIX), Stock("dot", "card", 12, 8, 12, 8, 8))


@pytest.mark.parametrize("name", ["card-120x70", "a4-2x4-99.1x67.7", "roll-100x50-203"])
def test_a_card_keeps_to_the_printable_area(name: str) -> None:
    stock = find_stock(name)
    image = draw_bolt_card(BoltCard(CODE, SIX, "Cover"), stock).image
    assert image.size == stock.label_dots
    left, top, right, bottom = ink_box(image)
    assert min(left, top, image.width - right, image.height - bottom) > stock.dots_per_mm * 0.9


def test_names_that_find_no_room_at_their_holes_are_listed_or_reported() -> None:
    crowd = tuple(
        CardHole(f"a very long screw name {at}", at_mm=(7.0 * (at % 8), 7.0 * (at // 8)))
        for at in range(40)
    )
    drawn = draw_bolt_card(BoltCard(CODE, crowd), STOCK)
    (cut,) = [item for item in drawn.cuts if item.name == "screws"]
    assert letters(39) in cut.text
    assert cut.printed.endswith("…")


def test_close_holes_have_smaller_names_and_none_is_lost() -> None:
    """Ten screws in two rows, 11 mm apart."""
    head = tuple(
        CardHole(f"M8x{60 + 5 * (at % 3)}", at_mm=(11.0 * (at % 5), 34.0 * (at // 5)))
        for at in range(10)
    )
    outline = ((-7.0, -7.0), (51.0, -7.0), (51.0, 41.0), (-7.0, 41.0))
    drawn = draw_bolt_card(BoltCard(CODE, head, "Cylinder head", outline_mm=outline), STOCK)
    assert drawn.cuts == ()


def test_the_caution_stays_whole_on_a_small_card() -> None:
    """Follow the maker's manual: said short where there is no room to say it long."""
    for name in ("roll-100x50-203", "card-120x70", "a4-2x4-99.1x67.7"):
        drawn = draw_bolt_card(BoltCard(CODE, SIX, "Hub cover"), find_stock(name))
        assert drawn.cuts == ()


def test_holes_are_lettered_so_that_numbers_are_only_for_the_order() -> None:
    assert [letters(at) for at in (0, 1, 25, 26, 27, 51, 52, 701, 702)] == [
        "A", "B", "Z", "AA", "AB", "AZ", "BA", "ZZ", "AAA",
    ]  # fmt: skip


@given(
    st.lists(
        st.tuples(st.floats(0, 50), st.floats(0, 40)),
        min_size=1,
        max_size=14,
        unique_by=lambda p: (round(p[0]), round(p[1])),
    ),
    st.text(max_size=20),
)
@settings(max_examples=examples(25), deadline=None)
def test_any_measured_holes_give_a_card(places: list[tuple[float, float]], name: str) -> None:
    holes = tuple(CardHole(name or "M6", at_mm=place) for place in places)
    drawn = draw_bolt_card(BoltCard(CODE, holes), STOCK)
    assert sorted(drawn.order) == list(range(1, len(holes) + 1))


def test_every_shipped_stock_either_takes_a_card_or_refuses_it_in_words() -> None:
    for stock in load_stock().values():
        try:
            draw_bolt_card(BoltCard(CODE, SIX, "Cover"), stock)
        except (CardError, FitError) as error:
            assert str(error).endswith(".")
