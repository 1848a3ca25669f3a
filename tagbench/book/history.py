"""The history: one change a line, only ever added to, flushed before the book is replaced."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

import msgspec

from tagbench.book.durable import append, cut, sync_folder, write_aside
from tagbench.book.typed import NO_JSON
from tagbench.records import Change

HISTORY_FILE = "history.jsonl"

UNREADABLE = -1
"""What a change that cannot be read has in `takes_back`."""

_CHANGE = msgspec.json.Decoder(Change)
_BLOCK = 64 * 1024


@dataclass(frozen=True)
class Tail:
    """What stands in the history behind a given place."""

    changes: list[Change] = field(default_factory=list)
    """Whole changes, numbered on without a gap."""
    end: int = 0
    """Where the last whole change ends, bytes from the beginning."""
    torn: int = 0
    """Bytes after that which are no whole change; a write that was broken off."""


def encoded(change: Change) -> bytes:
    """A change as its line in the history."""
    return msgspec.json.encode(change) + b"\n"


def decoded(line: bytes) -> Change | None:
    """The change of a line; None when the line is torn or damaged."""
    try:
        return _CHANGE.decode(line)
    except NO_JSON:
        return None


def looks_whole(line: bytes) -> bool:
    """Whether a line begins and ends like a change; quicker than reading it."""
    return line.startswith(b'{"number":') and line.endswith(b"}")


def unreadable(number: int) -> Change:
    """Stands for everything before a damaged line."""
    return Change(
        number=number,
        at=datetime.fromtimestamp(0).astimezone(),
        words="the history before this is damaged; the command check says where",
        takes_back=UNREADABLE,
    )


class History:
    """The file `history.jsonl` of a book."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / HISTORY_FILE

    def size(self) -> int:
        """Length in bytes; 0 when there is none yet."""
        try:
            return self.path.stat().st_size
        except FileNotFoundError:
            return 0

    def after(self, place: int, number: int) -> Tail:
        """The changes behind byte `place`, the first of which must be `number`."""
        if self.size() <= place:
            return Tail(end=place)
        with self.path.open("rb") as file:
            file.seek(place)
            data = file.read()
        changes: list[Change] = []
        end = 0
        for line in data.splitlines(keepends=True):
            change = decoded(line) if line.endswith(b"\n") else None
            if change is None or change.number != number + len(changes):
                break
            changes.append(change)
            end += len(line)
        return Tail(changes, place + end, len(data) - end)

    def add(self, line: bytes) -> None:
        """Adds a line and flushes it to the disk; on failure the file is as before."""
        is_new = not self.path.exists()
        append(self.path, line)
        if is_new:
            sync_folder(self.path.parent)

    def take_off(self, length: int) -> None:
        """Cuts the file back to `length` bytes."""
        cut(self.path, length)

    def set_aside(self, start: int, target: Path) -> None:
        """Moves what stands behind byte `start`, if anything, into a file of its own."""
        if self.size() <= start:
            return
        with self.path.open("rb") as file:
            file.seek(start)
            rest = file.read()
        target.parent.mkdir(exist_ok=True)
        write_aside(target, [rest])
        cut(self.path, start)

    def backwards(self) -> Iterator[tuple[int, bytes]]:
        """Where each line starts and the line without its end, last one first."""
        if not self.path.exists():
            return
        with self.path.open("rb") as file:
            place = file.seek(0, os.SEEK_END)
            rest = b""
            while place:
                step = min(_BLOCK, place)
                place = file.seek(place - step)
                block = file.read(step) + rest
                head, *lines = block.split(b"\n")
                start = place + len(block)
                for line in reversed(lines):
                    start -= len(line)
                    if line:
                        yield start, line
                    start -= 1
                rest = head
            if rest:
                yield 0, rest
