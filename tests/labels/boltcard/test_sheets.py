"""Bolt cards at 1:1 on plain paper: true to scale, tiled with marks, checked on every page."""

from dataclasses import replace
from math import dist
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image

from labels.boltcard.card import BoltCard, CardHole, check_distances, holes_in_one_measure
from labels.boltcard.sheets import OVERLAP_MM, draw_card_sheets
from labels.errors import CardError
from labels.output.files import write_pages
from labels.stock.catalogue import whole_page
from tests.approved_pictures import matches_approved
from tests.labels import raster

A4, LETTER = whole_page("a4"), whole_page("letter")
APPROVED = Path(__file__).parent / "approved"
PLACES = ((0, 0), (0, 62), (55, 80), (112, 64), (118, 8), (60, -12))
SCREWS = ("M6x25", "M6x25", "M8x40", "M6x40", "M6x65", "M6x40")
RINGS = (6.6, 6.6, 9.0, 6.6, 6.6, 6.6)
"""ISO 273:1979, medium series: 6.6 mm for M6, 9 mm for M8."""
COVER = BoltCard(
    "TP-047-W",
    tuple(
        CardHole(screw, at_mm=place, ring_mm=ring)
        for screw, place, ring in zip(SCREWS, PLACES, RINGS, strict=True)
    ),
    "Crankcase cover",
    outline_mm=((-8, -8), (-8, 70), (55, 90), (122, 70), (128, 2), (60, -22)),
    face="outside, screw heads towards you",
)
LARGE = replace(
    COVER,
    holes=tuple(
        replace(hole, at_mm=(x * 2.9, y * 4))
        for hole, (x, y) in zip(COVER.holes, PLACES, strict=True)
    ),
    outline_mm=(),
)


def pages_of(card: BoltCard, folder: Path, stock: object = A4, dpi: int = 150) -> list[Image.Image]:
    """The pages as a printer's raster, by pypdfium2."""
    chosen = A4 if stock is A4 else LETTER
    drawn = draw_card_sheets(card, chosen)
    file = folder / "card.pdf"
    write_pages(drawn.pages, len(drawn.pages), file, chosen.dots_per_mm)
    assert all(
        size == pytest.approx((chosen.page_width, chosen.page_height), abs=0.1)
        for size in raster.page_sizes_mm(file)
    )
    return [page.convert("L") for page in raster.pages(file, dpi)]


def ring_middles(page: Image.Image, dpi: int, ring_mm: float) -> list[tuple[float, float]]:
    """Middles of rings of one size in mm: a cross within a circle of ink, blank between."""
    from math import cos, sin, tau

    dots = dpi / 25.4
    turns = [tau * at / 24 for at in range(24)]
    radius = (ring_mm / 2 - 0.18) * dots
    on = [(round(radius * cos(turn)), round(radius * sin(turn))) for turn in turns]
    off = [(round(0.62 * radius * cos(turn)), round(0.62 * radius * sin(turn))) for turn in turns]
    data, width = page.tobytes(), page.width
    edge = round(radius) + 2
    found: list[tuple[float, float]] = []
    for y in range(edge, page.height - edge):
        for x in range(edge, width - edge):
            if data[y * width + x] > 128:
                continue
            if (
                all(data[(y + b) * width + x + a] > 128 for a, b in off)
                and sum(data[(y + b) * width + x + a] < 128 for a, b in on) >= 22
                and all(abs(x / dots - a) + abs(y / dots - b) > 1.5 for a, b in found)
            ):
                found.append((x / dots, y / dots))
    return found


def test_a_crankcase_cover_is_drawn_one_to_one_on_a_page(tmp_path: Path) -> None:
    """Distances between the rings on the raster, within 0.25 mm (1.5 dots) of what was measured."""
    (page,) = pages_of(COVER, tmp_path)
    small = ring_middles(page, 150, 6.6)
    assert len(small) == 5, "the ring of the M8 is larger"
    measured = [place for place, ring in zip(PLACES, RINGS, strict=True) if ring == 6.6]
    wanted = sorted(dist(a, b) for a in measured for b in measured)
    assert sorted(dist(a, b) for a in small for b in small) == pytest.approx(wanted, abs=0.25)


def test_rings_are_as_large_as_their_screws(tmp_path: Path) -> None:
    """One ring of 9 mm, for the M8."""
    (page,) = pages_of(COVER, tmp_path)
    assert len(ring_middles(page, 150, 9.0)) == 1


def test_every_page_has_a_scale_bar_of_100_mm(tmp_path: Path) -> None:
    """The longest run of ink at the foot, measured on each page of each paper."""
    for stock in (A4, LETTER):
        for page in pages_of(LARGE, tmp_path, stock):
            longest = 0.0
            for y in range(page.height - round(0.6 * 150), page.height):
                run = best = 0
                for shade in page.crop((0, y, page.width, y + 1)).tobytes():
                    run = run + 1 if shade < 128 else 0
                    best = max(best, run)
                longest = max(longest, best / 150 * 25.4)
            assert longest == pytest.approx(100.1, abs=0.3)


def test_tiles_overlap_and_their_marks_agree(tmp_path: Path) -> None:
    """Two neighbours laid over each other by the overlap show the same in it."""
    drawn = draw_card_sheets(LARGE, A4)
    assert (drawn.columns, drawn.rows) == (3, 2)
    pages = pages_of(LARGE, tmp_path)
    assert len(pages) == 7
    dots = 150 / 25.4
    left = 4.3 * dots
    wide = (210 - 2 * 4.3) * dots
    lap = OVERLAP_MM * dots
    first, second = pages[1], pages[2]
    high = round((297 - 2 * 4.3 - 17) * dots)
    one = first.crop((round(left + wide - lap) + 4, round(left), round(left + wide) - 4, high))
    other = second.crop((round(left) + 4, round(left), round(left + lap) - 4, high))
    pairs = list(zip(one.tobytes(), other.resize(one.size).tobytes(), strict=True))
    inked = [pair for pair in pairs if min(pair) < 100]
    assert inked, "the marks lie in the overlap"
    ys = [y for y in range(one.height) if min(one.crop((0, y, one.width, y + 1)).tobytes()) < 100]
    other_ys = [
        y
        for y in range(other.height)
        if min(other.crop((0, y, other.width, y + 1)).tobytes()) < 100
    ]
    shared = [y for y in other_ys if any(abs(y - seen) <= 1 for seen in ys)]
    assert len(shared) >= 0.5 * len(other_ys)


def test_the_first_page_says_what_there_is_to_know(tmp_path: Path) -> None:
    """And its symbol is read by zxing-cpp."""
    page = pages_of(COVER, tmp_path, dpi=300)[0]
    read = zxingcpp.read_barcode(page)
    assert read is not None and read.text == COVER.code
    assert draw_card_sheets(COVER, A4).cuts == ()


@pytest.mark.parametrize(("name", "card", "at"), [("cover", COVER, 0), ("tile", LARGE, 2)])
def test_a_page_looks_as_it_was_approved(
    name: str, card: BoltCard, at: int, tmp_path: Path
) -> None:
    page = pages_of(card, tmp_path, dpi=60)[at]
    assert matches_approved(page, APPROVED / f"{name}.png") == ""


def test_check_distances_lead_two_ways() -> None:
    """The longest between two holes, and one across it."""
    (a, b, long), (c, d, other) = check_distances(holes_in_one_measure(COVER))
    every = [dist(one, two) for one in PLACES for two in PLACES]
    assert long == pytest.approx(max(every))
    assert {a, b} != {c, d} and other < long


def test_what_was_measured_inside_is_mirrored() -> None:
    """Left and right change, up and down do not."""
    seen = holes_in_one_measure(COVER).points
    mirrored = holes_in_one_measure(replace(COVER, mirrored=True)).points
    assert [(-x, y) for x, y in seen] == list(mirrored)


def test_a_circle_without_a_size_and_a_figure_without_end_are_refused() -> None:
    with pytest.raises(CardError, match="a bolt circle with its diameter"):
        draw_card_sheets(
            BoltCard("TP-047-W", (CardHole("M6", clock=3), CardHole("M6", clock=9))), A4
        )
    far = (CardHole("M6", at_mm=(0, 0)), CardHole("M6", at_mm=(90000, 0)))
    with pytest.raises(CardError, match=r"would be 90000 × 0 mm"):
        draw_card_sheets(BoltCard("TP-047-W", far), A4)
