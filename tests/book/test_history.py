"""The history tells what was done, newest first, and is only ever added to."""

from __future__ import annotations

from pathlib import Path

import pytest

from tagbench.book import Book, disk, history
from tagbench.records import Change, replace
from tests.book.conftest import Clock, strip, strip_slowly


def test_history_is_newest_first_and_limited(book: Book) -> None:
    """Numbers run without a gap."""
    for number in range(1, 8):
        strip(book, f"part {number}")
    changes = book.history(limit=3)
    assert [change.number for change in changes] == [7, 6, 5]
    assert changes[0].words == "took off part 7"
    assert len(book.history()) == 7


def test_no_change_before_those_asked_for_is_read(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The one before may be a list of thousands, and each save asks for the last one."""
    for number in range(1, 4):
        strip(book, f"part {number}")
    read: list[bytes] = []

    def decoded(text: bytes, key: str = "") -> Change | None:
        read.append(text)
        return history.change_of_line(text, key)

    monkeypatch.setattr(disk, "change_of_line", decoded)
    assert [change.number for change in book.history(limit=2)] == [3, 2]
    assert len(read) == 2
    assert book.history(limit=0) == []


def test_a_line_longer_than_many_blocks_is_read_whole_from_behind(folder: Path) -> None:
    """As a list of thousands is; what stands before and behind it too."""
    lines = [b"first", b"x" * 300_000, b"", b"y" * 70_000, b"last"]
    folder.mkdir()
    path = folder / "history.jsonl"
    path.write_bytes(b"\n".join(lines))
    found = list(history.History(folder).backwards())
    assert [text for _, text in found] == [line for line in reversed(lines) if line]
    data = path.read_bytes()
    assert all(data[start:].startswith(text) for start, text in found)


def test_history_of_one_record(book: Book, clock: Clock) -> None:
    """Only the changes that touched it, with what it was before and after."""
    hub = strip(book, "hub")
    strip(book, "nut")
    clock.on(days=3)
    with book.change("note") as transaction:
        transaction.put(replace(hub, note="cracked"))
    changes = book.history(hub.code)
    assert [change.words for change in changes] == ["note", "took off hub"]
    assert changes[0].at == clock.time
    edit = changes[0].edits[0]
    assert edit.before is not None
    assert edit.after == {**edit.before, "note": "cracked"}


def test_history_only_grows(book: Book, folder: Path) -> None:
    """What is in it stays, byte for byte, undo included."""
    path = folder / "history.jsonl"
    before = b""
    for number in range(5):
        strip(book, f"part {number}")
        if number % 2:
            book.undo()
        now = path.read_bytes()
        assert now.startswith(before)
        assert len(now) > len(before)
        before = now


def test_a_long_history_is_read_from_its_end(book: Book, folder: Path) -> None:
    """Lines longer and shorter than the blocks it is read in come back whole."""
    hub = strip(book, "hub")
    for number in range(6):
        with book.change(f"note {number}") as transaction:
            transaction.put(
                replace(transaction.records.parts[hub.code], note="ü" * (number * 20_000))
            )
    changes = book.history(hub.code)
    assert [change.words for change in changes[:-1]] == [f"note {n}" for n in range(5, -1, -1)][
        : len(changes) - 1
    ]
    assert len(changes) == 6  # note 0 put an empty note where an empty note was


def test_a_damaged_line_ends_the_history_with_a_word(book: Book, folder: Path) -> None:
    """The newer changes are shown; then it says that what came before cannot be read."""
    for number in range(4):
        strip_slowly(book, f"part {number}")
    path = folder / "history.jsonl"
    lines = path.read_bytes().split(b"\n")
    lines[1] = b"#" * len(lines[1])
    path.write_bytes(b"\n".join(lines))
    with Book(folder) as again:
        words = [change.words for change in again.history()]
    assert words[:2] == ["took off part 3", "took off part 2"]
    assert "damaged" in words[2]
    assert len(words) == 3
