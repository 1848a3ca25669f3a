"""What Strip put in is replaced by typing, however one came to the field; letters never vanish."""

from __future__ import annotations

from collections.abc import Awaitable, Callable

import pytest

from tagbench.book import Book
from tagbench.screens.part.edit import EditDialog
from tagbench.screens.strip.screen import StripScreen
from tests.screens.driver import SMALL, ScreenDriver, at_the_bench

Way = Callable[[ScreenDriver], Awaitable[None]]


async def up(driver: ScreenDriver) -> None:
    """From What, where the cursor is after a part was saved."""
    await driver.press("up", "up")


async def down(driver: ScreenDriver) -> None:
    """Over the first field and back to it."""
    await driver.press("up", "up", "down", "up")


async def back_tab(driver: ScreenDriver) -> None:
    await driver.press("shift+tab", "shift+tab")


async def round_by_tab(driver: ScreenDriver) -> None:
    await driver.press("tab")
    await driver.tab_to("assembly")


async def escape_back(driver: ScreenDriver) -> None:
    """The cursor was put into the text there, then another screen was looked at."""
    await driver.press("up", "up", "end", "f3", "escape", "f2")


async def function_key(driver: ScreenDriver) -> None:
    await driver.press("up", "up", "end", "f2")


async def help_and_back(driver: ScreenDriver) -> None:
    await driver.press("up", "up", "end", "f1", "escape")


async def click(driver: ScreenDriver) -> None:
    await driver.pilot.click("#assembly", offset=(3, 0))
    await driver.settle()


@pytest.mark.sampled(5)
@pytest.mark.parametrize(
    "way", [up, down, back_tab, round_by_tab, escape_back, function_key, help_and_back, click]
)
async def test_where_from_of_the_part_before_is_typed_over(brake: Book, way: Way) -> None:
    """It was typed for that part, and stays for this one: nothing is glued on."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.tab_to("assembly")
        await driver.write("Carburettor")
        await driver.tab_to("name")
        await driver.write("float bowl")
        await driver.press("enter")
        assert driver.app.focused is driver.screen.query_one("#name")
        assert driver.field("assembly") == "Carburettor"
        await way(driver)
        assert driver.app.focused is driver.screen.query_one("#assembly")
        await driver.write("Front wheel / Hub")
        assert driver.field("assembly") == "Front wheel / Hub"


LONG = "Engine and gearbox / Clutch housing, left of the frame tube / Release levers and springs"


async def test_a_long_text_that_stays_shows_its_beginning(brake: Book) -> None:
    """Selected or not; what is typed takes its place, and End goes on with it."""
    async with at_the_bench(brake, SMALL) as driver:
        await driver.press("f2", "up", "up")
        await driver.write(LONG)
        await driver.tab_to("name")
        await driver.write("lever")
        await driver.press("enter")
        assert LONG[:20] in driver.shown
        await driver.press("up", "up")
        assert LONG[:20] in driver.shown
        await driver.press("end")
        assert LONG[-12:] in driver.shown
        await driver.write("!")
        assert driver.field("assembly") == f"{LONG}!"


async def test_what_stays_is_typed_over_below_a_card_too(brake: Book) -> None:
    """In a card, after another card over it was looked at."""
    code = next(iter(brake.records.parts))
    async with at_the_bench(brake) as driver:
        await driver.app.open_code(code)
        await driver.press("ctrl+e", "end", "f1", "escape")
        edit = driver.at(EditDialog)
        await driver.write("plate")
        assert edit["name"].value == "plate"


async def test_what_was_typed_for_this_part_is_gone_on_with(brake: Book) -> None:
    """Coming back to it by any key."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.write("hub")
        await driver.press("down", "up")
        await driver.write(" nut")
        await driver.press("f3", "escape", "f2")
        await driver.write(" left")
        assert driver.field("name") == "hub nut left"


async def test_a_second_click_puts_the_cursor_where_it_is(brake: Book) -> None:
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        before = driver.field("assembly")
        await driver.pilot.click("#assembly", offset=(5, 0))
        await driver.pilot.click("#assembly", offset=(5, 0))
        await driver.settle()
        await driver.write("x")
        assert driver.field("assembly") == f"{before[:4]}x{before[4:]}"


async def test_a_saved_form_is_not_half_typed(brake: Book) -> None:
    """Where from and the bin stay in it, and are nothing that was begun."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.fill(assembly="Carburettor", bin="Tin", name="float bowl")
        await driver.press("enter")
        assert driver.at(StripScreen).typed_fields() == {}


async def test_up_stays_on_the_first_field(brake: Book) -> None:
    async with at_the_bench(brake) as driver:
        await driver.press("f2", "up", "up", "up", "up")
        assert driver.app.focused is driver.screen.query_one("#assembly")
        await driver.write("Engine")
        assert driver.field("assembly") == "Engine"


async def test_letters_typed_into_the_list_are_of_the_next_part(brake: Book) -> None:
    """A blank, ↑ ↓ and Enter are the list's own."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2", "tab")
        await driver.tab_to("came-off")
        await driver.press("down")
        await driver.press("h")
        await driver.write("ub nut")
        assert driver.field("name") == "hub nut"


async def test_a_scan_with_the_cursor_in_the_list_opens_its_part(brake: Book) -> None:
    code = next(iter(brake.records.parts))
    async with at_the_bench(brake) as driver:
        await driver.press("f2", "tab")
        await driver.tab_to("came-off")
        strip = driver.at(StripScreen)
        await driver.scan(code)
        assert driver.screen is not strip
        assert strip.form["name"].value == ""


async def test_same_again_puts_the_cursor_into_what(brake: Book) -> None:
    """From the list too, so that Enter saves instead of opening the row's part."""
    many = len(brake.records.parts)
    async with at_the_bench(brake) as driver:
        await driver.press("f2", "tab")
        await driver.tab_to("came-off")
        await driver.press("ctrl+f")
        assert driver.app.focused is driver.screen.query_one("#name")
        assert (driver.field("name"), driver.field("position")) == ("backing plate", "right")
        await driver.press("enter")
        driver.at(StripScreen)
        assert len(brake.records.parts) == many + 1


async def test_same_fasteners_leave_the_list_as_well(brake: Book) -> None:
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        await driver.write("plate")
        await driver.fill(fasteners="2x M4x10")
        await driver.press("enter")
        await driver.write("other plate")
        await driver.tab_to("came-off")
        await driver.press("ctrl+f", "enter")
        driver.at(StripScreen)
        saved = max(brake.records.parts.values(), key=lambda part: part.order)
        assert (saved.name, saved.fasteners[0].quantity) == ("other plate", 2)
