"""The whole job by keys: ten parts off, the bags mixed up, back on by scanning, a clean count."""

from __future__ import annotations

import random
from typing import NamedTuple

from tagbench.book import Book
from tagbench.book.operations.care import tick_off
from tagbench.book.operations.settings import SettingForm, add_setting
from tagbench.records import Part
from tagbench.rules.rebuild.fit import single_use_lines
from tagbench.screens.build.fit import FitDialog
from tagbench.screens.build.fit_cards import RefusedDialog
from tagbench.screens.build.screen import BuildScreen
from tests.screens.driver import ScreenDriver, at_the_bench
from tests.screens.rebuild_bench import caught_up, go_to_build


class Off(NamedTuple):
    """A part as it is typed in when it comes off."""

    name: str
    fasteners: str = ""


CAME_OFF = (
    Off("Kick start lever", "M8x30 hex, 20-25 N·m"),
    Off("Outer cover", "3x M6x25 cheese, 7-9 N·m"),
    Off("Outer gasket"),
    Off("Return spring", "circlip 20"),
    Off("Kick start shaft"),
    Off("Inner cover", "2x M5x12 pan"),
    Off("Inner gasket"),
    Off("Clutch springs", "5x M5x20 cheese"),
    Off("Clutch plates"),
    Off("Clutch hub", "nut M14x1.5, 40-48 N·m; tab washer 14.5"),
)
"""Outermost first, each in front of the next one."""


async def strip_ten(driver: ScreenDriver) -> None:
    """Writes them down one after the other; Ctrl+O takes the offered part as what came first."""
    await driver.press("f2")
    await driver.fill(assembly="Engine / Clutch", bin="Shelf A / Box 2")
    for off in CAME_OFF:
        await driver.fill(name=off.name, fasteners=off.fasteners)
        await driver.press("ctrl+o", "enter")


async def make_the_classic_mistake(driver: ScreenDriver, outer: Part, inner: Part) -> None:
    """The outer cover is in the hand before the inner one is on: stopped, and left off."""
    await driver.scan(outer.code)
    driver.at(FitDialog)
    await driver.press("s")
    driver.at(RefusedDialog)
    assert f"{inner.name} {inner.code}" in driver.shown
    assert "Fit these first:" in driver.shown
    await driver.press("escape", "escape")
    driver.at(BuildScreen)
    assert driver.app.book.records.parts[outer.code].fitted == "off"


async def put_on(driver: ScreenDriver, part: Part) -> None:
    """Single-use items new, torque in the middle of its range, else simply fitted."""
    if single_use_lines(part):
        await driver.press("n")
    torque = part.fasteners[0].torque if part.fasteners else None
    if torque is None:
        await driver.press("f")
        return
    await driver.press("t")
    await driver.write(f"{(torque.low + torque.high) / 2:g}")
    await driver.press("enter")


def on(book: Book) -> set[str]:
    """The codes that are on the machine."""
    return {part.code for part in book.records.parts.values() if part.fitted != "off"}


async def rebuild(driver: ScreenDriver) -> int:
    """Takes bags as they come; one that is too early is left, and the list names another.

    Gives how many were too early.
    """
    book = driver.app.book
    bags = random.Random(1967).sample(list(book.records.parts), len(CAME_OFF))
    too_early = 0
    while bags:
        before = on(book)
        await driver.scan(bags[0])
        if "nothing stands in the way" not in driver.shown:
            too_early += 1
            assert "✗ too early" in driver.shown
            await driver.press("escape")
            await driver.scan(driver.at(BuildScreen).current_code)
        code = driver.at(FitDialog).code
        await put_on(driver, book.records.parts[code])
        assert on(book) == before | {code}
        bags.remove(code)
        await caught_up(driver, f"Held up {max(0, len(bags) - 1)}")
    return too_early


async def measure_and_close(driver: ScreenDriver) -> None:
    """The setting is open once the hub went on; then the count is clean and is closed."""
    await driver.press("f9", "enter")
    await driver.write("4")
    await driver.press("enter", "f8")
    assert "10 parts = 10 on + 0 off" in driver.shown
    assert "14 fasteners out = 14 back + 0 in the bag + 0 lost" in driver.shown
    assert "Nothing missing, nothing left over." in driver.shown
    await driver.press("c", "enter")


async def test_ten_parts_off_and_on_again(empty: Book) -> None:
    """From an empty book to a closed machine."""
    async with at_the_bench(empty) as driver:
        await strip_ten(driver)
        parts = empty.records.parts_of("A")
        assert [part.name for part in parts] == [off.name for off in CAME_OFF]
        links = [part.behind for part in parts]
        assert links == [(), *((part.code,) for part in parts[:-1])]
        tick_off(empty, empty.records.parts, "degreased")
        tick_off(empty, empty.records.parts, "reuse")
        add_setting(empty, SettingForm("clutch free play", "3-5 mm", after=(parts[-1].code,)))

        await go_to_build(driver)
        await make_the_classic_mistake(driver, parts[1], parts[5])
        assert await rebuild(driver) > 0
        await measure_and_close(driver)

        machine = empty.records.machines["A"]
        assert machine.closed is not None
        assert machine.closed_with == {}
        assert not any(part.overrides for part in empty.records.parts.values())
