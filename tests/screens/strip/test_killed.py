"""A form that was half typed outlasts its process: tagbench is killed in a real terminal."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.book.autosave import Autosave
from tests.screens.app.test_terminal import Terminal, text

F2 = b"\x1bOQ"
DOWN = b"\x1b[B"
WRITTEN_WITHIN_S = 1.0
"""So long after the last key a form may wait to be written aside."""
LONGEST_S = 60.0


@pytest.fixture
def start(brake: Book) -> Iterator[Callable[[], Terminal]]:
    """Starts tagbench over the book in a terminal; each one is closed in the end."""
    made: list[Terminal] = []

    def begin() -> Terminal:
        made.append(Terminal(brake.folder, (100, 30), {}))
        made[-1].read(b"BENCH")
        return made[-1]

    yield begin
    for one in made:
        one.close()


def written_aside(folder: Path, begins: str) -> float:
    """Waits until the form with that name in it is on the disk; gives the seconds it took."""
    began = time.monotonic()
    while time.monotonic() < began + LONGEST_S:
        unsaved = Autosave(folder).load("strip")
        if unsaved is not None and unsaved.fields.get("name", "").startswith(begins):
            return time.monotonic() - began
        time.sleep(0.01)
    raise AssertionError("it was never written aside")


def kill(terminal: Terminal) -> None:
    """As the power goes: nothing of it runs any more."""
    os.kill(terminal.pid, signal.SIGKILL)
    assert terminal.ended() == -signal.SIGKILL


def test_a_form_that_was_half_typed_comes_back_after_kill_9(
    brake: Book, start: Callable[[], Terminal]
) -> None:
    """What, fasteners and all; Enter saves it as if nothing had happened."""
    terminal = start()
    terminal.type(F2)
    terminal.read(b"STRIP")
    terminal.type(b"speedometer drive")
    terminal.read(b"drive")
    terminal.type(DOWN)
    terminal.type(b"2x M5x12 pan")
    written_aside(brake.folder, "speedometer drive")
    deadline = time.monotonic() + LONGEST_S
    while "12 pan" not in _aside(brake.folder) and time.monotonic() < deadline:
        time.sleep(0.02)
    kill(terminal)

    again = start()
    again.type(F2)
    again.read(b"Bring it back")
    assert "speedometer drive" in text(again.printed)
    again.type(b"\r")
    again.read(b"2x M5x12 pan")
    again.printed = b""
    again.type(b"\r")
    again.read(b"Saved.")
    os.kill(again.pid, signal.SIGTERM)
    again.ended()
    brake.refresh()
    saved = max(brake.records.parts.values(), key=lambda part: part.order)
    assert saved.name == "speedometer drive"
    assert [(one.quantity, one.thread) for one in saved.fasteners] == [(2, "M5x0.8")]
    assert Autosave(brake.folder).load("strip") is None


def _aside(folder: Path) -> str:
    unsaved = Autosave(folder).load("strip")
    return unsaved.fields.get("fasteners", "") if unsaved is not None else ""


@pytest.mark.bench
def test_what_was_typed_is_on_the_disk_within_a_second(
    brake: Book, start: Callable[[], Terminal]
) -> None:
    """Of the last key; the best of three, since another process may hold up one of them."""
    terminal = start()
    terminal.type(F2)
    terminal.read(b"STRIP")
    took = []
    for typed in (b"hub", b" nut", b" left"):
        terminal.type(typed)
        before = (Autosave(brake.folder).load("strip") or _NOTHING).fields.get("name", "")
        took.append(written_aside(brake.folder, before + typed.decode()))
    assert min(took) <= WRITTEN_WITHIN_S


class _Nothing:
    fields: dict[str, str] = {}


_NOTHING = _Nothing()
