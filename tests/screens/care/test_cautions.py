"""Cautions: a page with all of them and their sources; acknowledged once for a machine."""

from __future__ import annotations

from tagbench.book import Book
from tagbench.rules.care.cautions import all_cautions
from tests.screens.dirty import dirty_table
from tests.screens.driver import LARGE, ScreenDriver, at_the_bench


async def open_page(driver: ScreenDriver) -> None:
    """The page of all cautions."""
    await driver.app.go("cautions")
    await driver.settle()


def seen(book: Book) -> tuple[str, ...]:
    """The cautions that were acknowledged for the machine."""
    return book.records.machines["TP"].cautions_seen


async def test_every_caution_stands_there_with_its_source(empty: Book) -> None:
    """At full length, and the page defers to manual, rules and qualified people."""
    async with at_the_bench(empty, LARGE) as driver:
        await open_page(driver)
        for caution in all_cautions().values():
            assert caution.id in driver.shown
            assert "Source:" in driver.shown
            assert caution.rows[0].source.split()[0] in driver.shown
            await driver.press("down")
        assert "checked by a qualified person" in " ".join(driver.shown.split())


async def test_they_are_acknowledged_for_the_machine_and_shown_again(empty: Book) -> None:
    """One by one, and all again with one key; each can be undone."""
    dirty_table(empty)
    async with at_the_bench(empty) as driver:
        await open_page(driver)
        await driver.press("enter", "down", "enter")
        assert seen(empty) == ("brake dust", "petrol")
        line = next(line for line in driver.shown.splitlines() if "brake dust  " in line)
        assert "seen" in line
        await driver.press("enter")
        assert seen(empty) == ("brake dust",)
        await driver.press("ctrl+r")
        assert seen(empty) == ()
        await driver.press("ctrl+t", "enter")
        assert seen(empty) == ("brake dust",)


async def test_without_a_machine_they_can_be_read_but_not_acknowledged(empty: Book) -> None:
    """The sentence says why."""
    async with at_the_bench(empty) as driver:
        await open_page(driver)
        await driver.press("enter")
        assert "There is no machine yet" in driver.said
        await driver.press("ctrl+r")
        assert "There is no machine yet" in driver.said
