"""Stock: the shipped geometries, files of one's own, and geometry that does not close."""

from pathlib import Path

import pytest

from labels.errors import StockError
from labels.stock.catalogue import find_stock, load_stock, whole_page
from labels.stock.geometry import Stock
from tests.labels.published import rows

SHIPPED = (
    "a4-3x7-63.5x38.1", "a4-3x8-70x37", "a4-2x7-99.1x38.1", "a4-2x4-99.1x67.7",
    "letter-3x10-66.7x25.4", "letter-2x5-101.6x50.8", "roll-62x29-300", "roll-50x30-203",
    "roll-100x50-203", "card-120x70",
)  # fmt: skip
SHEETS = {
    "a4-3x7-63.5x38.1": "A4 3x7",
    "a4-3x8-70x37": "A4 3x8 full bleed",
    "a4-2x7-99.1x38.1": "A4 2x7",
    "a4-2x4-99.1x67.7": "A4 2x4",
    "letter-3x10-66.7x25.4": "Letter 3x10",
    "letter-2x5-101.6x50.8": "Letter 2x5",
}


def test_the_shipped_stock_is_complete() -> None:
    assert set(load_stock()) == set(SHIPPED)


@pytest.mark.parametrize("name", SHEETS)
def test_a_sheet_has_the_listed_geometry(name: str) -> None:
    """label_sheets.csv (common geometries, from memory; each closes on its page)."""
    stock = find_stock(name)
    listed = next(row for row in rows("label_sheets.csv") if row["geometry"] == SHEETS[name])
    for value, column in (
        (stock.page_width, "page_w_mm"), (stock.page_height, "page_h_mm"),
        (stock.columns, "cols"), (stock.rows, "rows"), (stock.labels_per_page, "labels"),
        (stock.label_width, "label_w_mm"), (stock.label_height, "label_h_mm"),
        (stock.margin_left, "left_margin_mm"), (stock.margin_top, "top_margin_mm"),
        (stock.pitch_x, "h_pitch_mm"), (stock.pitch_y, "v_pitch_mm"),
    ):  # fmt: skip
        assert value == pytest.approx(float(listed[column]), abs=0.001), column


@pytest.mark.parametrize("name", SHEETS)
def test_the_margins_of_a_sheet_are_alike_on_both_sides(name: str) -> None:
    stock = find_stock(name)
    last = stock.place(stock.labels_per_page)
    assert stock.page_width - last.right == pytest.approx(stock.margin_left, abs=0.01)
    assert stock.page_height - last.bottom == pytest.approx(stock.margin_top, abs=0.01)


@pytest.mark.parametrize(("name", "page"), [("a4", "A4"), ("letter", "US Letter"), ("a5", "A5")])
def test_pages_have_their_published_size(name: str, page: str) -> None:
    """ISO 216 and ANSI A, page_sizes.csv."""
    listed = next(row for row in rows("page_sizes.csv") if row["name"] == page)
    stock = whole_page(name)
    assert (stock.page_width, stock.page_height) == (
        float(listed["width_mm"]),
        float(listed["height_mm"]),
    )


def test_203_dpi_is_eight_dots_a_millimetre() -> None:
    """label_rolls.csv: a 48 mm head has 384 dots."""
    listed = next(row for row in rows("label_rolls.csv") if row["media_width_mm"] == "58")
    stock = find_stock("roll-50x30-203")
    assert stock.dots(float(listed["print_width_mm"])) == int(listed["dots_203"])
    assert stock.dots_per_inch == pytest.approx(203.2)


def test_labels_are_counted_along_the_rows() -> None:
    stock = find_stock("a4-3x8-70x37")
    assert (stock.place(1).x, stock.place(1).y) == (0, 0.5)
    assert (stock.place(3).x, stock.place(4).x) == (140, 0)
    assert stock.place(4).y == 37.5
    assert stock.place(25) == stock.place(1)


def test_every_label_keeps_clear_what_the_printer_cannot_reach_on_any() -> None:
    clear = find_stock("a4-3x8-70x37").keep_clear
    assert (clear.left, clear.top) == pytest.approx((4.3, 3.8))
    assert find_stock("a4-3x7-63.5x38.1").keep_clear.left == 0


def test_an_unknown_stock_is_refused_with_close_names() -> None:
    with pytest.raises(StockError, match="a4-3x8-70x37"):
        find_stock("a4-3x8")
    with pytest.raises(StockError, match="roll-62x29-300"):
        find_stock("zzzzzz")
    with pytest.raises(StockError, match="a4 or a5 or letter"):
        whole_page("b9")


ONE = """
["my-2x2-50.5x30"]
kind = "sheet"
page = [120, 80]
columns = 2
rows = 2
label = [50.5, 30]
margin = [8, 5]
pitch = [53, 33]
dots_per_mm = 12
"""


def written(folder: Path, text: str) -> Path:
    path = folder / "stock.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_stock_of_ones_own_joins_the_known(tmp_path: Path) -> None:
    known = load_stock([written(tmp_path, ONE)])
    assert find_stock("my-2x2-50.5x30", known).labels_per_page == 4
    assert set(SHIPPED) <= set(known)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (("margin = [8, 5]", "margin = [18, 5]"), r"18 \+ 1 × 53 \+ 50.5 = 121.5 mm.*120 mm wide"),
        (("rows = 2", "rows = 3"), r"3 rows do not close.*5 \+ 2 × 33 \+ 30 = 101 mm.*80 mm high"),
        (("pitch = [53, 33]", "pitch = [50, 33]"), "labels 50.5 mm wide overlap at a pitch of 50"),
        (("columns = 2", "columns = 0"), "above zero"),
        (("margin = [8, 5]", "margin = [-1, 5]"), "cannot be below zero"),
        (("dots_per_mm = 12", ""), "needs either dots_per_inch or dots_per_mm"),
        (("dots_per_mm = 12", "dots_per_mm = 12\ndots_per_inch = 300"), "needs either"),
        (('kind = "sheet"', 'kind = "slab"'), "is not understood"),
        (("rows = 2", 'rows = "two"'), "rows"),
        (("rows = 2", "rowz = 2"), "rowz"),
        (
            ("dots_per_mm = 12", 'dots_per_inch = "fine"'),
            "dots_per_inch is 'fine' and should be a number, 300",
        ),
        (("page = [120, 80]", "page = [120, 'x']"), r"page is \[120, 'x'\] and should be width"),
        (("page = [120, 80]", "page = [120]"), r"page is \[120\] and should be width and height"),
        (('["my-2x2-50.5x30"]', "[my-2x2-50.5x30]"), "needs quotes"),
        (("page = [120, 80]", "page = 120, 80"), "not valid TOML"),
        (
            ("dots_per_mm = 12", "dots_per_mm = 12\nhole = [1, 15, 6]"),
            r"hole does not lie within the label: 1 ± 6 / 2 is -2 to 4 mm from the left",
        ),
        (
            ("dots_per_mm = 12", "dots_per_mm = 12\nhole = [25, 28, 6]"),
            r"28 ± 6 / 2 is 25 to 31 mm from the top edge, and the label is from 0 to 30 mm",
        ),
        (("dots_per_mm = 12", "dots_per_mm = 12\nhole = [9, 9, 0]"), "0 mm across is none"),
        (("dots_per_mm = 12", "dots_per_mm = 300"), r"300 × 25\.4|more likely dots_per_inch"),
        (("dots_per_mm = 12", "dots_per_inch = 8"), r"8 is more likely dots_per_mm"),
        (("dots_per_mm = 12", "dots_per_mm = nan"), "dots has nan, which is not a length"),
        (("label = [50.5, 30]", "label = [nan, 30]"), "label has nan"),
        (("pitch = [53, 33]", "pitch = [inf, 33]"), "pitch has inf"),
        (("pitch = [53, 33]", "pitch = [-53, 33]"), "pitch across is -53 mm"),
        (
            ("margin = [8, 5]", "margin = [-4, 5]"),
            r"first label would lie from -4 to -4 \+ 50\.5 = 46\.5 mm",
        ),
        (
            ("rows = 2", "rows = 2\nunprintable = [70, 0, 60, 0]"),
            r"leave nothing: 70 \+ 60 = 130 mm, and the page is 120 mm wide",
        ),
        (("rows = 2", "rows = 2\nunprintable = [-1, 0, 0, 0]"), "cannot be -1 mm"),
    ],
)
def test_a_stock_file_that_is_wrong_says_what_is_wrong(
    tmp_path: Path, change: tuple[str, str], said: str
) -> None:
    with pytest.raises(StockError, match=said):
        load_stock([written(tmp_path, ONE.replace(*change))])


def test_a_byte_order_mark_is_no_part_of_the_file(tmp_path: Path) -> None:
    """Some editors begin every file with one (U+FEFF)."""
    path = tmp_path / "stock.toml"
    path.write_bytes(b"\xef\xbb\xbf" + ONE.encode())
    assert "my-2x2-50.5x30" in load_stock([path])


def test_a_stock_file_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(StockError, match=r"gone\.toml cannot be read"):
        load_stock([tmp_path / "gone.toml"])


def test_dots_never_exceed_the_label() -> None:
    for stock in load_stock().values():
        width, height = stock.label_dots
        assert width <= stock.label_width * stock.dots_per_mm + 1e-6 < width + 1
        assert height <= stock.label_height * stock.dots_per_mm + 1e-6 < height + 1


def test_the_hole_of_a_card_is_a_part_of_it() -> None:
    hole = find_stock("card-120x70").hole
    assert hole is not None
    assert isinstance(find_stock("card-120x70"), Stock)
    assert hole.x_mm > hole.diameter_mm / 2
