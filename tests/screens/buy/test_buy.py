"""Buy: what holds up most stands first; ordered, overdue, here; the shop list; by keys alone."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.book.operations import buying, care, wanting
from tagbench.book.operations.stock import count_stock
from tagbench.book.operations.strip import StripForm, strip_part
from tagbench.book.operations.wanting import WantForm
from tagbench.records import Want
from tagbench.screens.buy.screen import BuyScreen
from tagbench.screens.part.screen import PartScreen
from tagbench.trade.fasteners.text import parse_fasteners
from tests.screens.dirty import dirty_table
from tests.screens.driver import LARGE, ScreenDriver, at_the_bench


@pytest.fixture
def codes(empty: Book) -> dict[str, str]:
    """Name → code of the parts on the table; sprocket and cam are to be replaced."""
    codes = dirty_table(empty)
    care.tick_off(empty, [codes["rear sprocket"]], "replace")
    care.tick_off(empty, [codes["brake cam"]], "replace")
    return codes


def wants(book: Book) -> list[Want]:
    """The wants in the order of their numbers."""
    return sorted(book.records.wants.values(), key=lambda want: want.id)


async def open_buy(driver: ScreenDriver) -> None:
    """Goes to Buy and waits until the hold-ups are counted."""
    await driver.press("f6")
    await driver.until(lambda: "Reading" not in driver.shown and "▸Open" in driver.shown)
    await settled(driver)


async def settled(driver: ScreenDriver) -> None:
    """Waits until the lists have been worked out."""
    await driver.settle()


async def test_what_holds_up_most_stands_first(empty: Book, codes: dict[str, str]) -> None:
    """The cam holds up the shoe over it as well; the sprocket only itself."""
    async with at_the_bench(empty) as driver:
        await open_buy(driver)
        lines = driver.shown.splitlines()
        cam = next(n for n, line in enumerate(lines) if "holds up 2" in line)
        sprocket = next(n for n, line in enumerate(lines) if "holds up 1" in line)
        assert "brake cam" in lines[cam]
        assert "rear sprocket" in lines[sprocket]
        assert cam < sprocket
        assert "2 parts: brake shoe, brake cam" in driver.shown


async def test_ordered_due_and_here(empty: Book, codes: dict[str, str]) -> None:
    """The part that waited is told; its new piece is here."""
    cam = codes["brake cam"]
    async with at_the_bench(empty) as driver:
        await open_buy(driver)
        await driver.press("o")
        await driver.write("Packman spares circle")
        await driver.fill(due="in 2 weeks")
        await driver.press("enter")
        await settled(driver)
        want = next(want for want in wants(empty) if cam in want.parts)
        assert (want.supplier, want.ordered) == ("Packman spares circle", date(2025, 11, 3))
        assert want.due == date(2025, 11, 17)
        assert "due 17 Nov 2025" in driver.shown
        await driver.press("h", "enter")
        await settled(driver)
        assert empty.records.parts[cam].replacement == "here"
        assert driver.said.endswith(f"New piece here for brake cam {cam}.")
        assert "Open 1" in driver.shown
        await driver.press("ctrl+t", "enter")
        assert empty.records.parts[cam].replacement == "wanted"


async def test_many_are_ordered_as_one_step(empty: Book, codes: dict[str, str]) -> None:
    """M marks the list; the supplier is offered the next time."""
    async with at_the_bench(empty) as driver:
        await open_buy(driver)
        before = empty.revision
        await driver.press("m", "o")
        await driver.write("the bearing shop")
        await driver.press("enter")
        await settled(driver)
        assert empty.revision == before + 1
        assert all(want.ordered for want in wants(empty))
        await driver.press("a")
        await driver.tab_to("supplier")
        await driver.write("the b")
        await driver.press("right")
        assert driver.field("supplier") == "the bearing shop"


async def test_days_that_cannot_be_are_refused(empty: Book, codes: dict[str, str]) -> None:
    """Due before it was ordered; ordered tomorrow; no day at all. Nothing is written."""
    async with at_the_bench(empty) as driver:
        await open_buy(driver)
        await driver.press("o")
        await driver.fill(due="2025-10-01")
        await driver.press("enter")
        assert "before it was ordered" in driver.said
        await driver.press("ctrl+u")
        await driver.write("soon")
        await driver.press("enter")
        assert "“soon” is not a date" in driver.said
        await driver.press("ctrl+u", "shift+tab")
        await driver.write("tomorrow")
        await driver.press("enter")
        assert "still to come" in driver.said
        assert not any(want.ordered for want in wants(empty))


async def test_overdue_is_said_and_has_its_list(empty: Book, codes: dict[str, str]) -> None:
    """With how many days; nothing comes of the order: it is to be ordered again."""
    sprocket = wants(empty)[0]
    buying.order(empty, [sprocket.id], on=date(2025, 10, 1), due=date(2025, 10, 30))
    async with at_the_bench(empty) as driver:
        await open_buy(driver)
        assert "Overdue 1" in driver.shown
        await driver.press("right", "right", "right")
        assert "▸Overdue 1" in driver.shown
        assert "4 days overdue (30 Oct 2025)" in driver.shown
        await driver.press("n")
        await settled(driver)
        assert empty.records.wants[str(sprocket.id)].ordered is None
        assert "▸Overdue 0" in driver.shown


async def test_a_want_with_no_part_is_for_the_drawer(empty: Book, codes: dict[str, str]) -> None:
    """Its price is typed with a comma; the totals are by supplier."""
    async with at_the_bench(empty) as driver:
        await open_buy(driver)
        await driver.press("a")
        await driver.fill(what="gear oil", pieces="2", supplier="Tarn Motors", price="€ 12,50")
        await driver.press("enter")
        await settled(driver)
        want = wants(empty)[-1]
        assert (want.parts, want.price, want.currency) == ((), "12.50", "EUR")
        assert "Tarn Motors 25.00 EUR" in driver.shown
        assert "2 without a price" in driver.shown
        await driver.press("end", "p")
        assert "No part waits for it" in driver.said


async def test_a_want_for_a_part_takes_its_name_and_number(
    empty: Book, codes: dict[str, str]
) -> None:
    """Scanned, the part is in the form already; the number to order is said."""
    async with at_the_bench(empty) as driver:
        await open_buy(driver)
        await driver.scan(codes["chain"])
        assert driver.field("for") == codes["chain"]
        assert "order 35-0300" in driver.shown
        driver.clock.now += 1.0
        await driver.press("enter")
        want = wants(empty)[-1]
        assert (want.what, want.number) == ("chain (Chain drive)", "35-0300")
        assert want.parts == (codes["chain"],)


async def test_a_scan_finds_the_want_of_a_part(empty: Book, codes: dict[str, str]) -> None:
    """And P opens the part."""
    async with at_the_bench(empty) as driver:
        await open_buy(driver)
        await driver.scan(codes["rear sprocket"])
        driver.at(BuyScreen)
        assert "waits for this" in driver.said
        await driver.press("p")
        driver.at(PartScreen)


async def test_what_cannot_be_wanted_is_refused_and_stays_in_the_form(
    empty: Book, codes: dict[str, str]
) -> None:
    """A price that is none or can be read two ways; an unknown code; nothing at all."""
    async with at_the_bench(empty) as driver:
        await open_buy(driver)
        await driver.press("a", "enter")
        assert "Nothing was typed" in driver.said
        await driver.write("oil")
        refused = (("dear", "is not a price"), ("1,250", "two ways"), ("-3", "below zero"))
        for price, says in refused:
            await driver.tab_to("price")
            await driver.press("ctrl+u")
            await driver.write(price)
            await driver.press("enter")
            assert says in driver.said
        assert driver.field("what") == "oil"
        await driver.press("ctrl+u")
        await driver.tab_to("for")
        await driver.write("TP-999-Q")
        await driver.press("enter")
        assert driver.said
        assert len(wants(empty)) == 2


async def test_a_want_is_changed_field_by_field(empty: Book, codes: dict[str, str]) -> None:
    """What is not touched stays; a price and a day can be taken out again."""
    first = wants(empty)[0]
    form = WantForm(price="3,20", due=date(2025, 11, 20), supplier="Tarn Motors", note="ask")
    wanting.edit_want(empty, first.id, form)
    async with at_the_bench(empty) as driver:
        await open_buy(driver)
        await driver.press("end", "enter", "enter")
        assert "Nothing was typed or changed" in driver.said
        for name in ("price", "due"):
            await driver.tab_to(name)
            await driver.press("ctrl+u")
        await driver.press("enter")
        want = wants(empty)[0]
        assert (want.price, want.due) == ("", None)
        assert (want.supplier, want.note) == ("Tarn Motors", "ask")


async def test_wants_are_dropped_together_and_come_back(empty: Book, codes: dict[str, str]) -> None:
    """One step, undone as one."""
    async with at_the_bench(empty) as driver:
        await open_buy(driver)
        await driver.press("space", "space", "delete")
        assert not empty.records.wants
        await driver.press("ctrl+t", "enter")
        assert len(wants(empty)) == 2


async def test_part_of_an_order_arrives(empty: Book, codes: dict[str, str]) -> None:
    """The rest stays wanted; none at all is refused."""
    want = wanting.add_want(empty, WantForm(what="oil", quantity=5))
    async with at_the_bench(empty) as driver:
        await open_buy(driver)
        await driver.press("end", "h")
        await driver.tab_to("count")
        await driver.press("ctrl+u")
        await driver.write("0")
        await driver.press("enter")
        assert "If none came" in driver.said
        await driver.press("ctrl+u")
        await driver.write("2")
        await driver.press("enter")
        assert empty.records.wants[str(want.id)].quantity == 2
        assert wants(empty)[-1].quantity == 3
        assert wants(empty)[-1].arrived is None


@pytest.fixture
def pinned(empty: Book, codes: dict[str, str]) -> Book:
    """Two parts with cotter pins of one size, and one pin in the drawer."""
    for name in ("axle nut", "brake rod"):
        strip_part(empty, StripForm(name=name, fasteners=parse_fasteners("2x cotter pin 3.2x32")))
    count_stock(empty, "cotter pin 3.2x32", 1)
    return empty


async def test_single_use_items_are_collected_by_size_less_what_is_in_stock(pinned: Book) -> None:
    """Four pins are wanted and one is here: three are to be bought."""
    async with at_the_bench(pinned, LARGE) as driver:
        await open_buy(driver)
        assert "Single-use to buy as well: 4 pieces of 2 kinds" in driver.shown
        await driver.press("k")
        await settled(driver)
        want = next(want for want in wants(pinned) if "cotter pin" in want.what)
        assert (want.quantity, want.parts) == (3, ())
        await driver.press("k")
        assert "stock and wants cover them all" in driver.said


async def test_the_drawer_is_counted(pinned: Book) -> None:
    """Wanted, here, coming, to buy; a count typed as 20, +20 or -2."""
    async with at_the_bench(pinned) as driver:
        await open_buy(driver)
        await driver.press("s")
        line = next(line for line in driver.shown.splitlines() if "cotter pin 3.2x32" in line)
        assert line.split()[-4:] == ["4", "1", "·", "3"]
        assert "▸ cotter pin 3.2x32" in driver.shown
        assert "axle nut" in driver.shown
        for typed, here in (("20", 20), ("-2", 18), ("+5", 23)):
            await driver.press("enter")
            await driver.write(typed)
            await driver.press("enter")
            (item,) = pinned.records.stock.values()
            assert item.quantity == here
        await driver.press("enter")
        await driver.write("-99")
        await driver.press("enter")
        assert "There are only 23" in driver.said
        await driver.press("escape", "delete")
        assert not pinned.records.stock


async def test_something_new_goes_into_the_drawer(empty: Book) -> None:
    """An item that nothing asks for is kept all the same."""
    async with at_the_bench(empty) as driver:
        await driver.app.go("stock")
        await driver.settle()
        assert "The drawer is empty" in driver.shown
        await driver.press("a")
        await driver.fill(item="lock washer M8", count="50")
        await driver.press("enter")
        assert "lock washer M8" in driver.shown
        assert "nothing asks for it now" in driver.shown


async def test_the_shop_list_is_shown_and_written(pinned: Book, tmp_path: Path) -> None:
    """By supplier, with boxes to tick; as a page to print, text or a table."""
    target = tmp_path / "shop.txt"
    async with at_the_bench(pinned, LARGE) as driver:
        await open_buy(driver)
        await driver.press("l")
        assert "[ ] 3 × cotter pin 3.2x32" in driver.shown
        assert "holds up 2 parts" in driver.shown
        await driver.press("p")
        await driver.tab_to("file")
        await driver.press("ctrl+u")
        await driver.write(str(target))
        await driver.press("enter")
        await driver.until(lambda: target.exists() and "shop.txt" in driver.said)
        assert "3 × cotter pin 3.2x32" in target.read_text(encoding="utf-8")


async def test_an_empty_book_wants_nothing(empty: Book) -> None:
    """No key does any harm."""
    async with at_the_bench(empty) as driver:
        await open_buy(driver)
        assert "Nothing is in this list." in driver.shown
        await driver.press("o", "h", "delete", "n", "m", "space", "p")
        assert "No part waits for it" in driver.said
        await driver.press("l")
        assert "There is no machine yet" in driver.shown
