"""Bench: counts by state, progress by assembly, next on the bench."""

from __future__ import annotations

from tagbench.book import Book
from tagbench.book.operations.strip import StripForm, edit, strip_part
from tagbench.records import CareStep
from tagbench.screens.part.screen import PartScreen
from tagbench.screens.widgets.columns import bar
from tagbench.screens.widgets.rows import Rows
from tests.screens.driver import ScreenDriver, at_the_bench


def jobs(driver: ScreenDriver) -> list[tuple[str, str]]:
    """What is next, as (what to do, name)."""
    return [(job.do, job.part.name) for job in driver.screen.query_one("#next", Rows).items]


def make_ready(book: Book, code: str) -> None:
    """Degreases a part and decides to use it again."""
    edit(book, code, care=(CareStep(step="degreased", at=book.now()),), verdict="reuse")


async def test_an_empty_book_says_how_to_begin(empty: Book) -> None:
    """The first key to press is named."""
    async with at_the_bench(empty) as driver:
        assert "no machine yet" in driver.shown
        assert "Press F2" in driver.shown


async def test_the_machine_at_a_glance(brake: Book) -> None:
    """Its name, how many parts, and how far the assembly is."""
    plate = brake.records.parts_of("TP")[2].code
    edit(brake, plate, fitted="fitted")
    async with at_the_bench(brake) as driver:
        assert "Tarnbrook Packman  (TP)" in driver.shown
        figures, words = driver.shown.splitlines()[2:4]
        assert figures.split() == ["3", "0", "3", "0", "0", "1"]
        assert words.split() == [
            "parts",
            "degreased",
            "undecided",
            "to",
            "replace",
            "snug",
            "fitted",
        ]
        assert "1 of 3" in driver.shown


async def test_what_is_ready_to_be_fitted_comes_first(brake: Book) -> None:
    """The plate is deepest and clean; the others are still to be degreased."""
    make_ready(brake, brake.records.parts_of("TP")[2].code)
    async with at_the_bench(brake) as driver:
        await driver.until(lambda: bool(jobs(driver)))
        assert jobs(driver)[0] == ("fit", "backing plate")
        assert ("degrease", "brake drum") in jobs(driver)
        await driver.press("enter")
        assert driver.at(PartScreen)


async def test_assemblies_that_begin_alike_are_told_apart(brake: Book) -> None:
    for name in ("float chamber", "slide and needle"):
        strip_part(brake, StripForm("screw", assembly=f"Carburettor {name}"))
    async with at_the_bench(brake) as driver:
        assert "Carb…chamber" in driver.shown
        assert "Carb… needle" in driver.shown


async def test_the_machine_is_named_by_keys(brake: Book) -> None:
    """Ctrl+N lists the machines, once more adds one, and it is on the bench."""
    async with at_the_bench(brake) as driver:
        await driver.press("ctrl+n", "ctrl+n")
        await driver.write("Hay tedder")
        await driver.press("enter")
        assert brake.records.desk.machine == "HT"
        assert "Hay tedder  (HT)" in driver.shown
        await driver.press("ctrl+n", "home", "enter")
        assert brake.records.desk.machine == "TP"


def test_a_bar_is_full_only_when_all_is_done() -> None:
    """And shows at least one cell for a share that is not nothing."""
    assert bar(10, 3, (3, "█")) == "█" * 10
    assert bar(10, 1000, (999, "█")) == "█" * 9 + "·"
    assert bar(10, 1000, (1, "█"), (1, "▒")) == "█▒" + "·" * 8
    assert bar(10, 0, (0, "█")) == "·" * 10
