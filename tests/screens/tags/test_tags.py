"""Tags: the queue is only emptied when the output is safely written."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import Input

from labels.output.preview import half_blocks
from tagbench.book import Book
from tagbench.book.operations.strip import StripForm, strip_part
from tagbench.book.operations.tagging import queued, set_sheet, unqueue
from tagbench.screens.part.screen import PartScreen
from tagbench.screens.shared.confirm import ConfirmDialog
from tagbench.screens.tags.page import PagePreview, cells
from tests.screens.driver import ScreenDriver, at_the_bench


async def set_target(driver: ScreenDriver, text: str) -> None:
    """Types where to print to."""
    await driver.tab_to("target")
    driver.screen.query_one("#target", Input).value = ""
    await driver.write(text)


async def test_marked_tags_are_printed_and_the_others_wait_on(brake: Book, tmp_path: Path) -> None:
    """Space marks; what is not marked stays in the queue."""
    file = tmp_path / "some.pdf"
    async with at_the_bench(brake) as driver:
        await driver.press("f4")
        codes = [tag.code for tag in queued(brake.records)]
        await driver.press("space", "down", "space")
        await set_target(driver, str(file))
        await driver.press("ctrl+p")
        await driver.until(lambda: "Wrote 2 tags on 1 page" in driver.shown)
        assert file.exists()
        assert "Is it on paper?" in driver.shown
        assert [tag.code for tag in queued(brake.records)] == codes
        await driver.press("enter")
        assert [tag.code for tag in queued(brake.records)] == [codes[1], *codes[3:]]


async def test_marks_and_a_typed_label_are_seen_on_the_page(brake: Book) -> None:
    """Only marked tags are on it; what was typed stays when the book changes elsewhere."""
    async with at_the_bench(brake) as driver:
        await driver.press("f4")
        codes = [tag.code for tag in queued(brake.records)]
        await driver.tab_to("first")
        await driver.press("backspace")
        await driver.write("9")
        strip_part(brake, StripForm(name="kick start lever"))
        driver.app.book_changed()
        await driver.settle()
        assert driver.field("first") == "9"
        await driver.tab_to("queue")
        await driver.press("space")
        page = driver.screen.query_one(PagePreview)
        assert codes[0] in str(page.render())
        assert codes[1] not in str(page.render())


async def test_a_failed_output_leaves_the_queue_as_it_was(brake: Book, tmp_path: Path) -> None:
    """One sentence says why, and every tag still waits."""
    async with at_the_bench(brake) as driver:
        await driver.press("f4")
        before = queued(brake.records)
        await set_target(driver, str(tmp_path / "nowhere" / "tags.pdf"))
        await driver.press("ctrl+p")
        await driver.until(lambda: "no folder" in driver.said)
        assert queued(brake.records) == before


async def test_a_file_is_not_written_over_without_a_question(brake: Book, tmp_path: Path) -> None:
    """Escape leaves it alone, Enter writes over it."""
    file = tmp_path / "tags.pdf"
    file.write_text("mine")
    async with at_the_bench(brake) as driver:
        await driver.press("f4")
        await set_target(driver, str(file))
        await driver.press("ctrl+p")
        assert driver.at(ConfirmDialog)
        await driver.press("escape")
        assert file.read_text() == "mine"
        await driver.press("ctrl+p", "enter")
        await driver.until(lambda: "Wrote" in driver.shown)
        assert file.read_bytes().startswith(b"%PDF")


async def test_the_half_used_sheet_is_remembered(brake: Book, tmp_path: Path) -> None:
    """The next run begins at the first free label."""
    async with at_the_bench(brake) as driver:
        await driver.press("f4")
        await driver.tab_to("first")
        await driver.press("backspace")
        await driver.write("20")
        assert "▒" in driver.shown
        count = len(queued(brake.records))
        await set_target(driver, str(tmp_path / "tags.pdf"))
        assert f"then label {(19 + count) % 24 + 1}" in driver.shown
        await driver.press("ctrl+p")
        await driver.until(lambda: "Is it on paper?" in driver.shown)
        await driver.press("enter")
        assert "noted as printed" in driver.said
        assert driver.field("first") == str((19 + count) % 24 + 1)


async def test_a_file_that_is_not_printed_yet_uses_up_nothing(brake: Book, tmp_path: Path) -> None:
    """Escape says so; the tags wait, the sheet stays where it was, and K asks once more."""
    async with at_the_bench(brake) as driver:
        await driver.press("f4")
        before = queued(brake.records)
        await set_target(driver, str(tmp_path / "tags.pdf"))
        await driver.press("ctrl+p")
        await driver.until(lambda: "Is it on paper?" in driver.shown)
        await driver.press("escape")
        assert "no label is used up" in driver.said
        assert queued(brake.records) == before
        assert driver.field("first") == "1"
        await driver.tab_to("queue")
        await driver.press("k")
        assert driver.at(ConfirmDialog)
        await driver.press("enter")
        assert not queued(brake.records)
        assert brake.records.desk.sheets[brake.records.desk.stock] == len(before) + 1


async def test_enter_in_a_field_never_prints(brake: Book, tmp_path: Path) -> None:
    """It goes on to the queue."""
    file = tmp_path / "tags.pdf"
    async with at_the_bench(brake) as driver:
        await driver.press("f4")
        await set_target(driver, str(file))
        await driver.press("enter")
        assert driver.app.focused is not None
        assert driver.app.focused.id == "queue"
        assert not file.exists()


async def test_every_print_has_a_file_name_of_its_own(
    brake: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The name offered is one that nothing has yet."""
    monkeypatch.setenv("HOME", str(tmp_path))
    async with at_the_bench(brake) as driver:
        await driver.press("f4")
        first = driver.field("target")
        await driver.press("ctrl+p")
        await driver.until(lambda: "Is it on paper?" in driver.shown)
        await driver.press("escape")
        second = driver.field("target")
        assert second == first.replace(".pdf", "-2.pdf")
        assert [file.name for file in tmp_path.glob("tags-*")] == [Path(first).name]


async def test_the_list_of_labels_opens_on_those_in_use(brake: Book) -> None:
    """Enter at once changes nothing."""
    set_sheet(brake, "roll-50x30-203", 1)
    async with at_the_bench(brake) as driver:
        await driver.press("f4", "ctrl+b", "enter")
        assert brake.records.desk.stock == "roll-50x30-203"


async def test_a_label_that_is_not_on_the_sheet_is_refused(brake: Book) -> None:
    """With the numbers there are."""
    async with at_the_bench(brake) as driver:
        await driver.press("f4")
        await driver.tab_to("first")
        await driver.write("00")
        assert "from 1 to 24" in driver.said


async def test_spare_tags_are_set_aside_and_queued(brake: Book) -> None:
    """They join the queue as spare tags."""
    async with at_the_bench(brake) as driver:
        await driver.press("f4", "ctrl+n")
        await driver.write("3")
        await driver.press("enter")
        spare = [tag for tag in queued(brake.records) if tag.kind == "spare"]
        assert len(spare) == 3
        assert spare[0].code in driver.said
        assert driver.shown.count("spare tag") == 3


async def test_another_stock_is_chosen_and_kept(brake: Book) -> None:
    """The labels in use are the first thing seen next time."""
    async with at_the_bench(brake) as driver:
        await driver.press("f4", "ctrl+b", "home", "enter")
        assert brake.records.desk.stock == "a4-3x7-63.5x38.1"
        assert "21 labels" in driver.shown


async def test_a_tag_is_taken_out_of_the_queue(brake: Book) -> None:
    """Unprinted; it can be queued again from the part."""
    async with at_the_bench(brake) as driver:
        await driver.press("f4")
        code = queued(brake.records)[0].code
        await driver.press("ctrl+r")
        assert code not in [tag.code for tag in queued(brake.records)]
        assert code in driver.said


async def test_enter_opens_the_part_of_a_tag(brake: Book) -> None:
    """Or the bin."""
    async with at_the_bench(brake) as driver:
        await driver.press("f4")
        part = next(
            at for at, tag in enumerate(queued(brake.records)) if tag.code in brake.records.parts
        )
        await driver.press(*["down"] * part, "enter")
        assert driver.at(PartScreen)


async def test_a_tag_is_shown_as_it_will_be_printed(brake: Book) -> None:
    """The whole label, then the symbol module by module, then the next tag."""
    async with at_the_bench(brake) as driver:
        await driver.press("f4", "ctrl+o")
        assert "module 0." in driver.shown
        assert "⣿" in driver.shown
        await driver.press("ctrl+o")
        assert "█▀▀▀▀▀█" in driver.shown
        await driver.press("right")
        assert f"{queued(brake.records)[1].code} on" in driver.shown


def test_the_page_shows_used_printed_and_free_labels() -> None:
    """In this order along the rows."""
    from labels.stock.catalogue import find_stock

    page = cells(find_stock("a4-2x4-99.1x67.7"), 3, ["TP-001-N"])
    assert page == ["▒", "▒", "TP-001-N", "·", "·", "·", "·", "·"]


@pytest.mark.parametrize("side", [21, 25, 29])
def test_a_symbol_in_half_blocks_reads_back(side: int) -> None:
    """An independent reader (zxing-cpp) reads the characters as dots."""
    import zxingcpp
    from PIL import Image

    from labels.symbols.symbol import make_symbol

    text = {21: "TP-001-N", 25: "HTTP://GARAGE:8017/TP-001-N", 29: "X" * 40}[side]
    symbol = make_symbol(text, "M")
    lines = half_blocks(symbol.rows, 2)
    dots = [
        [character in halves for character in line] for line in lines for halves in ("█▀", "█▄")
    ]
    image = Image.new("L", (len(dots[0]), len(dots)), 255)
    image.putdata([0 if dark else 255 for row in dots for dark in row])
    large = image.resize((image.width * 8, image.height * 8), Image.Resampling.NEAREST)
    assert [found.text for found in zxingcpp.read_barcodes(large)] == [text]


async def test_enter_in_an_empty_queue_says_that_nothing_waits(brake: Book) -> None:
    unqueue(brake, [tag.code for tag in queued(brake.records)])
    async with at_the_bench(brake) as driver:
        await driver.press("f4", "enter")
        assert driver.said == "No tag waits to be printed."


async def test_the_bar_of_the_question_answers_it(brake: Book) -> None:
    """Escape there is no mere closing."""
    async with at_the_bench(brake) as driver:
        await driver.press("f4", "k")
        assert "Is it on paper?" in driver.shown
        assert "Enter It is printed" in driver.shown
        assert "Esc Not yet" in driver.shown
        waiting = len(queued(brake.records))
        await driver.press("escape")
        assert len(queued(brake.records)) == waiting
