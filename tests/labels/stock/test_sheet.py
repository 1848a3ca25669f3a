"""Labels on pages: where each lies, half-used sheets, cut marks."""

import pytest
from hypothesis import given, strategies as st

from labels.errors import StockError
from labels.face.drawing import Drawing
from labels.stock.catalogue import find_stock, load_stock
from labels.stock.geometry import Stock
from labels.stock.sheet import lay_out, next_label, page_count

STOCK = find_stock("a4-3x8-70x37")


def blanks(count: int) -> list[Drawing]:
    return [Drawing(*STOCK.label_dots) for _ in range(count)]


def test_a_half_used_sheet_starts_at_the_first_free_label() -> None:
    pages = list(lay_out(blanks(5), STOCK, first=23))
    assert [len(page.placed) for page in pages] == [2, 3]
    first, second = pages[0].placed
    assert [first.box.x, second.box.x] == pytest.approx([70, 140], abs=0.03)
    assert pages[1].placed[0].box.y == pytest.approx(0.5, abs=0.03)


@pytest.mark.parametrize("first", [0, -1, 25])
def test_a_first_label_that_is_not_on_the_sheet_is_refused(first: int) -> None:
    with pytest.raises(StockError, match="choose one from 1 to 24"):
        lay_out(blanks(1), STOCK, first=first)


@given(st.sampled_from(list(load_stock().values())), st.integers(1, 30), st.integers(0, 200))
def test_next_label_and_pages_follow_from_the_count(stock: Stock, first: int, count: int) -> None:
    first = min(first, stock.labels_per_page)
    drawings = [Drawing(*stock.label_dots) for _ in range(count)]
    pages = list(lay_out(drawings, stock, first))
    assert sum(len(page.placed) for page in pages) == count
    assert len(pages) == page_count(stock, first, count)
    after = next_label(stock, first, count)
    assert 1 <= after <= stock.labels_per_page
    if count and after > 1:
        last = pages[-1].placed[-1].box
        expected = stock.place(after - 1)
        assert [last.x, last.y] == pytest.approx([expected.x, expected.y], abs=0.1)


@pytest.mark.parametrize("name", load_stock())
def test_labels_lie_on_whole_dots_close_to_the_geometry(name: str) -> None:
    stock = find_stock(name)
    drawings = [Drawing(*stock.label_dots) for _ in range(stock.labels_per_page)]
    (page,) = lay_out(drawings, stock)
    for number, placed in enumerate(page.placed, 1):
        place = stock.place(number)
        for position, meant in ((placed.box.x, place.x), (placed.box.y, place.y)):
            assert abs(position - meant) < 0.1
            assert position * stock.dots_per_mm == pytest.approx(
                round(position * stock.dots_per_mm), abs=1e-6
            )


def test_pages_come_one_at_a_time() -> None:
    """The next page's labels are not drawn before they are asked for."""
    drawn = 0

    def drawing() -> Drawing:
        nonlocal drawn
        drawn += 1
        return Drawing(*STOCK.label_dots)

    pages = lay_out((drawing() for _ in range(240)), STOCK)
    next(pages)
    assert drawn <= 25


def test_cut_marks_stand_on_every_corner_and_only_on_request() -> None:
    (plain,) = lay_out(blanks(1), STOCK)
    assert plain.strokes == ()
    (marked,) = lay_out(blanks(1), STOCK, cut_marks=True)
    middles = {(round((s.x1 + s.x2) / 2, 2), round((s.y1 + s.y2) / 2, 2)) for s in marked.strokes}
    assert middles == {(70.0 * c, 0.5 + 37.0 * r) for c in range(4) for r in range(9)}
    assert len(marked.strokes) == 2 * len(middles)
