"""Photos: several per part with captions, and a folder of them matched by the time taken."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import pytest
from PIL import Image

from tagbench.book import Book
from tagbench.book.check import check_book
from tagbench.book.operations.photos import attach
from tagbench.records import Photo, replace
from tagbench.screens.photos.folder import PhotosFolderScreen
from tagbench.screens.photos.screen import PhotosScreen
from tests.screens.conftest import NOW
from tests.screens.dirty import dirty_table
from tests.screens.driver import ScreenDriver, at_the_bench

EXIF, DATE_TIME_ORIGINAL = 0x8769, 0x9003
"""Tags of EXIF 2.32 (CIPA DC-008-2019)."""


@pytest.fixture
def codes(empty: Book) -> dict[str, str]:
    """Name → code of the parts, which came off a quarter of an hour after each other."""
    codes = dirty_table(empty)
    with empty.change("came off one after the other") as transaction:
        for number, code in enumerate(codes.values()):
            removed = NOW - timedelta(minutes=15 * (len(codes) - number))
            transaction.put(replace(transaction.records.parts[code], removed=removed))
    return codes


def picture(path: Path, taken: datetime | None) -> Path:
    """A picture with the time it was taken, as a camera writes it: by the clock on the wall."""
    path.parent.mkdir(exist_ok=True)
    exif = Image.Exif()
    if taken is not None:
        exif.get_ifd(EXIF)[DATE_TIME_ORIGINAL] = f"{taken.astimezone():%Y:%m:%d %H:%M:%S}"
    Image.new("RGB", (32, 24), "orange").save(path, exif=exif)
    return path


def photos(book: Book, code: str) -> tuple[Photo, ...]:
    """The pictures of a part."""
    return book.records.parts[code].photos


@pytest.fixture
def folder(empty: Book, codes: dict[str, str], tmp_path: Path) -> Path:
    """Pictures a minute before shoe and chain came off, one of last year, one without a time."""
    folder = tmp_path / "camera"
    for name, at in (("shoe", 0), ("chain", 2)):
        removed = empty.records.parts[list(codes.values())[at]].removed
        assert removed is not None
        picture(folder / f"{name}.jpg", removed - timedelta(minutes=1))
    picture(folder / "old.jpg", NOW - timedelta(days=400))
    picture(folder / "plain.jpg", None)
    (folder / "broken.jpg").write_text("no picture")
    return folder


async def open_folder(driver: ScreenDriver, folder: Path) -> None:
    """Reads the folder."""
    await driver.app.go("photos")
    await driver.settle()
    await driver.write(str(folder))
    await driver.press("enter")
    await driver.until(lambda: "Selected those" in driver.said)
    await driver.settle()


async def test_a_folder_is_offered_and_put_on_once_confirmed(
    empty: Book, codes: dict[str, str], folder: Path
) -> None:
    """Those that are sure are marked; nothing is changed before it is confirmed."""
    async with at_the_bench(empty) as driver:
        before = empty.revision
        await open_folder(driver, folder)
        assert "4 pictures" in driver.shown
        assert "1 cannot be read" in driver.shown
        assert driver.said == "Selected those that are sure: 2 of 4."
        assert f"→ brake shoe {codes['brake shoe']}" in driver.shown
        assert empty.revision == before
        await driver.tab_to("moment")
        await driver.write("before")
        await driver.press("ctrl+o")
        assert empty.revision == before + 1
        (shoe,), (chain,) = (photos(empty, codes[name]) for name in ("brake shoe", "chain"))
        assert shoe.moment == chain.moment == "before"
        assert (folder / "shoe.jpg").exists()
        assert "2 more are in the book already" in driver.shown
        await driver.press("ctrl+t", "enter")
        assert photos(empty, codes["brake shoe"]) == ()


async def test_a_picture_can_be_given_to_another_part(
    empty: Book, codes: dict[str, str], folder: Path
) -> None:
    """By its name, or by scanning the bag; a mark can be taken away."""
    async with at_the_bench(empty) as driver:
        await open_folder(driver, folder)
        await driver.press("home", "enter")
        assert "Which part does old.jpg show?" in driver.shown
        await driver.write("sprocket")
        await driver.press("enter")
        assert "chosen by you" in driver.shown
        await driver.press("down")
        await driver.scan(codes["cover gasket"])
        driver.at(PhotosFolderScreen)
        await driver.press("ctrl+o")
        assert len(photos(empty, codes["rear sprocket"])) == 1
        assert len(photos(empty, codes["cover gasket"])) == 1
        assert photos(empty, codes["brake shoe"]) == ()


async def test_a_picture_without_a_part_is_refused(
    empty: Book, codes: dict[str, str], folder: Path
) -> None:
    """None of the others is put on either."""
    async with at_the_bench(empty) as driver:
        await open_folder(driver, folder)
        await driver.press("end", "space", "ctrl+o")
        assert "plain.jpg has no part yet" in driver.said
        assert not any(part.photos for part in empty.records.parts.values())


async def test_the_clock_of_the_camera_can_be_set_right(
    empty: Book, codes: dict[str, str], tmp_path: Path
) -> None:
    """A camera on summer time is an hour ahead; the screen says so itself."""
    removed = empty.records.parts[codes["chain"]].removed
    assert removed is not None
    picture(tmp_path / "ahead" / "a.jpg", removed + timedelta(hours=2))
    async with at_the_bench(empty) as driver:
        await open_folder(driver, tmp_path / "ahead")
        assert "with the clock" in driver.shown
        await driver.tab_to("ahead")
        await driver.write("2:00")
        await driver.press("enter")
        await driver.until(lambda: "1 of 1" in driver.said)
        await driver.until(lambda: f"→ chain {codes['chain']}" in driver.shown)


async def test_no_folder_no_pictures_no_span_are_refused(empty: Book, tmp_path: Path) -> None:
    """One sentence each; what was typed stays."""
    async with at_the_bench(empty) as driver:
        await driver.app.go("photos")
        await driver.settle()
        await driver.press("enter")
        assert "Type the folder" in driver.said
        await driver.write(str(tmp_path / "nowhere"))
        await driver.press("enter")
        await driver.until(lambda: "There is no folder" in driver.said)
        await driver.fill(ahead="soon")
        await driver.press("enter")
        assert "is not a length of time" in driver.said
        assert driver.field("ahead") == "soon"


async def test_a_part_has_several_pictures_with_captions(
    empty: Book, codes: dict[str, str], tmp_path: Path
) -> None:
    """Before and after; one is taken off and comes back."""
    shoe = codes["brake shoe"]
    one = picture(tmp_path / "camera" / "one.jpg", NOW)
    async with at_the_bench(empty) as driver:
        await driver.press("f5", "enter", "p")
        driver.at(PhotosScreen)
        assert "No picture yet" in driver.shown
        await driver.press("a", "ctrl+u")
        await driver.write(str(one))
        await driver.press("enter", "enter")
        await driver.write("spring hooks, long leg left")
        await driver.fill(shot="after")
        await driver.press("enter")
        (photo,) = photos(empty, shoe)
        assert (photo.caption, photo.moment) == ("spring hooks, long leg left", "after")
        assert "spring hooks" in driver.shown
        await driver.press("enter")
        await driver.tab_to("shot")
        await driver.press("ctrl+u")
        await driver.write("during")
        await driver.press("enter")
        assert "write before, after, or nothing" in driver.said
        await driver.press("escape", "delete")
        assert photos(empty, shoe) == ()
        await driver.press("ctrl+t", "enter")
        assert len(photos(empty, shoe)) == 1


async def test_a_missing_picture_is_said_and_found_by_the_check(
    empty: Book, codes: dict[str, str], tmp_path: Path
) -> None:
    """The file went away behind the book's back."""
    attach(empty, [(picture(tmp_path / "camera" / "one.jpg", NOW), codes["chain"])])
    (photo,) = photos(empty, codes["chain"])
    (empty.photos / photo.file).unlink()
    async with at_the_bench(empty) as driver:
        await driver.app.push_screen(PhotosScreen(codes["chain"]))
        await driver.until(lambda: f"{photo.file} cannot be" in driver.shown)
    assert any(photo.file in problem for problem in check_book(empty.folder).problems)
