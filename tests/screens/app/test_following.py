"""The bench follows the phone: what it opens comes up here, but never while one types."""

from __future__ import annotations

import pytest

from tagbench.book import Book
from tagbench.book.operations.strip import edit
from tagbench.book.operations.tagging import reserve_spare
from tagbench.screens.app.help import HelpDialog
from tagbench.screens.bench.screen import BenchScreen
from tagbench.screens.find.bin import BinScreen
from tagbench.screens.find.screen import FindScreen
from tagbench.screens.part.screen import PartScreen
from tagbench.screens.strip.screen import StripScreen
from tests.phone.test_actions import jpeg, send_photos
from tests.screens.driver import ScreenDriver
from tests.screens.paired_phone import paired_phone


def code(book: Book, name: str) -> str:
    """The code of the part with that name."""
    return next(part.code for part in book.records.parts.values() if part.name == name)


def offered(driver: ScreenDriver) -> bool:
    """Whether the last line of the screen offers what a phone opened."""
    return "F12" in driver.shown.splitlines()[-1]


async def test_a_tag_that_is_opened_comes_up_with_a_quiet_notice(brake: Book) -> None:
    """On the same part page when the next one is opened."""
    async with paired_phone(brake, name="Ann [b]") as (driver, phone):
        drum, plate = code(brake, "brake drum"), code(brake, "backing plate")
        await phone.page(f"/{drum}")
        await driver.until(lambda: isinstance(driver.screen, PartScreen))
        await driver.until(lambda: driver.said == f"Ann [b] opened {drum} brake drum.")
        await phone.page(f"/{plate}")
        await driver.until(lambda: driver.at(PartScreen).code == plate)
        assert len(driver.app.screen_stack) == 2


async def test_parts_and_bins_in_turn_do_not_pile_up(brake: Book) -> None:
    """Escape leads back to where the person was."""
    async with paired_phone(brake) as (driver, phone):
        drum, bin_code = code(brake, "brake drum"), min(brake.records.bins)
        for _ in range(3):
            await phone.page(f"/{drum}")
            await driver.until(lambda: isinstance(driver.screen, PartScreen))
            await phone.page(f"/{bin_code}")
            await driver.until(lambda: isinstance(driver.screen, BinScreen))
        await driver.settle()
        assert len(driver.app.screen_stack) == 2
        await driver.press("escape")
        assert driver.at(BenchScreen)


async def test_it_waits_while_something_is_being_typed(brake: Book) -> None:
    """The field and the screen stay; one key in the footer opens it, and then it is gone."""
    async with paired_phone(brake) as (driver, phone):
        drum = code(brake, "brake drum")
        await driver.press("f3")
        await driver.write("back")
        await phone.page(f"/{drum}")
        await driver.until(lambda: offered(driver))
        assert f"Pocket: {drum}" in driver.shown
        assert driver.at(FindScreen)
        assert driver.field("words") == "back"
        await driver.write("ing")
        assert driver.field("words") == "backing"
        await driver.press("f12")
        assert driver.at(PartScreen).code == drum
        assert not offered(driver)
        await driver.press("escape")
        assert driver.field("words") == "backing"
        assert not offered(driver)


async def test_it_does_not_wait_for_an_empty_field(brake: Book) -> None:
    """Nothing was typed, so nothing is disturbed."""
    async with paired_phone(brake) as (driver, phone):
        await driver.press("f3")
        await phone.page(f"/{code(brake, 'brake drum')}")
        await driver.until(lambda: isinstance(driver.screen, PartScreen))


async def test_it_waits_behind_a_card(brake: Book) -> None:
    """The footer offers it once the card is closed."""
    async with paired_phone(brake) as (driver, phone):
        drum = code(brake, "brake drum")
        await driver.press("f1")
        await phone.page(f"/{drum}")
        await driver.until(lambda: driver.app.phone.following.waiting is not None)
        assert driver.at(HelpDialog)
        await driver.press("escape")
        assert offered(driver)
        await driver.press("f12")
        assert driver.at(PartScreen).code == drum


async def test_the_last_of_several_waits(brake: Book) -> None:
    """The one in the hand."""
    async with paired_phone(brake) as (driver, phone):
        await driver.press("f3")
        await driver.write("x")
        for name in ("brake drum", "backing plate"):
            await phone.page(f"/{code(brake, name)}")
        plate = code(brake, "backing plate")
        await driver.until(lambda: plate in driver.shown.splitlines()[-1])
        await driver.press("f12")
        assert driver.at(PartScreen).code == plate


async def test_a_spare_tag_waits_in_any_case(brake: Book) -> None:
    """Its form is open on the phone; here it opens the strip form when asked for."""
    [spare] = reserve_spare(brake, 1)
    async with paired_phone(brake) as (driver, phone):
        await phone.page(f"/{spare.code}")
        await driver.until(lambda: offered(driver))
        assert driver.at(BenchScreen)
        await driver.press("f12")
        assert driver.at(StripScreen).spare == spare.code


async def test_nothing_waits_at_first(brake: Book) -> None:
    """The key says so."""
    async with paired_phone(brake) as (driver, _):
        await driver.press("f12")
        assert "No phone has opened" in driver.said


@pytest.mark.parametrize("typing", [False, True])
async def test_what_a_phone_changes_is_shown_at_once(brake: Book, typing: bool) -> None:
    """A step ticked there is ticked here; the notice keeps quiet while one types."""
    async with paired_phone(brake) as (driver, phone):
        drum = code(brake, "brake drum")
        await driver.press("f3")
        if typing:
            await driver.write("drum")
        else:
            await phone.page(f"/{drum}")
            await driver.until(lambda: isinstance(driver.screen, PartScreen))
        answer = await phone.send(f"/{drum}/care", step="degreased")
        assert answer.status == 303
        await driver.until(lambda: driver.screen._seen == (brake, brake.revision))  # type: ignore[attr-defined]
        await driver.settle()
        assert ("Pocket: " in driver.said) is not typing
        if not typing:
            driver.screen.query_one("#facts").scroll_end(animate=False)
            await driver.settle()
            assert "[x] degreased" in driver.shown


async def test_a_photo_from_the_phone_is_on_the_part_page_at_once(brake: Book) -> None:
    """Where there was none before."""
    async with paired_phone(brake) as (driver, phone):
        drum = code(brake, "brake drum")
        await phone.page(f"/{drum}")
        await driver.until(lambda: "no picture yet" in driver.shown)
        answer = await send_photos(phone, f"/{drum}/photos", jpeg())
        assert answer.status == 303
        await driver.until(lambda: "no picture yet" not in driver.shown)
        assert brake.records.parts[drum].photos


async def test_what_the_bench_changes_is_on_the_page_when_it_is_loaded_again(brake: Book) -> None:
    """The other way round."""
    async with paired_phone(brake) as (_, phone):
        drum = code(brake, "brake drum")
        assert "witness mark" not in await phone.page(f"/{drum}")
        edit(brake, drum, sits_how="witness mark outwards")
        assert "witness mark outwards" in await phone.page(f"/{drum}")
