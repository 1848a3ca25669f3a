"""What a process holds of a book: the file's records, typed, and TinyDB over the same lines."""

from __future__ import annotations

import gc
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import msgspec

from tagbench.book.layout import Header, Raws, taken_apart
from tagbench.book.storage import BookDB, BookStorage
from tagbench.book.typed import BadRecordError, Rows, decode, snapshot
from tagbench.errors import BookDamaged
from tagbench.records import TABLES, Edit, Record, Tables, from_plain, key_in

Numbers = dict[str, dict[str, str]]
"""Table → key → TinyDB's document number, which is no identity and only finds the line."""


class Shelf:
    """The records of one book file, as they were when it was read or saved last."""

    def __init__(self) -> None:
        self.header = Header()
        self.tables = Tables()
        self._rows: Rows = {table: {} for table in TABLES}
        self._numbers: Numbers = {table: {} for table in TABLES}
        self._raws: Raws = {}
        self._db: BookDB | None = None
        self._last: dict[str, int] = {}

    def load(self, data: bytes) -> None:
        """Takes a whole book file in; on damage everything stays as it was."""
        header, raws = taken_apart(data)
        with _no_garbage_collection():
            rows, numbers = self._decoded(raws)
        self.header, self._raws, self._rows, self._numbers = header, raws, rows, numbers
        self._db = None
        self._last = {}
        self.tables = snapshot(rows)

    def _decoded(self, raws: Raws) -> tuple[Rows, Numbers]:
        rows: Rows = {}
        numbers: Numbers = {}
        known = self._known()
        for table in TABLES:
            rows[table], numbers[table] = {}, {}
            old = known.get(table, {})
            for number, raw in raws.get(table, {}).items():
                record = old.get((number, bytes(raw))) or _decode(table, raw)
                key = key_in(table, record)
                if key in rows[table]:
                    raise BookDamaged(f"{table} {key} is there twice")
                rows[table][key] = record
                numbers[table][key] = number
        return rows, numbers

    def _known(self) -> dict[str, dict[tuple[str, bytes], Record]]:
        """What was decoded before; another program's save leaves most of it as it is."""
        if not self._raws and self._db is None:
            return {}
        raws: Mapping[str, Mapping[str, bytes | msgspec.Raw]]
        raws = self._raws if self._db is None else self.storage.raws()
        return {
            table: {
                (number, bytes(raws[table][number])): self._rows[table][key]
                for key, number in numbers.items()
            }
            for table, numbers in self._numbers.items()
        }

    def apply(self, edits: Iterable[Edit]) -> None:
        """Makes the edits of a change in memory: typed records and TinyDB's tables."""
        changed: dict[str, dict[str, Edit]] = {}
        for edit in edits:
            changed.setdefault(edit.table, {})[edit.key] = edit
        for table, of_table in changed.items():
            self._apply(table, of_table)
        self.tables = snapshot(self._rows)

    def _apply(self, table: str, edits: dict[str, Edit]) -> None:
        rows, numbers = dict(self._rows[table]), dict(self._numbers[table])
        gone: list[str] = []
        put: dict[str, dict[str, Any]] = {}
        for key, edit in edits.items():
            if edit.after is None:
                rows.pop(key, None)
                gone += [numbers.pop(key)] if key in numbers else []
                continue
            if key not in numbers:
                numbers[key] = self._next_number(table)
            rows[key] = from_plain(edit.after, TABLES[table])
            put[numbers[key]] = edit.after
        self._store(table, gone, put)
        self._rows = {**self._rows, table: rows}
        self._numbers = {**self._numbers, table: numbers}

    def _store(self, table: str, gone: list[str], put: dict[str, dict[str, Any]]) -> None:
        documents = self.db.table(table)
        if gone:
            documents.remove(doc_ids=gone)  # type: ignore[arg-type]  # numbers, see BookTable
        if put:
            documents.put(put)

    def _next_number(self, table: str) -> str:
        last = self._last.get(table)
        if last is None:
            last = max(map(int, self._numbers[table].values()), default=0)
        self._last[table] = last + 1
        return str(last + 1)

    @property
    def db(self) -> BookDB:
        """TinyDB over the lines of the file, made when first asked for."""
        if self._db is None:
            self._db = BookDB(self._raws, storage=BookStorage)
            self._raws = {}
        return self._db

    @property
    def storage(self) -> BookStorage:
        """The storage below `db`."""
        storage = self.db.storage
        assert isinstance(storage, BookStorage)
        return storage

    def commit_aside(self, aside: Path, header: Header) -> None:
        """Writes the whole book beside its place, flushed."""
        self.storage.commit_aside(aside, header)

    def mark(self) -> Any:
        """A mark to return to with `back_to`."""
        return self.header, self.tables, self._rows, self._numbers

    def keep(self, header: Header) -> None:
        """What is in memory is in the file now."""
        self.header = header
        self.storage.keep()

    def back_to(self, mark: Any) -> None:
        """Back to a mark and to the lines of the file."""
        self.header, self.tables, self._rows, self._numbers = mark
        self.storage.roll_back()


def _decode(table: str, raw: msgspec.Raw) -> Record:
    try:
        return decode(table, raw)
    except BadRecordError as error:
        raise BookDamaged(str(error)) from error


@contextmanager
def _no_garbage_collection() -> Iterator[None]:
    """Ten thousand new records hold no rubbish; looking for it would double the time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
