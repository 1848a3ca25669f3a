"""Scans over a slow line, on every screen and card: none is taken for letters that write.

The line is a model of a remote terminal: it takes keys every 5 to 60 ms, stalls once for up to
200 ms and hands on what has come in every 0 to 150 ms.
"""

from __future__ import annotations

import random

import pytest
from textual import events
from textual.keys import _character_to_key
from textual.widgets import Input

from tagbench.book import Book
from tagbench.book.operations.wanting import WantForm, add_want
from tagbench.screens.app.app import TagbenchApp
from tests.labels.scanning.test_scanner import Line
from tests.screens.driver import ScreenDriver, at_the_bench
from tests.screens.rebuild_bench import clutch

END = {"\r": "enter", "\t": "tab", "\n": "ctrl+j"}
SCREENS = [[], *([f"f{n}"] for n in range(2, 11))]
CARDS = [
    ["f2", "ctrl+b"],
    ["f2", "ctrl+r"],
    ["f5", "enter"],
    ["f5", "w"],
    ["f5", "s"],
    ["f5", "enter", "n"],
    ["f5", "enter", "g"],
    ["f5", "enter", "k"],
    ["f6", "a"],
    ["f6", "h"],
    ["f6", "s"],
    ["f7", "enter"],
    ["f7", "enter", "t"],
    ["f7", "enter", "m"],
    ["f7", "enter", "w"],
    ["f7", "r"],
    ["f7", "k"],
    ["f7", "l"],
    ["f8", "f"],
    ["f8", "c"],
    ["f9", "n"],
    ["f9", "enter"],
    ["f4", "ctrl+n"],
    ["f4", "a"],
    ["ctrl+n"],
    ["ctrl+t"],
    ["ctrl+g"],
    ["f1"],
]
WAYS = [*SCREENS, *CARDS]
SCANS = 6
"""Scans on every fourteenth screen or card; some thirty on each by `-m slow`."""


async def send(driver: ScreenDriver, text: str, line: Line) -> None:
    """Scans a text over the line; every key is seen at the time it arrives."""
    app, clock = driver.app, driver.clock
    clock.now += 3.0
    for character, at in zip(text, line.arrivals(len(text), clock.now), strict=True):
        await pass_time(driver, at)
        key = END.get(character) or _character_to_key(character)
        event = events.Key(key, character)
        clock.now = event.time = at
        app.post_message(event)
    await pass_time(driver, clock.now + 3.0)


async def pass_time(driver: ScreenDriver, until: float) -> None:
    """Lets the app do what is due until then."""
    await driver.settle()
    while (due := driver.app.scans.due) is not None and due <= until:
        driver.clock.now = due
        await driver.app._scan_may_be_over()
        await driver.settle()


def fields(driver: ScreenDriver) -> list[str]:
    """What stands in the fields."""
    return [one.value for one in driver.screen.query(Input)]


async def scans_on(
    book: Book, monkeypatch: pytest.MonkeyPatch, way: list[str], seeds: range
) -> None:
    """Sends whole and broken scans; nothing is written, and the whole ones are understood."""
    codes = clutch(book)
    add_want(book, WantForm(what="felt seal"))
    heard: list[str] = []

    async def hear(app: TagbenchApp, text: str) -> None:
        heard.append(text)

    monkeypatch.setattr(TagbenchApp, "open_scan", hear)
    async with at_the_bench(book) as driver:
        await driver.press(*way)
        here, revision, before = driver.screen, book.revision, fields(driver)
        for seed in seeds:
            dice = random.Random(seed)
            code = dice.choice(codes)
            text = dice.choice([code, code.lower(), f"HTTP://GARAGE.LOCAL:8017/{code}"])
            whole = seed % 3 < 2
            sent = text if whole else text[: dice.randrange(4, len(text))]
            heard.clear()
            await send(driver, sent + dice.choice(["\r", "\r", "\t", ""]), Line(seed))
            assert book.revision == revision, (seed, sent)
            assert driver.screen is here, (seed, sent)
            assert fields(driver) == before, (seed, sent)
            assert heard == ([code] if whole else []), (seed, sent)


@pytest.mark.sampled(2)
@pytest.mark.parametrize("way", WAYS[::7], ids=lambda way: " ".join(way) or "bench")
async def test_no_scan_over_a_slow_line_writes_anything(
    empty: Book, monkeypatch: pytest.MonkeyPatch, way: list[str]
) -> None:
    """Whole or cut off, with and without an end key."""
    await scans_on(empty, monkeypatch, way, range(SCANS))


@pytest.mark.slow
@pytest.mark.parametrize("way", WAYS, ids=lambda way: " ".join(way) or "bench")
async def test_a_thousand_scans_over_a_slow_line_write_nothing(
    empty: Book, monkeypatch: pytest.MonkeyPatch, way: list[str]
) -> None:
    """All screens and cards together."""
    await scans_on(empty, monkeypatch, way, range(100, 127))
