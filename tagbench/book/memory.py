"""What a process holds of a book: its records, typed, and the header they belong to."""

from __future__ import annotations

import gc
from collections import Counter
from collections.abc import Collection, Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress

import msgspec

from tagbench.book.layout import Header, parsed_file, rows_in
from tagbench.book.overlay import DraftTable
from tagbench.book.sharing import Sharing
from tagbench.book.typed import (
    NO_JSON,
    BadRecordError,
    RecordsByTable,
    decode,
    decoded_record,
    has_unseen,
    snapshot,
    table_decoder,
)
from tagbench.errors import BookDamaged
from tagbench.records import TABLES, Edit, Record, by_key, keep_worked_out, key_in

LARGE = 4_000_000
"""Bytes of a table that is decoded in pieces, with equal values kept once: it is worth the time."""
PIECE = 500_000
"""Bytes that are decoded at once, as no other thread goes on meanwhile."""


class Memory:
    """The records of one book, as they were when they were read or saved last.

    A table is never changed in place: tables handed out before stay as they were.
    """

    def __init__(self) -> None:
        self.header = Header()
        self.rows: Mapping[str, Mapping[str, Record]] = {table: {} for table in TABLES}
        self.tables = snapshot(self.rows)

    def load(self, data: bytes) -> None:
        """Takes a whole book file in; on damage everything stays as it was."""
        header, tables = parsed_file(data)
        with no_garbage_collection():
            rows = _decoded(tables, has_unseen(data))
        self.header = header
        self._show(rows)

    def apply(self, edits: Iterable[Edit]) -> None:
        """Makes the edits of a change; raises `BookDamaged` for a record that cannot be."""
        drafts: dict[str, DraftTable] = {}
        for edit in edits:
            draft = drafts.get(edit.table)
            if draft is None:
                draft = drafts[edit.table] = DraftTable(self.rows[edit.table])
            if edit.after is None:
                draft.drop(edit.key)
                continue
            try:
                draft.put(edit.key, decoded_record(edit.table, edit.after))
            except BadRecordError as error:
                raise BookDamaged(str(error)) from error
        self.take({table: draft.finished() for table, draft in drafts.items()})

    def take(self, changed: Mapping[str, Mapping[str, Record]]) -> None:
        """Takes over the tables that a change touched, whole."""
        self._show({**self.rows, **changed})

    def _show(self, rows: Mapping[str, Mapping[str, Record]]) -> None:
        self.rows = rows
        self.tables = keep_worked_out(snapshot(rows))


def _decoded(tables: Mapping[str, msgspec.Raw], unseen: bool) -> RecordsByTable:
    """All records, typed; `unseen`: something in the texts may have to be cleaned."""
    unknown = sorted(tables.keys() - TABLES.keys())
    if unknown:
        raise BookDamaged(f"it has a table that is not known, {unknown[0]}")
    rows: RecordsByTable = {}
    for table in TABLES:
        records = _records(table, tables[table], unseen) if table in tables else []
        rows[table] = by_key(table, records)
        if len(rows[table]) < len(records):
            raise BookDamaged(f"{table} {_twice(table, records)} is there twice")
    return rows


def _records(table: str, raw: msgspec.Raw, unseen: bool) -> Collection[Record]:
    """The records of a table, all at once where nothing is wrong with them, else one by one."""
    if not unseen:
        with suppress(*NO_JSON):
            if len(bytes(raw)) >= LARGE:
                return _piece_by_piece(table, bytes(raw))
            return table_decoder(table).decode(raw).values()
    return [_decode(table, row) for row in rows_in(raw).values()]


def _piece_by_piece(table: str, raw: bytes) -> list[Record]:
    """The records of a large table; what one piece leaves behind makes room for the next.

    In a file of this program a record ends with its line, and no text holds an end of line; where
    that is not so the JSON of a piece is none.
    """
    decode_piece, share = table_decoder(table).decode, Sharing()
    found: list[Record] = []
    start, last = raw.index(b"{") + 1, raw.rindex(b"}")
    while start < last:
        end = raw.find(_BETWEEN, start + PIECE, last)
        end = last if end < 0 else end
        records = list(decode_piece(b"{%b}" % raw[start:end]).values())
        share.all(records)
        found += records
        start = end + len(_BETWEEN)
    return found


_BETWEEN = b",\n"


def _twice(table: str, records: Iterable[Record]) -> str:
    counted = Counter(key_in(table, record) for record in records)
    return next(key for key, count in counted.items() if count > 1)


def _decode(table: str, raw: msgspec.Raw) -> Record:
    try:
        return decode(table, raw)
    except BadRecordError as error:
        raise BookDamaged(str(error)) from error


@contextmanager
def no_garbage_collection() -> Iterator[None]:
    """Ten thousand new records hold no rubbish; looking for it would double the time."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
