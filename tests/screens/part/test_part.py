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
from tagbench.screens.widgets.photo import PhotoView, fit
from tests.screens.driver import LARGE, ScreenDriver, at_the_bench


def codes(book: Book) -> list[str]:
    """Drum, screws, plate."""
    return [part.code for part in book.records.parts_of("TP")]


async def look_at(hands: ScreenDriver, code: str) -> None:
    """Opens a part with the scanner."""
    await hands.scan(code)
    assert hands.at(PartScreen)


async def test_the_links_are_shown_both_ways_and_can_be_followed(brake: Book) -> None:
    """The screws came off behind the drum and before the plate; Escape leads back."""
    drum, screws, _ = codes(brake)
    async with at_the_bench(brake, LARGE) as hands:
        await look_at(hands, screws)
        assert f"came off first   {drum}" in hands.shown
        assert "goes on first" in hands.shown
        await hands.tab_to("near")
        await hands.press("enter")
        assert hands.at(PartScreen).code == drum
        await hands.press("escape")
        assert hands.at(PartScreen).code == screws
        await hands.press("escape")
        assert hands.at(BenchScreen)


async def test_everything_that_is_known_is_on_the_page(brake: Book) -> None:
    """Care, where it is kept, fasteners, note and history."""
    _, screws, _ = codes(brake)
    care = (CareStep(step="degreased", with_what="paraffin", at=brake.now()),)
    edit(brake, screws, care=care, verdict="reuse", note="one head is chewed")
    async with at_the_bench(brake, (120, 64)) as hands:
        await look_at(hands, screws)
        for words in (
            "in Bag 7, in Box 2, on Shelf A",
            "4x M5x0.8x12 pan",
            "[x] degreased with paraffin, 3 Nov 2025",
            "[ ] inspected",
            "verdict: reuse",
            "one head is chewed",
            "took off backing plate screws",
        ):
            assert words in hands.shown


async def test_cautions_stand_where_the_work_is(brake: Book) -> None:
    """A brake drum that is still to be degreased: dust, and who has the last word."""
    async with at_the_bench(brake, LARGE) as hands:
        await look_at(hands, codes(brake)[0])
        assert "asbestos" in hands.shown
        assert "maker's manual" in hands.shown


async def test_edit_writes_only_what_differs(brake: Book) -> None:
    """What else is known of a fastener stays when another field is changed."""
    screws = codes(brake)[1]
    (fastener,) = brake.records.parts[screws].fasteners
    torque = Torque(low=4, high=5, source="manual page 12")
    with brake.change("two are back") as draft:
        lines = (replace(fastener, torque=torque, back=2),)
        draft.put(replace(draft.records.parts[screws], fasteners=lines))
    async with at_the_bench(brake) as hands:
        await look_at(hands, screws)
        await hands.press("ctrl+e")
        await hands.fill(note="cleaned")
        await hands.press("enter")
        part = brake.records.parts[screws]
        assert part.note == "cleaned"
        assert (part.fasteners[0].torque, part.fasteners[0].back) == (torque, 2)
        assert brake.history(screws)[0].words == f"changed note of {screws}"


async def test_closing_the_form_changes_nothing(brake: Book) -> None:
    """Escape is no change, and neither is Enter on an untouched form."""
    async with at_the_bench(brake) as hands:
        await look_at(hands, codes(brake)[2])
        before = brake.revision
        await hands.press("ctrl+e", "escape", "ctrl+e", "enter")
        assert brake.revision == before
        assert hands.said == "Nothing was changed."


async def test_a_loop_of_links_is_refused_in_the_form(brake: Book) -> None:
    """The drum cannot be behind the plate; the form stays open."""
    drum, _, plate = codes(brake)
    async with at_the_bench(brake) as hands:
        await look_at(hands, drum)
        await hands.press("ctrl+e")
        await hands.fill(behind=plate)
        await hands.press("enter")
        assert "loop" in hands.said
        assert hands.field("behind") == plate
        assert brake.records.parts[drum].behind == ()


async def test_a_part_moves_to_another_bin(brake: Book) -> None:
    """A new name makes a new bin."""
    drum = codes(brake)[0]
    async with at_the_bench(brake) as hands:
        await look_at(hands, drum)
        await hands.press("ctrl+b")
        await hands.write("Drawer 9")
        await hands.press("enter")
        assert brake.records.bins[brake.records.parts[drum].bin].name == "Drawer 9"


async def test_a_picture_is_added_and_drawn_in_half_blocks(brake: Book, picture: Path) -> None:
    """Without a graphics protocol the picture is there all the same."""
    drum = codes(brake)[0]
    async with at_the_bench(brake) as hands:
        await look_at(hands, drum)
        await hands.press("ctrl+p")
        await hands.press("end", *["backspace"] * 2)
        await hands.write(str(picture))
        await hands.press("enter")
        await hands.until(lambda: "▀▀▀▀▀▀" in hands.shown)
        (photo,) = brake.records.parts[drum].photos
        assert photo.file in hands.shown
        assert picture.exists()


async def test_a_picture_that_is_gone_is_said_so(brake: Book, picture: Path) -> None:
    """The page is there all the same."""
    (part,) = attach(brake, [(picture, codes(brake)[0])])
    (brake.photos / part.photos[0].file).unlink()
    async with at_the_bench(brake) as hands:
        await look_at(hands, part.code)
        await hands.until(lambda: "cannot be" in hands.shown)
        await hands.press("ctrl+o")
        assert "is gone" in hands.said


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
    async with at_the_bench(brake) as hands:
        await look_at(hands, drum)
        await hands.press("ctrl+r")
        assert brake.records.tags[drum].queued is not None


async def test_a_record_is_taken_away_only_after_a_question(brake: Book) -> None:
    """And comes back with Ctrl+T."""
    plate = codes(brake)[2]
    async with at_the_bench(brake) as hands:
        await look_at(hands, plate)
        await hands.press("ctrl+d", "escape")
        assert plate in brake.records.parts
        await hands.press("ctrl+d", "enter")
        assert plate not in brake.records.parts
        await hands.press("ctrl+t", "ctrl+t")
        assert plate in brake.records.parts


@pytest.mark.parametrize(
    ("pixels", "room", "cells"),
    [((400, 200), (40, 20), (40, 10)), ((200, 400), (40, 20), (20, 20)), ((9, 9), (2, 9), (2, 1))],
)
def test_a_picture_keeps_its_shape(
    pixels: tuple[int, int], room: tuple[int, int], cells: tuple[int, int]
) -> None:
    """Cells are 10 by 20 dots here: twice as high as wide."""
    assert fit(*pixels, *room, (10, 20)) == cells


async def test_several_pictures_are_shown_in_turn(brake: Book, picture: Path) -> None:
    """→ goes round."""
    drum = codes(brake)[0]
    attach(brake, [(picture, drum), (picture, drum)])
    async with at_the_bench(brake) as hands:
        await look_at(hands, drum)
        view = hands.screen.query_one(PhotoView)
        first = view.path
        assert "1 of 2" in hands.shown
        await hands.press("right")
        assert view.path != first
        await hands.press("right")
        assert view.path == first
