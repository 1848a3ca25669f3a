"""Takes the pictures for the README: every screen over the demo book, and a sheet of tags.

Run it after a change of the screens: `python -m demo.take_pictures [FOLDER]`.
"""

from __future__ import annotations

import asyncio
import sys
import tempfile
from collections.abc import Iterable
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pypdfium2
from PIL import Image
from textual.pilot import Pilot
from textual.widgets import Input

from demo.writer import write_demo
from tagbench.book import Book
from tagbench.book.operations.printing import print_tags
from tagbench.screens.app.app import TagbenchApp
from tagbench.screens.frame.registry import SCREENS

PICTURES = Path(__file__).parent / "pictures"
SIZE = (104, 30)
PART_SIZE = (120, 36)
NOW = datetime(2026, 3, 14, 19, 30, tzinfo=timezone(timedelta(hours=1)))
"""The clock stands still, so that a picture changes only when its screen does."""

KEYS: dict[str, tuple[str, ...]] = {
    "strip": (
        *"Footboard", "tab", *"4x M8x20 hex; 2 bolts each side M6x25; clips; bent, get new",
    ),
    "find": (*"four bakcing plate screws",),
}  # fmt: skip
"""Screen → what is typed before its picture is taken."""

LIGHT = ("find",)
"""Screens that are shown in the light theme, so that the README shows both."""
SWITCH_LIGHT = "ctrl+l"

PART = "Backing plate screws"
STOCK, PAGE_DOTS_PER_MM, ROWS = "a4-3x8-70x37", 5, 4


def main(folder: Path = PICTURES) -> None:
    """Takes all pictures into `folder`; those of screens as SVG, of the sheet as PNG."""
    folder.mkdir(parents=True, exist_ok=True)
    with (
        tempfile.TemporaryDirectory(prefix="tagbench-") as scratch,
        write_demo(Path(scratch) / "packman", now=lambda: NOW) as book,
    ):
        asyncio.run(_take_screens(book, folder))
        asyncio.run(_take_part(book, folder))
        _take_sheet(book, Path(scratch) / "tags.pdf", folder / "sheet.png")


async def _take_screens(book: Book, folder: Path) -> None:
    app = TagbenchApp(book)
    async with app.run_test(size=SIZE) as pilot:
        for name in (place.name for place in SCREENS if place.by_name):
            switch = (SWITCH_LIGHT,) if name in LIGHT else ()
            await app.go(name)
            await pilot.pause()
            await pilot.press(*switch, *KEYS.get(name, ()))
            await _save(app, pilot, folder / f"{name}.svg")
            await pilot.press(*switch)


async def _take_part(book: Book, folder: Path) -> None:
    app = TagbenchApp(book)
    code = next(part.code for part in book.records.parts.values() if part.name == PART)
    async with app.run_test(size=PART_SIZE) as pilot:
        await app.open_code(code)
        await _save(app, pilot, folder / "part.svg")


async def _save(app: TagbenchApp, pilot: Pilot[None], path: Path) -> None:
    """Waits until nothing moves any more, stops the cursor, and takes the picture."""
    await app.workers.wait_for_complete()
    for field in app.screen.query(Input):
        field.cursor_blink = False
    await pilot.wait_for_scheduled_animations()
    await pilot.pause(0.3)
    app.save_screenshot(str(path))


def _take_sheet(book: Book, sheet: Path, picture: Path) -> None:
    """The top rows of a sheet with the tags of the front wheel and some bins."""
    parts = book.records.parts_of("TP")
    codes = [part.code for part in parts if part.assembly.startswith("Front wheel")][:9]
    print_tags(book, [*codes, *list(book.records.bins)[13:16]], STOCK, target=sheet, first=1)
    with pypdfium2.PdfDocument(sheet) as document:
        page = document[0].render(scale=PAGE_DOTS_PER_MM * 25.4 / 72, grayscale=True).to_pil()
    _rows(page).save(picture, optimize=True)


def _rows(page: Image.Image) -> Image.Image:
    """The rows that are printed on, in sixteen greys."""
    top = page.crop((0, 0, page.width, round(page.height * ROWS / 8)))
    return top.quantize(16)


def _folder(arguments: Iterable[str]) -> Path:
    return next((Path(argument) for argument in arguments), PICTURES)


if __name__ == "__main__":
    main(_folder(sys.argv[1:]))
