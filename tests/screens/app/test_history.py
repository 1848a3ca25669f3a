"""Undo in words, and changes that another process makes."""

from __future__ import annotations

from tagbench.book import Book
from tagbench.book.operations.phones import answer_at
from tagbench.book.operations.strip import StripForm, strip_part
from tests.screens.conftest import NOW
from tests.screens.driver import at_the_bench


async def test_the_last_change_is_named_before_it_is_taken_back(brake: Book) -> None:
    """Escape leaves it; Enter takes it back and says so."""
    plate = brake.records.parts_of("TP")[2].code
    async with at_the_bench(brake) as driver:
        await driver.press("ctrl+t")
        assert f"takes back: took off backing plate {plate}" in driver.shown
        await driver.press("escape")
        assert plate in brake.records.parts
        await driver.press("ctrl+t", "enter")
        assert plate not in brake.records.parts
        assert driver.said == f"Took back: took off backing plate {plate}."


async def test_with_nothing_to_take_back_it_says_so(empty: Book) -> None:
    """The card stays open with the sentence."""
    async with at_the_bench(empty) as driver:
        await driver.press("ctrl+t")
        assert "nothing to take back" in driver.shown
        await driver.press("ctrl+t")
        assert driver.said


async def test_what_another_process_did_shows_up(brake: Book) -> None:
    """The screen asks the disk about once a second; here the test asks for it."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2")
        with Book(brake.folder, now=lambda: NOW) as other:
            strip_part(other, StripForm(name="silencer", assembly="Exhaust"))
        driver.app.look_for_changes()
        await driver.settle()
        assert "silencer" in driver.shown


async def test_a_book_that_was_damaged_meanwhile_is_said_so(brake: Book) -> None:
    """One sentence, no traceback."""
    async with at_the_bench(brake) as driver:
        (brake.folder / "book.json").write_text("{ rubbish")
        driver.app.look_for_changes()
        await driver.settle()
        assert driver.said.endswith(".")
        assert len(brake.records.parts) == 3


async def test_light_and_dark_are_remembered(brake: Book) -> None:
    """The next evening begins as the last one ended."""
    async with at_the_bench(brake) as driver:
        await driver.press("ctrl+l")
        assert driver.app.theme == driver.app.themes["light"].name
    async with at_the_bench(brake) as driver:
        assert driver.app.theme == driver.app.themes["light"].name


async def test_light_or_dark_and_the_phone_page_are_no_work_that_is_taken_back(brake: Book) -> None:
    """They are preferences: Ctrl+T neither names nor lists them, but the work before them."""
    answer_at(brake, "", 8017, "garage.local:8017")
    async with at_the_bench(brake) as driver:
        await driver.press("ctrl+l", "ctrl+t")
        assert "took off backing plate" in driver.shown
        assert "screens" not in driver.shown
        assert "phone page" not in driver.shown
        await driver.press("enter")
        assert len(brake.records.parts) == 2
        assert driver.app.theme == driver.app.themes["light"].name
        assert brake.records.desk.phone_address == "garage.local:8017"
