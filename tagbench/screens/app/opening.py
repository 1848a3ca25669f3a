"""What the app opens: the record behind a tag, and the cards that work on every screen."""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from tagbench.errors import TagbenchError
from tagbench.screens.frame.theme import THEMES
from tagbench.screens.shared.base import AtTheBench

if TYPE_CHECKING:
    from tagbench.records import Change
    from tagbench.rules.scan import Opened
    from tagbench.screens.app.app import TagbenchApp

LEAVING = (
    "Everything you saved is in the book. "
    "What stands in a form and was not saved with Enter is not."
)


def look_up(app: TagbenchApp, code: str) -> Opened:
    """The record with that code; raises NotFound."""
    from tagbench.rules import scan

    return scan.look_up(app.book.records, code)


async def open_scan(app: TagbenchApp, text: str) -> None:
    """Opens what a tag names, unless the open screen or card does something else with it.

    Raises CodeError (labels) or NotFound.
    """
    from tagbench.rules.scan import open_tag

    opened = open_tag(app.book.records, text)
    if not (isinstance(app.screen, AtTheBench) and app.screen.takes_scan(opened)):
        await open_record(app, opened)


async def open_record(app: TagbenchApp, opened: Opened) -> None:
    """Brings up the record behind a tag; a spare tag brings up the strip form for it."""
    if opened.kind == "part":
        await open_part(app, opened.code)
    elif opened.kind == "bin":
        await open_bin(app, opened.code)
    else:
        await open_spare(app, opened.code)


async def open_part(app: TagbenchApp, code: str) -> None:
    """Shows a part, on the part screen that is open already where there is one."""
    from tagbench.screens.part.screen import PartScreen

    if isinstance(app.screen, PartScreen):
        app.screen.turn_to(code)
    else:
        await app.push_screen(PartScreen(code))


async def open_bin(app: TagbenchApp, code: str) -> None:
    """Shows what lies in a bin."""
    from tagbench.screens.find.bin import BinScreen

    if isinstance(app.screen, BinScreen):
        app.screen.turn_to(code)
    else:
        await app.push_screen(BinScreen(code))


async def open_spare(app: TagbenchApp, code: str) -> None:
    """Brings up the strip form for a tag that was printed ahead."""
    from tagbench.screens.strip.screen import StripScreen

    if await app.go("strip") and isinstance(app.screen, StripScreen):
        app.screen.take_tag(code)


async def open_find(app: TagbenchApp, words: str) -> None:
    """Goes to Find and looks for some words."""
    from tagbench.screens.find.screen import FindScreen

    if await app.go("find") and isinstance(app.screen, FindScreen):
        app.screen.look_for(words)


def open_help(app: TagbenchApp) -> None:
    """Lists every key."""
    from tagbench.screens.app.help import HelpDialog

    app.push_screen(HelpDialog())


def open_places(app: TagbenchApp) -> None:
    """Lists the screens and goes to the one that is chosen."""
    from tagbench.screens.app.screen_list import GoDialog

    async def go(name: str | None) -> None:
        if name is not None:
            await app.go(name)

    app.push_screen(GoDialog(), go)


def open_history(app: TagbenchApp) -> None:
    """Shows what was done; tells what was taken back."""
    from tagbench.screens.app.history import HistoryDialog

    def told(change: Change | None) -> None:
        if change is not None:
            app.book_changed()
            app.tell(f"Took back: {change.words}.")

    app.push_screen(HistoryDialog(), told)


def open_leave(app: TagbenchApp) -> None:
    """Asks before tagbench is closed."""
    from tagbench.screens.shared.confirm import ConfirmDialog

    def leave(sure: bool | None) -> None:
        if sure:
            app.exit()

    app.push_screen(ConfirmDialog("Leave tagbench?", LEAVING, yes="Leave"), leave)


def change_light(app: TagbenchApp) -> None:
    """Changes between light and dark; a book that cannot be written does not stand in the way."""
    from tagbench.book.operations.desk import choose_theme

    name: Literal["dark", "light"] = "light" if app.theme == THEMES["dark"].name else "dark"
    app.theme = THEMES[name].name
    try:
        choose_theme(app.book, name)
    except TagbenchError as error:
        app.refuse(str(error))
