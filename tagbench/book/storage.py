"""The storage seam of TinyDB: tables kept in memory, written aside and put in place whole."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import msgspec
from tinydb import TinyDB
from tinydb.storages import Storage
from tinydb.table import Table

from tagbench.book.durable import write_aside
from tagbench.book.layout import END, Header, Line, Raws, sealed, table_text

Lines = dict[str, Line]


class BookStorage(Storage):
    """Serves the cached tables; `write` only marks, `commit_aside` makes them durable.

    Lines never change in place: TinyDB puts new ones into new dicts, so the tables of the last
    commit stay whole and `roll_back` returns to them.
    """

    def __init__(self, raws: Raws) -> None:
        super().__init__()
        self._tables: dict[str, Lines] = {
            name: {key: Line(int(key), bytes(raw)) for key, raw in rows.items()}
            for name, rows in raws.items()
        }
        self._kept = self._tables
        self._texts: dict[str, tuple[Lines, bytes]] = {}

    def read(self) -> dict[str, dict[str, Any]]:
        """All tables; a new outer dict, so that what TinyDB puts in arrives by `write`."""
        return dict(self._tables)

    def write(self, data: Mapping[str, Mapping[str, Any]]) -> None:
        """Takes the tables over in memory, encoding only the records that are new."""
        self._tables = {name: self._as_lines(name, rows) for name, rows in data.items()}

    def _as_lines(self, name: str, rows: Mapping[str, Any]) -> Lines:
        if rows is self._tables.get(name):
            return self._tables[name]
        fresh = [key for key, row in rows.items() if type(row) is not Line]
        return dict(rows) | {key: Line(int(key), msgspec.json.encode(rows[key])) for key in fresh}

    def commit_aside(self, aside: Path, header: Header) -> None:
        """Writes and flushes the whole book beside its place."""
        body = [self._text(name, lines) for name, lines in self._tables.items() if lines]
        write_aside(aside, sealed(header, [*body, END]))

    def _text(self, name: str, lines: Lines) -> bytes:
        kept = self._texts.get(name)
        if kept is None or kept[0] is not lines:
            kept = self._texts[name] = (lines, table_text(name, lines.values()))
        return kept[1]

    def keep(self) -> None:
        """What is in memory is now in the file."""
        self._kept = self._tables

    def raws(self) -> dict[str, dict[str, bytes]]:
        """The JSON of every record, by table and document number."""
        return {
            name: {key: line.raw for key, line in lines.items()}
            for name, lines in self._tables.items()
        }

    def roll_back(self) -> None:
        """Back to what is in the file."""
        self._tables = self._kept


class BookTable(Table):
    """A TinyDB table whose document numbers stay the strings that JSON has anyway."""

    document_id_class = str  # type: ignore[assignment]  # TinyDB's hook for other kinds of number

    def put(self, documents: Mapping[str, Mapping[str, Any]]) -> None:
        """Inserts or replaces documents by number; replaced ones keep their line in the file."""

        def updater(table: dict[Any, Mapping[str, Any]]) -> None:
            table.update(documents)

        self._update_table(updater)

    def _update_table(self, updater: Callable[[dict[int, Mapping[str, Any]]], None]) -> None:
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
