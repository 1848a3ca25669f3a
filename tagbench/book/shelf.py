"""What a process holds of a book: the file's records, typed, and TinyDB over the same lines."""

from __future__ import annotations

import gc
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from tinydb.table import Document

from tagbench.book.layout import Header, Raws, taken_apart
from tagbench.book.storage import BookDB, BookStorage
from tagbench.book.typed import BadRecordError, Rows, decode, snapshot
from tagbench.errors import BookDamaged
from tagbench.records import TABLES, Edit, Record, Tables, from_plain, table_of

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

    def load(self, data: bytes) -> None:
        """Takes a whole book file in; on damage everything stays as it was."""
        header, raws = taken_apart(data)
        with _no_garbage_collection():
            rows, numbers = self._decoded(raws)
        self.header, self._raws, self._rows, self._numbers = header, raws, rows, numbers
        self._db = None
        self.tables = snapshot(rows)

    def _decoded(self, raws: Raws) -> tuple[Rows, Numbers]:
        rows: Rows = {table: {} for table in TABLES}
        numbers: Numbers = {table: {} for table in TABLES}
        for table in TABLES:
            for number, raw in raws.get(table, {}).items():
                try:
                    record = decode(table, raw)
                except BadRecordError as error:
                    raise BookDamaged(str(error)) from error
                key = table_of(record)[1]
                rows[table][key] = record
                numbers[table][key] = number
        return rows, numbers

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
        old = [numbers[key] for key in edits if key in numbers]
        fresh = max(map(int, numbers.values()), default=0)
        documents = []
        for key, edit in edits.items():
            if edit.after is None:
                rows.pop(key, None)
                numbers.pop(key, None)
                continue
            if key not in numbers:
                fresh += 1
                numbers[key] = str(fresh)
            rows[key] = _record(table, edit.after)
            documents.append(Document(edit.after, numbers[key]))  # type: ignore[arg-type]
        documents_of = self.db.table(table)
        documents_of.remove(doc_ids=old)  # type: ignore[arg-type]
        documents_of.insert_multiple(documents)
        self._rows = {**self._rows, table: rows}
        self._numbers = {**self._numbers, table: numbers}

    @property
    def db(self) -> BookDB:
        """TinyDB over the lines of the file, made when first asked for."""
        if self._db is None:
            self._db = BookDB(self._raws, storage=BookStorage)
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


def _record(table: str, plain: dict[str, Any]) -> Record:
    return from_plain(plain, TABLES[table])


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
