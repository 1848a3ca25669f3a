"""The history: one change a line, only ever added to; a line flushed to the disk is a change saved.

Each line ends with a seal over its own text and the seal of the line before it, so that a line
that was altered, cut out or brought in from another copy is recognised:

    {"number":12,"at":"…","words":"…","edits":[…],"seal":"0123456789abcdef"}
"""

from __future__ import annotations

import os
import zlib
from collections.abc import Iterator
from datetime import datetime
from functools import cache
from pathlib import Path

import msgspec

try:  # as `hashlib` gives it, without reading OpenSSL for it
    from _blake2 import blake2b
except ImportError:
    from hashlib import blake2b

from tagbench.book.durable import append, sync_folder, truncate, write_new
from tagbench.book.typed import NO_JSON
from tagbench.records import TABLES, Change, Edit

HISTORY_FILE = "history.jsonl"

UNREADABLE = -1
"""What a change that cannot be read has in `takes_back`."""

_BLOCK = 64 * 1024
_SEAL_BYTES = 8
_SEAL_START = b',"seal":"'
_SEAL_END = b'"}'
_SEAL_LENGTH = len(_SEAL_START) + 2 * _SEAL_BYTES + len(_SEAL_END)


class HistoryLine(msgspec.Struct, frozen=True):
    """A line of the history taken apart."""

    body: bytes
    """The change alone, as it was written before it was sealed."""
    seal: str
    """The seal behind it; empty for a line of the oldest format."""

    def follows(self, before: str) -> bool:
        """Whether the seal is that of this body behind a line with the seal `before`."""
        return self.seal == seal_of(before, self.body)

    @property
    def change(self) -> Change | None:
        """The change; None when it is none, or names what this program does not know."""
        try:
            change = _change_decoder().decode(self.body)
        except NO_JSON:
            return None
        return change if all(edit.table in TABLES for edit in change.edits) else None

    def change_of(self, key: str) -> Change | None:
        """The change with only those of its edits that mention a key; None as for `change`.

        A list that was taken in is one change of many thousand records, and most are not asked for.
        """
        named = key.encode()
        try:
            skimmed = _skim_decoder().decode(self.body)
            mentioned = [raw for raw in skimmed.edits if named in bytes(raw)]
            edits = tuple(_edit_decoder().decode(raw) for raw in mentioned)
        except NO_JSON:
            return None
        if not all(edit.table in TABLES for edit in edits):
            return None
        return Change(
            number=skimmed.number,
            at=skimmed.at,
            words=skimmed.words,
            edits=edits,
            takes_back=skimmed.takes_back,
            puts_back=skimmed.puts_back,
        )


class _Skimmed(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A change whose edits are not read yet; the fields are those of `Change`."""

    number: int
    at: datetime
    words: str
    edits: list[msgspec.Raw] = []
    takes_back: int = 0
    puts_back: int = 0


class Tail(msgspec.Struct, frozen=True):
    """What stands in the history behind a given place."""

    changes: list[Change] = []
    """Whole changes, numbered on without a gap."""
    end: int = 0
    """Where the last whole change ends, bytes from the beginning."""
    seal: str = ""
    """The seal of the last whole change."""
    checksum: int = 0
    """CRC-32 of the file up to `end`, when the one of its beginning was right."""
    torn: int = 0
    """Bytes after that which are no whole line: a write that was broken off."""
    fault: str = ""
    """What is wrong with a whole line behind `end`; half a sentence, empty when there is none."""


@cache
def _change_decoder() -> msgspec.json.Decoder[Change]:
    return msgspec.json.Decoder(Change)


@cache
def _skim_decoder() -> msgspec.json.Decoder[_Skimmed]:
    return msgspec.json.Decoder(_Skimmed)


@cache
def _edit_decoder() -> msgspec.json.Decoder[Edit]:
    return msgspec.json.Decoder(Edit)


def seal_of(before: str, body: bytes) -> str:
    """The seal of a change behind a line with the seal `before`."""
    return blake2b(before.encode() + body, digest_size=_SEAL_BYTES).hexdigest()


def first_seal(number: int) -> str:
    """What stands for the line before the first one of a history that begins with `number`."""
    return f"from {number}"


def encoded(change: Change, before: str) -> tuple[bytes, str]:
    """A change as its line behind a line with the seal `before`, and the seal of the line."""
    body = msgspec.json.encode(change)
    seal = seal_of(before, body)
    return b"%b%b%b%b\n" % (body[:-1], _SEAL_START, seal.encode(), _SEAL_END), seal


def line_of(text: bytes) -> HistoryLine:
    """Takes a line apart, its end-of-line left out."""
    end = text[-_SEAL_LENGTH:]
    if end.startswith(_SEAL_START) and end.endswith(_SEAL_END):
        seal = end[len(_SEAL_START) : -len(_SEAL_END)]
        return HistoryLine(text[:-_SEAL_LENGTH] + b"}", seal.decode("ascii", "replace"))
    return HistoryLine(text, "")


def change_of_line(text: bytes, key: str = "") -> Change | None:
    """The change of a line; None when the line is torn or damaged.

    With a key, only with those of its edits that mention it.
    """
    line = line_of(text)
    return line.change_of(key) if key else line.change


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

    def checksum(self, length: int) -> int:
        """CRC-32 over the first `length` bytes."""
        value = 0
        if length:
            with self.path.open("rb") as file:
                while length and (block := file.read(min(length, 1 << 20))):
                    value = zlib.crc32(block, value)
                    length -= len(block)
        return value

    def after(self, place: int, number: int, before: str, checksum: int) -> Tail:
        """The changes behind byte `place`, the first of which must be `number`.

        `before` is the seal of the line that ends there, `checksum` that of the bytes before it.
        """
        if self.size() <= place:
            return Tail(end=place, seal=before, checksum=checksum)
        with self.path.open("rb") as file:
            file.seek(place)
            data = file.read()
        changes: list[Change] = []
        end, fault = 0, ""
        for text in data.split(b"\n"):
            line = line_of(text)
            ended = end + len(text) < len(data)
            change = line.change if line.follows(before) else None
            if change is None or change.number != number + len(changes) or not ended:
                if text and (ended or change is not None or line_of(text[:-1]).follows(before)):
                    fault = f"change {number + len(changes)} in it is damaged or of another copy"
                break
            changes.append(change)
            checksum = zlib.crc32(data[end : end + len(text) + 1], checksum)
            end += len(text) + 1
            before = line.seal
        torn = 0 if fault else len(data) - end
        return Tail(changes, place + end, before, checksum, torn, fault)

    def texts(self) -> Iterator[bytes]:
        """All lines from the first, each without its end-of-line."""
        if self.path.exists():
            with self.path.open("rb") as file:
                for text in file:
                    yield text.removesuffix(b"\n")

    def add(self, line: bytes) -> None:
        """Adds a line and flushes it to the disk; on failure the file is as before."""
        is_new = not self.path.exists()
        append(self.path, line)
        if is_new:
            sync_folder(self.path.parent)

    def set_aside(self, start: int, target: Path) -> None:
        """Moves what stands behind byte `start`, if anything, into a file of its own."""
        if self.size() <= start:
            return
        with self.path.open("rb") as file:
            file.seek(start)
            rest = file.read()
        target.parent.mkdir(exist_ok=True)
        write_new(target, [rest])
        truncate(self.path, start)

    def backwards(self) -> Iterator[tuple[int, bytes]]:
        """Where each line starts and the line without its end, last one first."""
        if not self.path.exists():
            return
        with self.path.open("rb") as file:
            place = file.seek(0, os.SEEK_END)
            pieces: list[bytes] = []  # of a line that is longer than a block, its end first
            while place:
                step = min(_BLOCK, place)
                place = file.seek(place - step)
                pieces.append(file.read(step))
                if b"\n" not in pieces[-1]:
                    continue
                block = b"".join(reversed(pieces))
                head, *lines = block.split(b"\n")
                start = place + len(block)
                for line in reversed(lines):
                    start -= len(line)
                    if line:
                        yield start, line
                    start -= 1
                pieces = [head]
            if first := b"".join(reversed(pieces)):
                yield 0, first
