"""The storage seam of TinyDB: the tables of a book file, written whole beside its place."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import msgspec
from tinydb import TinyDB
from tinydb.storages import Storage
from tinydb.table import Table

from tagbench.book.durable import write_new
from tagbench.book.layout import END, Header, RecordLine, sealed, table_text
from tagbench.records import Record

TableLines = dict[str, RecordLine]


class BookStorage(Storage):
    """Keeps TinyDB's tables in memory; `commit` writes them to a file as they are."""

    def __init__(self) -> None:
        super().__init__()
        self._tables: dict[str, TableLines] = {}

    def read(self) -> dict[str, dict[str, Any]]:
        """All tables; a new outer dict, so that what TinyDB puts in arrives by `write`."""
        return dict(self._tables)

    def write(self, data: Mapping[str, Mapping[str, Any]]) -> None:
        """Takes the tables over, encoding the records that are no lines yet."""
        self._tables = {
            name: self._tables[name] if rows is self._tables.get(name) else _as_lines(rows)
            for name, rows in data.items()
        }

    def commit(self, path: Path, header: Header) -> None:
        """Writes and flushes the whole book beside its place."""
        body = [table_text(name, rows.values()) for name, rows in self._tables.items() if rows]
        write_new(path, sealed(header, [*body, END]))


def _as_lines(rows: Mapping[str, Any]) -> TableLines:
    return {
        key: row if type(row) is RecordLine else RecordLine(int(key), msgspec.json.encode(row))
        for key, row in rows.items()
    }


class BookTable(Table):
    """A TinyDB table whose document numbers are the strings that JSON has anyway."""

    document_id_class = str  # type: ignore[assignment]  # TinyDB's hook for other kinds of number

    def put(self, documents: Mapping[str, RecordLine]) -> None:
        """Inserts or replaces documents by number."""
        self._update_table(lambda table: table.update(documents))

    def _update_table(self, updater: Callable[[dict[Any, Mapping[str, Any]]], None]) -> None:
        """As TinyDB does it, without turning every number of the table into an int and back."""
        tables: dict[str, Any] = dict(self._storage.read() or {})
        table = dict(tables.get(self.name, {}))
        updater(table)
        tables[self.name] = table
        self._storage.write(tables)
        self.clear_cache()


class BookDB(TinyDB):
    """TinyDB over `BookStorage`."""

    table_class = BookTable

    def table(self, name: str, **named: Any) -> BookTable:
        """A table, of our own kind."""
        table = super().table(name, **named)
        if not isinstance(table, BookTable):
            raise TypeError(name)
        return table


def write_book(path: Path, header: Header, rows: Mapping[str, Mapping[str, Record]]) -> None:
    """Writes and flushes a whole book file beside its place.

    TinyDB's document numbers are counted anew each time, since they are no identity.
    """
    db = BookDB(storage=BookStorage)
    for name, records in rows.items():
        if records:
            numbered = enumerate(records.values(), start=1)
            db.table(name).put(
                {
                    str(number): RecordLine(number, msgspec.json.encode(row))
                    for number, row in numbered
                }
            )
    storage = db.storage
    assert isinstance(storage, BookStorage)
    storage.commit(path, header)
