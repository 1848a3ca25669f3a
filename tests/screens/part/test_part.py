"""Part: everything about one part, and mending it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.book.operations.photos import attach
from tagbench.book.operations.strip import edit
from tagbench.records import CareStep, Torque, replace
from tagbench.screens.bench.screen import BenchScreen
from tagbench.screens.frame.viewer import show_in_viewer
from tagbench.screens.part.screen import PartScreen
from tagbench.screens.widgets.photo import PhotoView, fitted_size
from tests.screens.driver import LARGE, ScreenDriver, at_the_bench


def codes(book: Book) -> list[str]:
    """Drum, screws, plate."""
    return [part.code for part in book.records.parts_of("TP")]


async def look_at(driver: ScreenDriver, code: str) -> None:
    """Opens a part with the scanner."""
    await driver.scan(code)
    assert driver.at(PartScreen)


async def test_the_links_are_shown_both_ways_and_can_be_followed(brake: Book) -> None:
    """The screws came off behind the drum and before the plate; Escape leads back."""
    drum, screws, _ = codes(brake)
    async with at_the_bench(brake, LARGE) as driver:
        await look_at(driver, screws)
        assert f"came off first   {drum}" in driver.shown
        assert "goes on after" in driver.shown
        await driver.tab_to("near")
        await driver.press("enter")
        assert driver.at(PartScreen).code == drum
        await driver.press("escape")
        assert driver.at(PartScreen).code == screws
        await driver.press("escape")
        assert driver.at(BenchScreen)


async def test_everything_that_is_known_is_on_the_page(brake: Book) -> None:
    """Care, where it is kept, fasteners, note and history."""
    _, screws, _ = codes(brake)
    care = (CareStep(step="degreased", with_what="paraffin", at=brake.now()),)
    edit(brake, screws, care=care, verdict="reuse", note="one head is chewed")
    async with at_the_bench(brake, (120, 64)) as driver:
        await look_at(driver, screws)
        for words in (
            "in Bag 7, in Box 2, on Shelf A",
            "4x M5x0.8x12 pan",
            "[x] degreased with paraffin, 3 Nov 2025",
            "[ ] inspected",
            "verdict: reuse",
            "one head is chewed",
            "took off backing plate screws",
        ):
            assert words in driver.shown


async def test_cautions_stand_where_the_work_is(brake: Book) -> None:
    """A brake drum that is still to be degreased: dust, and who has the last word."""
    async with at_the_bench(brake, LARGE) as driver:
        await look_at(driver, codes(brake)[0])
        assert "asbestos" in driver.shown
        assert "maker's manual" in driver.shown


async def test_edit_writes_only_what_differs(brake: Book) -> None:
    """What else is known of a fastener stays when another field is changed."""
    screws = codes(brake)[1]
    (fastener,) = brake.records.parts[screws].fasteners
    torque = Torque(low=4, high=5, source="manual page 12")
    with brake.change("two are back") as transaction:
        lines = (replace(fastener, torque=torque, back=2),)
        transaction.put(replace(transaction.records.parts[screws], fasteners=lines))
    async with at_the_bench(brake) as driver:
        await look_at(driver, screws)
        await driver.press("ctrl+e")
        await driver.fill(note="cleaned")
        await driver.press("enter")
        part = brake.records.parts[screws]
        assert part.note == "cleaned"
        assert (part.fasteners[0].torque, part.fasteners[0].back) == (torque, 2)
        assert brake.history(screws)[0].words == f"changed note of {screws}"


async def test_closing_the_form_changes_nothing(brake: Book) -> None:
    """Escape is no change, and neither is Enter on an untouched form."""
    async with at_the_bench(brake) as driver:
        await look_at(driver, codes(brake)[2])
        before = brake.revision
        await driver.press("ctrl+e", "escape", "ctrl+e", "enter")
        assert brake.revision == before
        assert driver.said == "Nothing was changed."


async def test_a_loop_of_links_is_refused_in_the_form(brake: Book) -> None:
    """The drum cannot be behind the plate; the form stays open."""
    drum, _, plate = codes(brake)
    async with at_the_bench(brake) as driver:
        await look_at(driver, drum)
        await driver.press("ctrl+e")
        await driver.fill(behind=plate)
        await driver.press("enter")
        assert "loop" in driver.said
        assert driver.field("behind") == plate
        assert brake.records.parts[drum].behind == ()


async def test_a_part_moves_to_another_bin(brake: Book) -> None:
    """A new name makes a new bin."""
    drum = codes(brake)[0]
    async with at_the_bench(brake) as driver:
        await look_at(driver, drum)
        await driver.press("ctrl+b")
        await driver.write("Drawer 9")
        await driver.press("enter")
        assert brake.records.bins[brake.records.parts[drum].bin].name == "Drawer 9"


async def test_a_picture_is_added_and_drawn_in_half_blocks(brake: Book, picture: Path) -> None:
    """Without a graphics protocol the picture is there all the same."""
    drum = codes(brake)[0]
    async with at_the_bench(brake) as driver:
        await look_at(driver, drum)
        await driver.press("ctrl+p")
        await driver.press("end", *["backspace"] * 2)
        await driver.write(str(picture))
        await driver.press("enter")
        await driver.until(lambda: "▀▀▀▀▀▀" in driver.shown)
        (photo,) = brake.records.parts[drum].photos
        assert photo.file in driver.shown
        assert picture.exists()


async def test_a_picture_that_is_gone_is_said_so(brake: Book, picture: Path) -> None:
    """The page is there all the same."""
    (part,) = attach(brake, [(picture, codes(brake)[0])])
    (brake.photos / part.photos[0].file).unlink()
    async with at_the_bench(brake) as driver:
        await look_at(driver, part.code)
        await driver.until(lambda: "cannot be" in driver.shown)
        await driver.press("ctrl+o")
        assert "is gone" in driver.said


async def test_the_viewer_gets_the_file(
    brake: Book, picture: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The system's own program is started with the copy in the book."""
    started: list[list[str]] = []
    monkeypatch.setattr("shutil.which", lambda name: f"/usr/bin/{name}")
    monkeypatch.setattr("subprocess.Popen", lambda command, **_: started.append(command))
    show_in_viewer(picture)
    assert started[0][1:] == [str(picture)]


async def test_its_tag_is_queued_again(brake: Book) -> None:
    """From the page of the part."""
    from tagbench.book.operations.tagging import unqueue

    drum = codes(brake)[0]
    unqueue(brake, [drum])
    async with at_the_bench(brake) as driver:
        await look_at(driver, drum)
        await driver.press("ctrl+r")
        assert brake.records.tags[drum].queued is not None


async def test_a_record_is_taken_away_only_after_a_question(brake: Book) -> None:
    """And comes back with Ctrl+T."""
    plate = codes(brake)[2]
    async with at_the_bench(brake) as driver:
        await look_at(driver, plate)
        await driver.press("ctrl+d", "escape")
        assert plate in brake.records.parts
        await driver.press("ctrl+d", "enter")
        assert plate not in brake.records.parts
        await driver.press("ctrl+t", "ctrl+t")
        assert plate in brake.records.parts


@pytest.mark.parametrize(
    ("pixels", "room", "cells"),
    [((400, 200), (40, 20), (40, 10)), ((200, 400), (40, 20), (20, 20)), ((9, 9), (2, 9), (2, 1))],
)
def test_a_picture_keeps_its_shape(
    pixels: tuple[int, int], room: tuple[int, int], cells: tuple[int, int]
) -> None:
    """Cells are 10 by 20 dots here: twice as high as wide."""
    assert fitted_size(*pixels, *room, (10, 20)) == cells


async def test_several_pictures_are_shown_in_turn(brake: Book, picture: Path) -> None:
    """→ goes round."""
    drum = codes(brake)[0]
    attach(brake, [(picture, drum), (picture, drum)])
    async with at_the_bench(brake) as driver:
        await look_at(driver, drum)
        view = driver.screen.query_one(PhotoView)
        first = view.path
        assert "1 of 2" in driver.shown
        await driver.press("right")
        assert view.path != first
        await driver.press("right")
        assert view.path == first
