"""One book by keys from the first bag on: the states of parts, fasteners and orders, one after the
other, and nothing is lost on the way."""

from __future__ import annotations

from tagbench.book import Book
from tagbench.records import Part
from tagbench.rules.whereabouts import whereabouts
from tagbench.screens.buy.screen import BuyScreen
from tagbench.screens.buy.wants import LISTS
from tests.screens.away.verbs import (
    batch_out_and_back,
    found_and_explained,
    sent_lost_finished_tried_on,
    sound,
    twin_stack_pins_and_apart,
    wrong_one_and_reuse,
)
from tests.screens.driver import ScreenDriver, at_the_bench

TOLD = (
    {"name": "Case half"},
    {"name": "Bracket", "fasteners": "4x M6x20 hex", "position": "left"},
    {"name": "Cover", "fasteners": "M6 hex: 2x45 at 12 and 6, 3x20 else"},
    {
        "name": "Wheel cylinder",
        "fasteners": "2x M5x12 pan",
        "position": "left",
        "sits": "nipple at 2 o'clock",
    },
    {"name": "Gasket"},
    {"name": "Dynamo", "fasteners": "2x M8x30 hex"},
    {"name": "Spring"},
)
"""What is typed of each part, in the order in which it comes off."""


async def strip_all(driver: ScreenDriver) -> list[str]:
    """Every part comes off, each into the next bag; gives their codes."""
    await driver.press("f2")
    await driver.fill(assembly="Brakes", bin="bag 1")
    for told in TOLD:
        await driver.fill(**told)
        await driver.press("enter", "pagedown")
    return list(driver.app.book.records.parts)


async def stays_on(driver: ScreenDriver, case: str) -> None:
    """Written down for the order, and never taken off."""
    await driver.scan(case)
    await driver.press("ctrl+u", "ctrl+o")
    assert whereabouts(driver.app.book.records.parts[case]) == "never off"


async def to_want(driver: ScreenDriver, code: str) -> None:
    """To the want of a part, whichever list it is in."""
    rows = driver.at(BuyScreen).rows
    for _ in LISTS:
        for _ in rows.items:
            if rows.current is not None and code in rows.current.parts:
                return
            await driver.press("down")
        await driver.press("right")
    raise AssertionError(f"no want for {code}:\n{driver.shown}")


async def replaced(driver: ScreenDriver, code: str, key: str) -> Part:
    """A new one is ordered and comes; the old piece goes where the key says."""
    book = driver.app.book
    await driver.scan(code)
    await driver.press("ctrl+y", "r", "f6")
    assert whereabouts(book.records.parts[code]) == "to come"
    await to_want(driver, code)
    await driver.press("o")
    await driver.write("Old Stores")
    await driver.press("enter")
    await to_want(driver, code)
    await driver.press("h", "enter")
    assert book.records.parts[code].replacement == "here"
    await driver.press("f3")
    await driver.scan(code)
    await driver.press("ctrl+y", "x", key)
    return book.records.parts[code]


async def lost_for_good(driver: ScreenDriver, code: str) -> None:
    """It is gone, and a new one is wanted."""
    await driver.press("f3")
    await driver.scan(code)
    await driver.press("ctrl+u", "tab", "tab", "tab", "tab")
    await driver.write("window shelf")
    await driver.press("ctrl+l", "ctrl+y", "r")
    part = driver.app.book.records.parts[code]
    assert whereabouts(part) == "lost"
    assert any(code in want.parts for want in driver.app.book.records.wants.values())


async def test_a_life_through_all_states(empty: Book) -> None:
    """Parts and fasteners add up after each."""
    book = empty
    async with at_the_bench(book, (120, 60)) as driver:
        case, bracket, cover, cylinder, gasket, dynamo, spring = await strip_all(driver)
        sound(book)
        await stays_on(driver, case)
        sound(book)
        await batch_out_and_back(driver, bracket, cover)
        await sent_lost_finished_tried_on(driver, bracket, cover, cylinder)
        sound(book)
        await found_and_explained(driver)
        await twin_stack_pins_and_apart(driver, cylinder)
        await wrong_one_and_reuse(driver, bracket)
        sound(book)
        assert (await replaced(driver, gasket, "p")).old_piece == "pattern"
        assert (await replaced(driver, dynamo, "e")).old_piece == "exchanged"
        await lost_for_good(driver, spring)
        sound(book)
