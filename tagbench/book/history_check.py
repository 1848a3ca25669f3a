"""The whole history, read from its first line to its last: what is there and what is not."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from tagbench.book.history import History, decoded
from tagbench.book.layout import Header
from tagbench.book.typed import rows_of
from tagbench.errors import BadInput
from tagbench.records import TABLES, Change, Tables, from_plain

Plain = dict[str, Any] | None


@dataclass(frozen=True)
class Annals:
    """Every line of history.jsonl."""

    changes: dict[int, Change] = field(default_factory=dict)
    """The changes that can be read, by number."""
    ends: dict[int, int] = field(default_factory=dict)
    """Where the line of a change ends, bytes."""
    bad_lines: tuple[int, ...] = ()
    """Numbers of the lines that cannot be read, from 1; a torn last line is not among them."""
    torn: int = 0
    """Bytes of a last line that was broken off while it was written."""
    size: int = 0
    """Length of the file, bytes."""

    @property
    def last(self) -> int:
        """Number of the last change that can be read; 0 when there is none."""
        return max(self.changes, default=0)

    def covers(self, first: int, last: int) -> bool:
        """Whether the file holds exactly the changes `first` to `last` in order."""
        return not self.bad_lines and list(self.changes) == list(range(first, last + 1))


def annals(history: History) -> Annals:
    """Reads the whole history."""
    if not history.path.exists():
        return Annals()
    data = history.path.read_bytes()
    changes: dict[int, Change] = {}
    ends: dict[int, int] = {}
    bad: list[int] = []
    place = torn = 0
    for number, line in enumerate(data.splitlines(keepends=True), start=1):
        place += len(line)
        change = decoded(line) if line.endswith(b"\n") else None
        if change is not None and change.number not in changes:
            changes[change.number] = change
            ends[change.number] = place
        elif place == len(data) and not line.endswith(b"\n"):
            torn = len(line)
        else:
            bad.append(number)
    return Annals(changes, ends, tuple(bad), torn, len(data))


def history_faults(known: Annals, header: Header, tables: Tables) -> Iterator[str]:
    """What is wrong with the history of a book with this header and these records."""
    for number in known.bad_lines:
        yield f"Line {number} of history.jsonl cannot be read."
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
    latest: dict[tuple[str, str], Plain] = {}
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


def _same(table: str, one: Plain, other: Plain) -> bool:
    return one == other or _record(table, one) == _record(table, other)


def _record(table: str, plain: Plain) -> object:
    """The record, or what cannot be one just as it stands, so that it equals none."""
    try:
        return None if plain is None else from_plain(plain, TABLES[table])
    except (BadInput, KeyError):
        return plain
