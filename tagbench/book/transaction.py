"""A change while it is being made: the freshest records with what was put in so far."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any, Literal

import msgspec

from labels.code import next_code, parse_code
from labels.errors import CodeError
from tagbench.book.overlay import DraftTable
from tagbench.book.typed import BadRecordError, rows_of, snapshot, validated
from tagbench.errors import BadInput, Refused
from tagbench.records import (
    ANY_MARK,
    BIN_MARK,
    Bin,
    Desk,
    Edit,
    Part,
    Record,
    Tables,
    Tag,
    replace,
    table_of,
)


class Transaction:
    """What a change does; nothing of it is in the book before the change ends well."""

    def __init__(self, base: Tables, now: datetime, words: str = "") -> None:
        self.words = words
        self.now = now
        self.before = base
        self._worked_on: dict[str, None] = {}
        self._base = rows_of(base)
        self._rows: dict[str, DraftTable] = {}
        self._touched: dict[tuple[str, str], None] = {}
        self._shown: Tables | None = base

    @property
    def records(self) -> Tables:
        """All records, with what this transaction has put and dropped so far."""
        if self._shown is None:
            self._shown = snapshot(self._all_rows())
        return self._shown

    def put(self, record: Record) -> None:
        """Inserts the record, or replaces the one with its key.

        A part or a bin gets its tag with it. Raises `BadInput` with the path of a bad field,
        `Refused` for a code whose record was taken away.
        """
        if isinstance(record, Desk):
            record = _never_back(record, self.records.desk)
        if isinstance(record, Part | Bin):
            self._tag(record)
        self.set(*table_of(record), record)

    def put_back(self, record: Record) -> None:
        """As `put`, for a record that was there before: its code may be on it again."""
        if isinstance(record, Part | Bin):
            tag = self.records.tags.get(record.code)
            if tag is not None and tag.kind == "gone":
                kind: Literal["part", "bin"] = "bin" if isinstance(record, Bin) else "part"
                self.set("tags", tag.code, replace(tag, kind=kind))
        self.put(record)

    def drop(self, record: Record) -> None:
        """Takes the record out; the code of a part or bin stays given out."""
        table, key = table_of(record)
        if table in ("tags", "desk"):
            raise ValueError(f"records of {table} are never dropped")
        self.set(table, key, None)
        tag = self.records.tags.get(key) if table in ("parts", "bins") else None
        if tag is not None:
            self.set("tags", key, replace(tag, kind="gone", queued=None))

    def new_code(self, mark: str, queued: datetime | None = None) -> str:
        """The next code of a mark, with its tag; it is never given out again.

        `queued`: since when the tag waits to be printed.
        """
        code = next_code(mark, self._last_serial(mark))
        self.set("tags", str(code), _new_tag(str(code), mark, queued))
        self._count_up(code.mark, code.serial)
        return str(code)

    def new_id(self, table: str) -> int:
        """The next number for a want, setting, stock line or phone; never given out again."""
        desk = self.records.desk
        known = [int(key) for key in getattr(self.records, table)]
        number = max([desk.ids.get(table, 0), *known]) + 1
        self.put(replace(desk, ids={**desk.ids, table: number}))
        return number

    def set(self, table: str, key: str, record: Record | None) -> None:
        """Puts or drops one record and nothing with it; for undo and mending."""
        if record is not None:
            try:
                record = validated(table, record)
            except BadRecordError as error:
                raise BadInput(f"This cannot be written down: {error}.") from error
        rows = self._draft(table)
        if table == "desk":
            self._shown = None
        self._touched[table, key] = None
        if record is None:
            rows.drop(key)
        else:
            rows.put(key, record)

    def _draft(self, table: str) -> DraftTable:
        rows = self._rows.get(table)
        if rows is None:
            rows = self._rows[table] = DraftTable(self._base[table])
            self._shown = None
        return rows

    def records_by(self, table: str) -> Mapping[str, Record]:
        """The records of one table by key; the desk stands under `desk`."""
        return self._rows.get(table, self._base[table])

    @property
    def changed(self) -> Mapping[str, Mapping[str, Record]]:
        """The tables that were touched, whole; for the end, when nothing more is put in."""
        return {table: rows.finished() for table, rows in self._rows.items()}

    def touches(self, *tables: str) -> bool:
        """Whether a record of one of the tables was put, dropped or set."""
        return not self._rows.keys().isdisjoint(tables)

    def worked_on(self, mark: str) -> None:
        """Says that a machine was worked on, be it without a trace in its records."""
        self._worked_on[mark] = None

    @property
    def machines_worked_on(self) -> tuple[str, ...]:
        """The marks given to `worked_on`."""
        return tuple(self._worked_on)

    @property
    def touched(self) -> tuple[tuple[str, str], ...]:
        """Table and key of every record put, dropped or set, whether it is different now or not."""
        return tuple(self._touched)

    def edits(self) -> tuple[Edit, ...]:
        """Every record that is different now, before and after."""
        now = self._all_rows()
        edits = (
            Edit(
                table=table,
                key=key,
                before=_plain(self._base[table].get(key)),
                after=_plain(now[table].get(key)),
            )
            for table, key in self._touched
        )
        return tuple(edit for edit in edits if edit.before != edit.after)

    def _all_rows(self) -> Mapping[str, Mapping[str, Record]]:
        return {**self._base, **self._rows}

    def _last_serial(self, mark: str) -> int:
        counted = self.records.desk.serials.get(mark)
        if counted is not None:
            return counted
        serials = (parse_code(code).serial for code in self.records.tags if _is_of(code, mark))
        return max([self.records.desk.serials.get(ANY_MARK, 0), *serials])

    def _count_up(self, mark: str, serial: int) -> None:
        shown = self.records
        if shown.desk.serials.get(mark, 0) < serial:
            serials = {**shown.desk.serials, mark: serial}
            desk = msgspec.structs.replace(shown.desk, serials=serials)
            self._draft("desk").put("desk", desk)  # known to be sound: only a number went up
            self._touched["desk", "desk"] = None
            self._shown = msgspec.structs.replace(shown, desk=desk)

    def _tag(self, record: Part | Bin) -> None:
        """Sees to it that the code of a part or bin is known as given out."""
        wanted = "bin" if isinstance(record, Bin) else "part"
        tag = self.records.tags.get(record.code)
        if tag is None:
            self._new_tag(record.code, wanted)
        elif tag.kind == "gone":
            raise Refused(
                f"{record.code} was on something that was taken away, and a code is never given "
                "out again; leave the code out and a new one is made."
            )
        elif tag.kind != wanted:
            self.set("tags", tag.code, replace(tag, kind=wanted))

    def _new_tag(self, code: str, kind: str) -> None:
        """A tag for a code that came from outside: an import, or another book."""
        try:
            parsed = parse_code(code)
        except CodeError as error:
            raise BadInput(str(error)) from error
        if str(parsed) != code:
            raise BadInput(f"{code} is not the usual spelling of {parsed}.")
        self.set("tags", code, replace(Tag(code=code), kind=kind))
        self._count_up(parsed.mark, parsed.serial)


def _new_tag(code: str, mark: str, queued: datetime | None) -> Tag:
    return Tag(code=code, kind="bin" if mark == BIN_MARK else "part", queued=queued)


def _is_of(code: str, mark: str) -> bool:
    return code.startswith(f"{mark}-")


def _plain(record: Record | None) -> dict[str, Any] | None:
    """The record as it will be read from the history: lists, no tuples."""
    if record is None:
        return None
    plain: dict[str, Any] = msgspec.json.decode(msgspec.json.encode(record))
    return plain


def _never_back(new: Desk, old: Desk) -> Desk:
    """The new desk with no counter below the old one: codes and numbers are never reused."""
    return replace(
        new,
        serials=_higher(new.serials, old.serials),
        ids=_higher(new.ids, old.ids),
    )


def _higher(one: dict[str, int], other: dict[str, int]) -> dict[str, int]:
    return {name: max(one.get(name, 0), other.get(name, 0)) for name in {**other, **one}}
