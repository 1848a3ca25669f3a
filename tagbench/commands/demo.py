"""`tagbench demo`, and opening the screens."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import click
import platformdirs

from tagbench.commands.base import Workplace, pass_workplace
from tagbench.commands.progress import long_work
from tagbench.errors import BadInput

if TYPE_CHECKING:
    from tagbench.book import Book


@click.command()
@click.argument("folder", required=False, type=click.Path(path_type=Path, file_okay=False))
@click.option("--text", is_flag=True, help="Walk the main job in text even in a terminal.")
@pass_workplace
def demo(workplace: Workplace, folder: Path | None, text: bool) -> None:
    """Write the demo book (an invented three-wheeler in pieces) and open the screens.

    A demo book that is there already is opened as it was left. Without a terminal the
    command walks the main job in text.
    """
    from demo.walk import walk
    from demo.writer import is_demo, write_demo

    into = folder or (workplace.folder if workplace.chosen else demo_folder())
    if not is_demo(into):
        with long_work("Writing the demo") as told:
            write_demo(into, progress=lambda share: told(round(share * 100), 100)).close()
    click.echo(f"The demo book is in {into}; open it again with: tagbench --book {into}")
    if text or not has_terminal():
        walk(into, click.echo)
    else:
        open_screens(lambda: open_folder(into))


def demo_folder() -> Path:
    """Where the demo goes when no folder is named: beside the book in the user data folder."""
    return platformdirs.user_data_path("tagbench") / "demo"


def has_terminal() -> bool:
    """Whether a person sits before a terminal that the screens can use."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def open_screens(open_book: Callable[[], Book]) -> None:
    """Opens the screens on a book; refuses in one sentence when there is no terminal.

    `open_book` is called once the first screen stands.
    """
    from tagbench.screens.frame.terminal import why_no_screens

    if why_not := why_no_screens():
        raise BadInput(why_not)
    from tagbench.screens.app.app import TagbenchApp

    TagbenchApp(open_book).run_screens()


def open_folder(folder: Path) -> Book:
    """Opens the book in a folder."""
    from tagbench.book import Book

    return Book(folder)
