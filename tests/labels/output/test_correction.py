"""The ruler page, and what its measures are turned into."""

from pathlib import Path

import pytest
from hypothesis import given, strategies as st

from labels.errors import StockError
from labels.output.correction import Correction, correction_from_ruler, ruler_inset
from labels.output.files import write_pages
from labels.output.ruler import ruler_page
from labels.stock.catalogue import find_stock, load_stock
from tests.labels import raster
from tests.labels.marks import ink_in

SMALL = st.floats(-3, 3)
STRETCH = st.floats(0.97, 1.03)


def printed(value: float, shift: float, stretch: float) -> float:
    """Where a printer that is off puts a position."""
    return shift + stretch * value


@given(SMALL, SMALL, STRETCH, STRETCH)
def test_a_measured_correction_undoes_what_the_printer_does(
    shift_x: float, shift_y: float, stretch_x: float, stretch_y: float
) -> None:
    left, right = printed(20, shift_x, stretch_x), printed(190, shift_x, stretch_x)
    top, bottom = printed(20, shift_y, stretch_y), printed(277, shift_y, stretch_y)
    correction = correction_from_ruler(
        210, 297, left=left, across=right - left, top=top, down=bottom - top
    )
    box = correction.box(find_stock("a4-3x7-63.5x38.1").place(21))
    meant = find_stock("a4-3x7-63.5x38.1").place(21)
    assert printed(box.x, shift_x, stretch_x) == pytest.approx(meant.x, abs=1e-6)
    assert printed(box.bottom, shift_y, stretch_y) == pytest.approx(meant.bottom, abs=1e-6)


def test_a_perfect_printer_needs_no_correction() -> None:
    assert correction_from_ruler(210, 297, left=20, across=170, top=20, down=257) == Correction()


@pytest.mark.parametrize(
    ("change", "said"),
    [({"across": 160.0}, "“across” was measured as 160 mm and is meant to be 170"),
     ({"down": 270.0}, "“down”.*without “fit to page”"),
     ({"left": 42.0}, "“left” was measured as 42 mm and is meant to be 20"),
     ({"top": 5.0}, "“top”.*from the edge of the paper")],
)  # fmt: skip
def test_measures_that_cannot_be_are_asked_for_again(change: dict[str, float], said: str) -> None:
    measures = {"left": 20.0, "across": 170.0, "top": 20.0, "down": 257.0} | change
    with pytest.raises(StockError, match=said):
        correction_from_ruler(210, 297, **measures)


@pytest.mark.parametrize("name", ["a4-3x7-63.5x38.1", "letter-3x10-66.7x25.4", "card-120x70"])
def test_the_lines_of_the_ruler_page_are_where_they_are_meant_to_be(
    tmp_path: Path, name: str
) -> None:
    """Within 0.1 mm, measured on the raster along two rows and two columns."""
    stock = find_stock(name)
    (file,) = write_pages([ruler_page(stock)], 1, tmp_path / "r.pdf", stock.dots_per_mm)
    (page,) = raster.pages(file, 600)
    per_mm = 600 / 25.4
    inset = ruler_inset(stock.page_width, stock.page_height)
    low = round((stock.page_height - inset - 2.5) * per_mm)
    for meant in (inset, stock.page_width - inset):
        near = round(meant * per_mm)
        assert ink_in(page, (near - 3, low, near + 3, low + 1)) > 0
    beside = round((stock.page_width - inset - 2.5) * per_mm)
    for meant in (inset, stock.page_height - inset):
        near = round(meant * per_mm)
        assert ink_in(page, (beside, near - 3, beside + 1, near + 3)) > 0


@pytest.mark.sampled(3)
@pytest.mark.parametrize("name", load_stock())
def test_every_stock_has_a_ruler_page_of_its_own_size(tmp_path: Path, name: str) -> None:
    stock = find_stock(name)
    (file,) = write_pages([ruler_page(stock)], 1, tmp_path / "r.pdf", stock.dots_per_mm)
    ((width, height),) = raster.page_sizes_mm(file)
    assert [width, height] == pytest.approx([stock.page_width, stock.page_height], abs=0.2)
    (picture,) = write_pages([ruler_page(stock)], 1, tmp_path / "r.png", stock.dots_per_mm)
    assert picture.stat().st_size > 200
