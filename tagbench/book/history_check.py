"""The whole history, read from its first line to its last: what is there and what is not."""

from __future__ import annotations

import zlib
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from tagbench.book.history import History, first_seal, line_of, seal_of
from tagbench.book.layout import Header
from tagbench.book.typed import BadRecordError, decoded_record, rows_of
from tagbench.records import Change, Tables

BOM = b"\xef\xbb\xbf"
"""What some editors put before a text."""

PlainRecord = dict[str, Any] | None


@dataclass(frozen=True)
class Annals:
    """Every line of history.jsonl."""

    changes: dict[int, Change] = field(default_factory=dict)
    """The changes that can be read, by number."""
    seals: dict[int, str] = field(default_factory=dict)
    """The seal of the line of each change; empty in the oldest format."""
    lines: dict[int, int] = field(default_factory=dict)
    """Number of the line in which a change stands, from 1."""
    bad_lines: tuple[int, ...] = ()
    """Numbers of the lines that cannot be read, from 1; a torn last line is not among them."""
    torn: int = 0
    """Bytes of a last line that was broken off while it was written."""
    size: int = 0
    """Length of the file with plain ends of lines, bytes."""
    checksum: int = 0
    """CRC-32 of the file without a torn last line."""
    plain: bytes = b""
    """The file with plain ends of lines, where an editor changed them; else empty."""

    @property
    def sealed(self) -> bool:
        """Whether its lines have seals; those of the oldest format have none."""
        return all(self.seals.values())

    @property
    def last(self) -> int:
        """Number of the last change that can be read; 0 when there is none."""
        return max(self.changes, default=0)

    def covers(self, first: int, last: int) -> bool:
        """Whether the file holds exactly the changes `first` to `last` in order."""
        return not self.bad_lines and list(self.changes) == list(range(first, last + 1))


def annals(history: History) -> Annals:
    """Reads the whole history; what altered lines can still be told apart from whole ones is."""
    if not history.path.exists():
        return Annals()
    data = history.path.read_bytes()
    changes: dict[int, Change] = {}
    seals: dict[int, str] = {}
    lines: dict[int, int] = {}
    bad: list[int] = []
    plain: list[bytes] = []
    place = torn = 0
    before: set[str] = set()
    for number, ended in enumerate(data.splitlines(keepends=True), start=1):
        place += len(ended)
        text = ended.rstrip(b"\r\n").removeprefix(BOM)
        plain.append(text + b"\n" if ended[-1:] in b"\r\n" else text)
        line = line_of(text)
        change = line.change if ended.endswith((b"\n", b"\r")) else None
        if number == 1 and change is not None:
            before = {first_seal(change.number)}
        # Where a line is missing, nothing is left to prove the next one by.
        gap = change is not None and bool(changes) and change.number > max(changes) + 1 + len(bad)
        proven = not line.seal or gap or any(line.follows(seal) for seal in before)
        if change is not None and proven and change.number not in changes:
            changes[change.number] = change
            seals[change.number] = line.seal
            lines[change.number] = number
        elif place == len(data) and not ended.endswith(b"\n") and not _is_whole(text, before):
            torn = len(ended)
        else:
            bad.append(number)
        # Behind a damaged line the next one is proven by its seal or by what that should be.
        before = {line.seal} | {seal_of(seal, line.body) for seal in before}
    normal = b"".join(plain)
    checksum = zlib.crc32(normal[: len(normal) - torn])
    return Annals(
        changes,
        seals,
        lines,
        tuple(bad),
        torn,
        len(normal),
        checksum,
        normal if normal != data else b"",
    )


def _is_whole(text: bytes, before: set[str]) -> bool:
    """Whether a last line lacks nothing but its end-of-line, or has another sign in its place."""
    lines = (line_of(text), line_of(text[:-1]))
    return any(line.seal and line.follows(seal) for line in lines for seal in before)


def history_faults(known: Annals, header: Header, tables: Tables) -> Iterator[str]:
    """What is wrong with the history of a book with this header and these records."""
    if header.fault:
        yield f"{header.fault[:1].upper()}{header.fault[1:]}."
    for number in known.bad_lines:
        yield f"Line {number} of history.jsonl cannot be read."
    if known.plain:
        yield "The ends of lines in history.jsonl were changed, as some editors do."
    if known.torn:
        yield "The last line of history.jsonl was broken off; the change in it was never confirmed."
    missing = [n for n in range(header.first, header.revision + 1) if n not in known.changes]
    if missing:
        yield f"{changes_words(missing)} cannot be taken back: history.jsonl does not hold them."
    if not missing and not known.bad_lines:
        yield from _chain_faults(known, tables)


def changes_words(numbers: list[int]) -> str:
    """`Changes 3 to 5, 9`."""
    spans: list[list[int]] = []
    for number in numbers:
        if spans and spans[-1][1] == number - 1:
            spans[-1][1] = number
        else:
            spans.append([number, number])
    words = ", ".join(f"{a} to {b}" if a != b else str(a) for a, b in spans)
    return f"Change{'s' if len(numbers) > 1 else ''} {words}"


def _chain_faults(known: Annals, tables: Tables) -> Iterator[str]:
    """Each change must begin where the one before it ended, and the last one at the book."""
    latest: dict[tuple[str, str], PlainRecord] = {}
    for change in known.changes.values():
        for edit in change.edits:
            place = edit.table, edit.key
            if place in latest and not _same(edit.table, latest[place], edit.before):
                yield f"Change {change.number} does not begin where {edit.key} was left before it."
            latest[place] = edit.after
    rows = rows_of(tables)
    for (table, key), plain in latest.items():
        record = rows[table].get(key)
        if _record(table, plain) != record:
            yield f"The record {key} in {table} is not what the history says it was last."


def _same(table: str, one: PlainRecord, other: PlainRecord) -> bool:
    return one == other or _record(table, one) == _record(table, other)


def _record(table: str, plain: PlainRecord) -> object:
    """The record, or what cannot be one just as it stands, so that it equals none."""
    try:
        return None if plain is None else decoded_record(table, plain)
    except (BadRecordError, KeyError):
        return plain
