"""Backups: what differs in each copy, one opened to be looked at, a part or all taken back."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.book.check import check_book
from tagbench.book.operations.strip import StripForm, strip_part
from tagbench.records import Part, replace
from tagbench.screens.backups.copy import BackupScreen
from tagbench.screens.backups.screen import BackupsScreen
from tagbench.screens.bench.screen import BenchScreen
from tagbench.screens.find.screen import FindScreen
from tests.screens.conftest import BRAKE, NOW
from tests.screens.driver import LARGE, ScreenDriver, at_the_bench


class Day:
    """A clock that is turned on by hand."""

    now = NOW

    def __call__(self) -> object:
        return self.now


@pytest.fixture
def week(tmp_path: Path) -> Iterator[Book]:
    """A drum and its springs, backed up; a week later the drum is noted wrong, a nut is new."""
    day = Day()
    with Book(tmp_path / "book", now=day) as book:  # type: ignore[arg-type]
        strip_part(book, StripForm(name="brake drum", assembly=BRAKE, bin="Shelf A / Bag 7"))
        strip_part(book, StripForm(name="return springs", assembly=BRAKE))
        book.checkpoint()
        for name in ("axle nut", "speedo drive"):
            day.now += timedelta(days=7)
            strip_part(book, StripForm(name=name, assembly=BRAKE))
            book.checkpoint()
        with book.change("noted") as transaction:
            transaction.put(replace(part(book, "brake drum"), note="scored, throw away"))
        with book.change("took away") as transaction:
            transaction.drop(part(book, "return springs"))
        book.checkpoint()
        yield book


def part(book: Book, name: str) -> Part:
    """The part of that name."""
    return next(one for one in book.records.parts.values() if one.name == name)


async def open_backups(driver: ScreenDriver) -> BackupsScreen:
    """By the list of actions."""
    await driver.press("ctrl+g")
    await driver.write("backups")
    await driver.press("enter")
    await driver.settle()
    return driver.at(BackupsScreen)


async def open_oldest(driver: ScreenDriver) -> BackupScreen:
    """The oldest copy in which the springs are."""
    screen = await open_backups(driver)
    copies = screen.rows.items
    screen.rows.cursor = max(at for at, copy in enumerate(copies) if copy.revision >= 2)
    await driver.press("enter")
    return driver.at(BackupScreen)


async def cursor_on(driver: ScreenDriver, screen: BackupScreen, name: str) -> None:
    """Puts the cursor on a record."""
    screen.rows.cursor = next(at for at, one in enumerate(screen.rows.items) if one.name == name)
    await driver.settle()


@pytest.mark.parametrize("size", [(80, 23), LARGE])
async def test_the_copies_are_listed_with_what_differs(week: Book, size: tuple[int, int]) -> None:
    """Then the records of one, with the words then and now."""
    async with at_the_bench(week, size) as driver:
        await open_backups(driver)
        assert "records differ" in driver.shown
        assert part(week, "brake drum").code in driver.shown
        screen = await open_oldest(driver)
        await cursor_on(driver, screen, "brake drum")
        assert "now   scored, throw away" in driver.shown
        await cursor_on(driver, screen, "return springs")
        assert "gone now" in driver.shown
        assert "came since" in driver.shown


async def test_one_part_is_taken_back_after_a_question(week: Book) -> None:
    """Escape changes nothing; Enter takes it back, and what is named takes that back again."""
    async with at_the_bench(week) as driver:
        screen = await open_oldest(driver)
        await cursor_on(driver, screen, "return springs")
        revision = week.revision
        await driver.press("enter", "escape")
        assert week.revision == revision
        await driver.press("enter", "enter")
        assert driver.said == "Took return springs back; Ctrl+T takes that back."
        springs = part(week, "return springs")
        assert not any(one.key == springs.code for one in screen.rows.items)
        assert check_book(week.folder).ok
        await driver.press("ctrl+t", "ctrl+t")
        assert springs.code not in week.records.parts


async def test_what_came_since_is_no_thing_to_take_back(week: Book) -> None:
    """It is said, and nothing is changed."""
    async with at_the_bench(week) as driver:
        screen = await open_oldest(driver)
        await cursor_on(driver, screen, "axle nut")
        revision = week.revision
        await driver.press("enter")
        assert "newer than the copy" in driver.said
        assert week.revision == revision


async def test_the_whole_book_is_taken_back(week: Book) -> None:
    """One change, one undo."""
    async with at_the_bench(week) as driver:
        await open_oldest(driver)
        await driver.press("ctrl+r", "enter")
        assert {one.name for one in week.records.parts.values()} == {
            "brake drum",
            "return springs",
        }
        assert "Nothing differs" in driver.shown
        await driver.press("ctrl+t", "ctrl+t")
        assert part(week, "axle nut")


async def test_a_copy_is_looked_at_on_all_screens_and_never_written(week: Book) -> None:
    """The title says so, a change is refused with the way back, and the book is shown again."""
    async with at_the_bench(week) as driver:
        await open_oldest(driver)
        await driver.press("o")
        driver.at(BenchScreen)
        assert "ONLY LOOKED AT: the copy of" in driver.shown
        files = {path: path.read_bytes() for path in week.folder.rglob("*") if path.is_file()}
        await driver.press("f3")
        driver.at(FindScreen)
        await driver.write("spring")
        assert "return springs" in driver.shown
        await driver.press("f2")
        await driver.fill(assembly="Rear", name="hub")
        await driver.press("enter")
        assert "only looked at" in driver.said
        assert {p: p.read_bytes() for p in week.folder.rglob("*") if p.is_file()} == files
        await driver.press("ctrl+g")
        await driver.write("own book")
        await driver.press("enter")
        assert "ONLY LOOKED AT" not in driver.shown
        await driver.press("f3")
        assert "axle nut" in driver.shown or "return springs" not in driver.shown
        strip_part(week, StripForm(name="hub", assembly="Rear"))
        driver.app.look_for_changes()


async def test_a_copy_that_cannot_be_read_is_told(week: Book) -> None:
    """And the others are still there."""
    next((week.folder / "backups").glob("book-000002*")).write_text("{ rubbish")
    async with at_the_bench(week) as driver:
        screen = await open_backups(driver)
        assert "cannot be read whole" in driver.shown
        screen.rows.cursor = next(
            at for at, copy in enumerate(screen.rows.items) if not copy.readable
        )
        await driver.press("enter")
        assert "choose another copy" in driver.said
        await driver.press("o")
        assert driver.said.endswith(".")
        assert driver.at(BackupsScreen)


async def test_a_new_book_has_none(empty: Book) -> None:
    """It says when the first is made."""
    async with at_the_bench(empty) as driver:
        await open_backups(driver)
        assert "second change" in driver.shown


async def test_a_record_that_is_gone_says_which_change_took_it(week: Book) -> None:
    """And the way that it names brings it back."""
    nut = part(week, "axle nut")
    async with at_the_bench(week) as driver:
        await driver.app.open_code(nut.code)
        with week.change("took away the nut") as transaction:
            transaction.drop(nut)
        driver.app.book_changed()
        await driver.settle()
        assert "took away the nut" in driver.shown
        await driver.press("ctrl+t", "enter")
        assert week.records.parts[nut.code] == nut
