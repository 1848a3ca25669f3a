"""Size rules: whole dots, never under 0.33 mm, the right level, and refusal with figures."""

from dataclasses import replace
from itertools import product

import pytest

from labels.code import make_code
from labels.errors import FitError
from labels.stock.catalogue import find_stock, load_stock
from labels.stock.geometry import Insets, PunchedHole, Stock
from labels.stock.sizing import LEAST_MM, PREFERRED_MM, fit_symbol, ink_area
from labels.symbols.payload import payload
from tests.every import every
from tests.labels.published import rows

URL = payload(make_code("TP", 17), "garage.local:8017")
SMALL = Stock("small-20x12", "roll", 20, 12, 20, 12, dots_per_mm=8)


@pytest.mark.parametrize("name", load_stock())
@pytest.mark.parametrize("text", [URL, make_code("TP", 17)])
def test_shipped_stock_holds_an_address_with_half_millimetre_modules(name: str, text: str) -> None:
    stock = find_stock(name)
    fit = fit_symbol(text, stock)
    assert fit.module_mm == pytest.approx(fit.module_dots / stock.dots_per_mm)
    assert fit.module_mm >= PREFERRED_MM
    assert fit.level == "H"
    assert fit.side % fit.module_dots == 0
    assert fit.quiet == 4 * fit.module_dots


def test_the_least_module_is_four_dots_at_300_dpi() -> None:
    """DENSO WAVE's guidance, qr_facts.csv: 0.33 mm is 4 dots of 12 dots/mm."""
    fact = next(row for row in rows("qr_facts.csv") if row["key"] == "module_300dpi_4dots")
    assert float(fact["value"]) == LEAST_MM
    stock = replace(SMALL, dots_per_mm=12, label_height=11, page_height=11)
    assert fit_symbol(make_code("TP", 17), stock).module_dots == 4


@every(
    product(
        (8, 300 / 25.4, 12, 600 / 25.4),
        (10.5, 12, 14, 16, 18, 20, 25),
        (URL, make_code("TP", 17), "A" * 60),
    )
)
def test_a_module_is_never_finer_than_readers_need(asked: tuple[float, float, str]) -> None:
    dots, height, text = asked
    stock = replace(SMALL, dots_per_mm=dots, label_height=height, page_height=height,
                    label_width=40, page_width=40)  # fmt: skip
    try:
        fit = fit_symbol(text, stock)
    except FitError:
        return
    assert fit.module_dots == int(fit.module_dots)
    assert fit.module_mm >= LEAST_MM
    area = ink_area(stock)
    assert fit.side <= area.height
    assert fit.side + 2 * fit.quiet <= stock.label_dots[1]


def test_m_is_taken_only_where_q_would_be_too_fine() -> None:
    text = "A" * 55
    roomy = replace(SMALL, label_height=16, page_height=16, label_width=40, page_width=40)
    assert fit_symbol(text, roomy).level == "Q"
    tight = replace(roomy, label_height=15, page_height=15)
    fit = fit_symbol(text, tight)
    assert (fit.level, fit.version) == ("M", 3)


def test_stock_that_is_too_small_is_refused_with_the_figures() -> None:
    tiny = replace(SMALL, label_height=10, page_height=10)
    with pytest.raises(FitError) as caught:
        fit_symbol(URL, tiny, load_stock().values())
    said = str(caught.value)
    assert URL in said
    assert "needs 25 modules and a quiet zone of 4" in said
    assert "leaves 0.28 mm a module" in said
    assert "a reader needs 3 dots or 0.33 mm" in said
    assert "roll-50x30-203 can hold it (0.62 mm a module)" in said
    assert caught.value.exit_code == 2


def test_without_other_stock_the_refusal_still_shows_a_way_out() -> None:
    with pytest.raises(FitError, match="use larger labels or a shorter address"):
        fit_symbol(URL, replace(SMALL, label_height=8, page_height=8))


def test_ink_keeps_off_the_hole_of_a_card() -> None:
    stock = find_stock("card-120x70")
    assert stock.hole is not None
    edge = (stock.hole.x_mm + stock.hole.diameter_mm / 2) * stock.dots_per_mm
    assert ink_area(stock).left > edge
    hole = replace(stock.hole, x_mm=35, y_mm=9)
    upright = replace(
        stock, label_width=70, page_width=70, label_height=120, page_height=120, hole=hole
    )
    assert ink_area(upright).top > edge


def test_the_unprintable_edge_is_kept_blank() -> None:
    stock = replace(SMALL, unprintable=Insets(3, 2.5, 2, 2))
    area = ink_area(stock)
    assert (area.left, area.top) == (24, 20)
    assert area.right <= 20 * 8 - 16


@pytest.mark.parametrize(
    ("hole", "side"),
    [((6, 20), "left"), ((74, 20), "right"), ((40, 6), "top"), ((40, 34), "bottom")],
)
def test_a_hole_at_any_edge_takes_only_that_side(hole: tuple[float, float], side: str) -> None:
    """Four edges of an 80 × 40 mm tag; the other sides keep their room, and the symbol fits."""
    stock = replace(SMALL, label_width=80, page_width=80, label_height=40, page_height=40)
    plain = ink_area(stock)
    punched = replace(stock, hole=PunchedHole(*hole, 5))
    area = ink_area(punched)
    changed = [
        name
        for name in ("left", "top", "right", "bottom")
        if getattr(area, name) != getattr(plain, name)
    ]
    assert changed == [side]
    x, y = hole[0] * stock.dots_per_mm, hole[1] * stock.dots_per_mm
    assert not (area.left < x < area.right and area.top < y < area.bottom)
    assert fit_symbol(URL, punched).module_mm >= PREFERRED_MM
