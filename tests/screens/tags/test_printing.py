"""Tags on paper: printers, the ruler page, cut marks, tags once more, long runs stopped."""

from __future__ import annotations

import asyncio
import os
from collections.abc import Iterator
from pathlib import Path
from threading import Event
from typing import Any

import pytest
from textual.widgets import Static

from labels.stock.catalogue import find_stock
from tagbench.book import Book
from tagbench.book.operations import printing
from tagbench.book.operations.tagging import queued, set_sheet, unqueue
from tagbench.screens.shared.confirm import ConfirmDialog
from tagbench.screens.tags import print_job
from tagbench.screens.tags.cards import AgainDialog
from tagbench.screens.tags.page import cells, page_of
from tagbench.screens.tags.printers import PrinterDialog, RulerDialog
from tests.labels import raster
from tests.labels.output.test_cups import command
from tests.screens.driver import LARGE, LONGEST_S, ScreenDriver, at_the_bench


@pytest.fixture
def printers(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Stand-ins of lp and lpstat: two printers; lp takes its copy of the file."""
    folder = tmp_path / "bin"
    folder.mkdir()
    monkeypatch.setenv("PATH", f"{folder}{os.pathsep}/usr/bin{os.pathsep}/bin")
    command(folder, "lpstat", 'case "$1" in -e) echo roll; echo laser;; '
            '-d) echo "system default destination: laser";; esac')  # fmt: skip
    spooled = folder / "spooled.pdf"
    command(folder, "lp", f'echo "$2" > {folder}/asked; for last; do :; done; cp "$last" {spooled}')
    return folder


async def set_field(driver: ScreenDriver, name: str, text: str) -> None:
    """Types into a field that has something in it."""
    await driver.tab_to(name)
    await driver.press(*["backspace"] * len(driver.field(name)))
    await driver.write(text)


async def take_printer(driver: ScreenDriver, *keys: str) -> None:
    """Opens the card with the printers and takes the one that is so many keys down."""
    await driver.press("ctrl+y")
    await driver.until(lambda: "laser" in driver.shown)
    await driver.press(*keys, "enter")


async def test_tags_go_straight_to_the_printer_that_was_chosen(brake: Book, printers: Path) -> None:
    """The default one stands first; it is remembered, and the queue is empty afterwards."""
    async with at_the_bench(brake) as driver:
        await driver.press("f4")
        count = len(queued(brake.records))
        await take_printer(driver, "down")
        assert driver.field("target") == "laser"
        await driver.press("ctrl+p")
        await driver.until(lambda: f"Sent {count} tags on 1 page to laser" in driver.said)
        assert (printers / "asked").read_text() == "laser\n"
        assert_a4(printers / "spooled.pdf")
        assert not queued(brake.records)
        assert brake.records.desk.printer == "laser"


async def test_a_printer_that_refuses_is_quoted_and_the_tags_wait(
    brake: Book, printers: Path
) -> None:
    """Nothing is lost."""
    command(printers, "lp", 'echo "lp: Error - not accepting jobs." >&2; exit 1')
    async with at_the_bench(brake) as driver:
        await driver.press("f4")
        before = queued(brake.records)
        await take_printer(driver, "down", "down")
        await driver.press("ctrl+p")
        await driver.until(lambda: "not accepting jobs" in driver.said)
        assert queued(brake.records) == before


async def test_without_a_printing_system_a_file_is_offered(
    brake: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With a sentence that says what is missing."""
    monkeypatch.setenv("PATH", str(tmp_path))
    async with at_the_bench(brake) as driver:
        await driver.press("f4", "ctrl+y")
        await driver.until(lambda: "Printing needs CUPS" in driver.shown)
        assert "a PDF or PNG file" in driver.shown
        await driver.press("enter")
        assert driver.field("target").endswith(".pdf")


async def test_nothing_is_printed_nowhere(brake: Book) -> None:
    """An empty field asks for a file or a printer."""
    async with at_the_bench(brake) as driver:
        await driver.press("f4")
        await set_field(driver, "target", "")
        await driver.press("ctrl+p")
        assert "a file that ends in .pdf or .png, or a printer" in driver.said


def assert_a4(file: Path) -> None:
    """One page of A4, read back by pypdfium2."""
    [(width, height)] = raster.page_sizes_mm(file)
    assert width == pytest.approx(210, abs=0.2)
    assert height == pytest.approx(297, abs=0.2)


# The ruler page


async def test_the_ruler_page_is_printed_and_measured(brake: Book, printers: Path) -> None:
    """Four lengths, in any unit; the correction is kept for that printer and used from then on."""
    async with at_the_bench(brake) as driver:
        await driver.press("f4", "ctrl+y")
        await driver.until(lambda: "laser" in driver.shown)
        assert driver.shown.count("not measured") == 3
        await driver.press("down", "m", "ctrl+p")
        await driver.until(lambda: "Printed the ruler page: laser" in driver.said)
        assert_a4(printers / "spooled.pdf")
        for text in ("21", "170", "2 cm", "257"):
            await driver.write(text)
            await driver.press("down")
        assert "To be corrected: 1.00 mm left" in driver.shown
        await driver.press("enter")
        assert driver.at(PrinterDialog)
        assert "Corrected from now on: 1.00 mm left." in driver.said
        assert driver.shown.count("not measured") == 2
        fit = brake.records.desk.printers["laser"]
        assert fit.offset_x_mm == pytest.approx(-1.0)
        assert fit.scale_x == pytest.approx(1.0)


async def test_lengths_that_cannot_be_are_refused(brake: Book) -> None:
    """One that is missing is named, and one that is far off."""
    async with at_the_bench(brake) as driver:
        await driver.press("f4", "ctrl+y", "m")
        await driver.write("20")
        await driver.press("enter")
        assert "missing: Across, Top, Down" in driver.said
        for text in ("", "120", "20", "257"):
            await driver.write(text)
            await driver.press("down")
        await driver.press("enter")
        assert "“across” was measured as 120 mm" in driver.said
        assert driver.at(RulerDialog)
        assert not brake.records.desk.printers


async def test_a_correction_can_be_forgotten(brake: Book) -> None:
    """The printer was mended."""
    async with at_the_bench(brake) as driver:
        await driver.press("f4", "ctrl+y", "m")
        for text in ("21", "170", "20", "257"):
            await driver.write(text)
            await driver.press("down")
        await driver.press("enter")
        assert brake.records.desk.printers[""].offset_x_mm
        await driver.press("m", "ctrl+r")
        assert "Nothing is corrected" in driver.said
        assert "exact" in driver.shown


# The page


@pytest.mark.parametrize("wanted", [False, True])
async def test_cut_marks_are_printed_when_they_are_asked_for(
    brake: Book, tmp_path: Path, wanted: bool
) -> None:
    """A cross on the corner that the second and third row of labels share."""
    file = tmp_path / "tags.pdf"
    async with at_the_bench(brake) as driver:
        await driver.press("f4", *["c"] * wanted)
        await driver.until(lambda: ("cut marks" in driver.shown) is wanted)
        await set_field(driver, "target", str(file))
        await driver.press("ctrl+p")
        await driver.until(lambda: "Wrote" in driver.shown)
    (page,) = raster.pages(file)
    corner = (70.0, 0.5 + 2 * 37.0)
    x, y = (round(mm / 25.4 * 300) for mm in corner)
    around = page.crop((x - 3, y - 3, x + 4, y + 4)).convert("L").tobytes()
    assert (min(around) < 100) is wanted


async def test_the_page_follows_the_cursor(brake: Book) -> None:
    """The last tag is on the second page of a sheet that is nearly used up."""
    set_sheet(brake, "a4-2x4-99.1x67.7", 7)
    async with at_the_bench(brake, LARGE) as driver:
        await driver.press("f4")
        last = queued(brake.records)[-1].code
        assert "page 1 of 2" in driver.shown
        await driver.press("end")
        assert "page 2 of 2" in driver.shown
        assert f"▸{last}" in driver.shown


def test_pages_are_counted_from_the_first_free_label() -> None:
    """Six used labels of eight leave two for the first page."""
    stock = find_stock("a4-2x4-99.1x67.7")
    codes = [f"TP-{number:03}" for number in range(1, 13)]
    assert [page_of(stock, 7, codes, code) for code in codes] == [1, 1, *[2] * 8, 3, 3]
    assert page_of(stock, 7, codes, "BIN-001-K") == 1
    assert cells(stock, 7, codes, 3) == ["TP-011", "TP-012", *["·"] * 6]


async def test_all_pages_of_pictures_are_asked_about(brake: Book, tmp_path: Path) -> None:
    """Also the second one."""
    set_sheet(brake, "a4-2x4-99.1x67.7", 7)
    (tmp_path / "tags-02.png").write_text("mine")
    async with at_the_bench(brake) as driver:
        await driver.press("f4")
        await set_field(driver, "target", str(tmp_path / "tags.png"))
        await driver.press("ctrl+p")
        assert driver.at(ConfirmDialog)
        # The path is long and wraps anywhere, so the sentence is read from the card itself.
        asked = driver.app.screen.query_one(".words", Static)
        assert "tags-02.png" in str(asked.content)


# Once more


async def test_chosen_tags_are_printed_again(brake: Book) -> None:
    """Found by name; Enter queues one and the card stays for the next."""
    unqueue(brake, [tag.code for tag in queued(brake.records)])
    async with at_the_bench(brake) as driver:
        await driver.press("f4", "a")
        await driver.write("plate scr")
        await driver.press("enter")
        [screws] = queued(brake.records)
        assert brake.records.parts[screws.code].name == "backing plate screws"
        assert f"Queued {screws.code} backing plate screws." in driver.said
        await driver.press(*["backspace"] * 9)
        await driver.write("plate")
        await driver.press("ctrl+o")
        assert "Queued 2 tags." in driver.said
        assert "waits" in driver.shown
        await driver.press("escape")
        assert "To print: 2" in driver.shown


async def test_no_tag_with_those_words_is_said(brake: Book) -> None:
    """And nothing is queued."""
    async with at_the_bench(brake) as driver:
        await driver.press("f4", "a")
        await driver.write("zzz")
        await driver.press("enter")
        assert "No tag has that" in driver.said
        assert driver.at(AgainDialog)


# Long runs


@pytest.fixture
def gate(monkeypatch: pytest.MonkeyPatch) -> Iterator[Event]:
    """Printing goes on to the second tag only when this is set."""
    gate = Event()

    def slow(*args: Any, progress: Any, **how: Any) -> Any:
        def one_more(done: int, of: int) -> None:
            progress(done, of)
            assert gate.wait(10)

        return printing.print_tags(*args, progress=one_more, **how)

    monkeypatch.setattr(print_job, "print_tags", slow)
    yield gate
    gate.set()


async def start_printing(driver: ScreenDriver, file: Path) -> int:
    """Begins and waits for the first tag; gives how many there are."""
    await driver.press("f4")
    await set_field(driver, "target", str(file))
    count = len(queued(driver.app.book.records))
    await driver.press("ctrl+p")
    await driver.until(lambda: f"1 of {count}" in driver.shown)
    return count


async def test_one_can_go_on_while_tags_are_printed(
    brake: Book, tmp_path: Path, gate: Event
) -> None:
    """The bar stands on the screen; the end is told wherever one is."""
    async with at_the_bench(brake) as driver:
        await start_printing(driver, tmp_path / "tags.pdf")
        assert "█" in driver.shown
        await driver.press("f3")
        await driver.write("drum")
        assert "brake drum" in driver.shown
        gate.set()
        await driver.until(lambda: "Wrote" in driver.said)
        assert "press K on Tags" in driver.said
        await driver.press("f4")
        await driver.tab_to("queue")
        await driver.press("k")
        await driver.until(lambda: "Is it on paper?" in driver.shown)
        await driver.press("enter")
        await driver.until(lambda: "To print: 0" in driver.shown)
        assert "█" not in driver.shown


async def test_a_run_that_is_stopped_leaves_nothing_behind(
    brake: Book, tmp_path: Path, gate: Event
) -> None:
    """No file, and every tag still waits; then it can be printed."""
    file = tmp_path / "out" / "tags.pdf"
    file.parent.mkdir()
    async with at_the_bench(brake) as driver:
        count = await start_printing(driver, file)
        await driver.press("ctrl+p")
        assert "Stop printing?" in driver.shown
        await driver.press("enter")
        gate.set()
        await driver.until(lambda: "was stopped" in driver.said)
        assert list(file.parent.iterdir()) == []
        assert len(queued(brake.records)) == count
        await driver.press("ctrl+p")
        await driver.until(lambda: f"Wrote {count} tags" in driver.shown)
        assert file.exists()


async def test_leaving_stops_the_run(brake: Book, tmp_path: Path, gate: Event) -> None:
    """The tags wait for the next evening."""
    file = tmp_path / "out" / "tags.pdf"
    file.parent.mkdir()
    async with at_the_bench(brake) as driver:
        count = await start_printing(driver, file)
    gate.set()
    async with asyncio.timeout(LONGEST_S):  # the thread ends by itself at its next tag
        while list(file.parent.iterdir()):
            await asyncio.sleep(0.01)
    assert len(queued(brake.records)) == count
