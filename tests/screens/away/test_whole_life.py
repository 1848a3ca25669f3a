"""The whole job by keys in one book: from the first bag to the closed machine, through every state
that a part, a fastener or an order can be in, and nothing is lost on the way."""

from __future__ import annotations

import pytest
from textual.widgets import Static

from tagbench.book import Book
from tagbench.records import Part
from tagbench.rules.whereabouts import whereabouts
from tagbench.screens.bench.screen import BenchScreen
from tagbench.screens.build.fit import FitDialog
from tagbench.screens.build.fit_cards import RefusedDialog
from tagbench.screens.buy.screen import BuyScreen
from tagbench.screens.buy.wants import LISTS
from tagbench.screens.count.closing import ClosingDialog
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


async def another_machine_for_an_evening(driver: ScreenDriver) -> None:
    """A second machine is named and worked on, the first set aside; then it is gone on with."""
    book = driver.app.book
    (first,) = book.records.machines
    for _ in range(20):
        if isinstance(driver.app.screen, BenchScreen):
            break
        await driver.press("escape")
    driver.at(BenchScreen)
    await driver.press("ctrl+n", "ctrl+n")
    await driver.fill(**{"machine-name": "Mower", "machine-mark": "MW"})
    await driver.press("enter")
    assert book.records.desk.machine == "MW"
    await driver.press("ctrl+n", "up", "enter")
    assert book.records.desk.machine == first
    await driver.press("ctrl+n", "ctrl+o")
    assert book.records.machines[first].aside is not None
    await driver.press("ctrl+n", "up", "enter")
    assert book.records.machines[first].aside is None


async def fitted_all_the_same(driver: ScreenDriver, code: str, why: str) -> None:
    """What stands in the way is told; with a reason it goes on and the reason stays."""
    await driver.scan(code)
    driver.at(FitDialog)
    await driver.press("f")
    driver.at(RefusedDialog)
    await driver.write(why)
    await driver.press("enter")
    (override, *_) = driver.app.book.records.parts[code].overrides
    assert override.why == why


async def closed(driver: ScreenDriver) -> None:
    """Each line that is open gets its reason; what was overruled is listed with the reason that was
    written then."""
    await driver.press("f8", "c")
    card = driver.at(ClosingDialog)
    lines = card.lines
    (at,) = [at for at, line in enumerate(lines) if line.key.startswith("override:")]
    await driver.press(*["down"] * at)
    assert "not cleaned for the trial" in str(card.query_one("#line", Static).content)
    await driver.write("goes on next winter")
    await driver.press("ctrl+r", "ctrl+f")


@pytest.mark.slow  # each of its steps has a test of its own beside it
async def test_a_life_through_all_states(empty: Book) -> None:
    """Parts and fasteners add up after each; in the end every open line has a reason."""
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
        await another_machine_for_an_evening(driver)
        sound(book)

        await driver.press("f7")
        await fitted_all_the_same(driver, bracket, "not cleaned for the trial")
        assert book.records.parts[bracket].fitted == "fitted"
        await driver.scan(cover)
        await driver.press("m")
        await driver.write("1")
        await driver.press("enter", "escape")
        sound(book)
        await closed(driver)
    machine = book.records.machines["A"]
    assert machine.closed is not None
    assert set(machine.closed_with.values()) == {"goes on next winter"}
    sound(book)
