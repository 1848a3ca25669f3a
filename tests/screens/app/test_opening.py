"""Starting: the first screen stands before the book is read; what is typed meanwhile is kept."""

from __future__ import annotations

import os
from pathlib import Path
from threading import Event

import pytest

from tagbench.book import Book
from tagbench.errors import BookDamaged
from tagbench.screens.app.app import TagbenchApp
from tagbench.screens.strip.screen import StripScreen
from tests.screens.app.test_terminal import LEAVES_SCREEN, SHOWS_CURSOR, Terminal
from tests.screens.driver import until


async def test_keys_wait_for_the_book(brake: Book) -> None:
    """F2 pressed while the book is read opens the form when it is here."""
    read = Event()

    def open_slowly() -> Book:
        read.wait(5)
        return brake

    app = TagbenchApp(open_slowly)
    async with app.run_test(size=(80, 24)) as pilot:
        assert not app.book_is_here
        app.simulate_key("f2")
        read.set()
        await until(pilot, lambda: "backing" in app.export_screenshot())
        assert isinstance(app.screen, StripScreen)
        assert "Tarnbrook&#160;Packman" in app.export_screenshot()


async def test_a_book_that_cannot_be_read_ends_with_its_sentence() -> None:
    """The error comes out where the screens were started, to be said in one line."""

    def open_damaged() -> Book:
        raise BookDamaged("The book is damaged; mend it.")

    app = TagbenchApp(open_damaged)
    async with app.run_test(size=(80, 24)) as pilot:
        await until(pilot, lambda: app.failure is not None)
    assert str(app.failure) == "The book is damaged; mend it."


def test_the_screens_raise_what_kept_the_book_from_opening(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """So that the command says it and ends with its exit code."""

    def open_damaged() -> Book:
        raise BookDamaged("The book is damaged; mend it.")

    app = TagbenchApp(open_damaged)
    monkeypatch.setattr(app, "run", lambda: TagbenchApp.run(app, headless=True, size=(80, 24)))
    with pytest.raises(BookDamaged):
        app.run_screens()


def test_an_error_that_nobody_expected_prints_no_traceback(
    brake: Book, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """It comes out where the screens were started; the command logs it and says a sentence."""

    class Faulty(TagbenchApp):
        def on_ready(self) -> None:
            raise ZeroDivisionError("nobody expected this")

    app = Faulty(brake)
    monkeypatch.setattr(app, "run", lambda: TagbenchApp.run(app, headless=True, size=(80, 24)))
    with pytest.raises(ZeroDivisionError):
        app.run_screens()
    printed = capsys.readouterr()
    assert "Traceback" not in printed.out + printed.err
    assert "nobody expected" not in printed.out + printed.err


BROKEN = """
import sys
class Broken:
    def find_spec(self, name, path=None, target=None):
        if name == {module!r}:
            raise ImportError("half of it is missing")
sys.meta_path.insert(0, Broken())
"""


@pytest.mark.sampled(2)
@pytest.mark.parametrize(
    "module",
    [
        "tagbench.screens.find.screen",  # read ahead in a thread
        "tagbench.screens.frame.find_index",  # when the book has come
        "tagbench.book.book",  # to read the book
        "tagbench.screens.bench.screen",  # the first screen
    ],
)
def test_a_start_that_fails_says_so_and_ends(brake: Book, tmp_path: Path, module: str) -> None:
    """In one sentence, with the terminal as it was, whatever was pressed meanwhile."""
    (tmp_path / "sitecustomize.py").write_text(BROKEN.format(module=module))
    path = os.pathsep.join([str(tmp_path), os.environ.get("PYTHONPATH", "")])
    home = {"HOME": str(tmp_path), "XDG_STATE_HOME": str(tmp_path), "PYTHONPATH": path}
    terminal = Terminal(brake.folder, (80, 24), home)
    try:
        terminal.type(b"\x1bOQ\x1bOQ")
        assert terminal.ended() == 1
    finally:
        terminal.close()
    before, _, after = terminal.printed.rpartition(LEAVES_SCREEN)
    assert SHOWS_CURSOR in terminal.printed or b"\x1b[?25l" not in terminal.printed
    said = (after if before else terminal.printed).decode()
    assert "half of it is missing" in said
    assert "Traceback" not in said
