"""The book as it stood earlier: its records with the changes since then turned back."""

from __future__ import annotations

from datetime import date, datetime, time

from tagbench.book.book import Book
from tagbench.book.history import UNREADABLE
from tagbench.book.typed import BadRecordError, RecordsByTable, decoded_record, rows_of, snapshot
from tagbench.errors import BadInput, BookError
from tagbench.records import Change, Edit, Tables

ALL = 1_000_000_000
"""More changes than any history has."""


def rows_before(book: Book, number: int) -> RecordsByTable:
    """The records, by table and key, as they were after the change with that number.

    Raises `BookError` when the history does not reach back so far.
    """
    rows: RecordsByTable = {
        table: dict(records) for table, records in rows_of(book.records).items()
    }
    for change in book.history(limit=ALL):
        if change.takes_back == UNREADABLE:
            raise BookError(f"The book cannot be shown as it was: {change.words}.")
        if change.number <= number:
            return rows
        for edit in reversed(change.edits):
            _turn_back(rows, edit)
    if number and number >= book.header.first:
        raise BookError(f"The book cannot be shown as it was: change {number} is not there.")
    return rows


def records_on(book: Book, day: date) -> tuple[Tables, int]:
    """The records as they stood at the end of a day, and the number of the last change by then.

    Raises `BadInput` for a day before the first change, `BookError` as `rows_before`.
    """
    end = datetime.combine(day, time.max).astimezone()
    last: Change | None = None
    for change in book.history(limit=ALL):
        if change.takes_back == UNREADABLE:
            break
        if change.at <= end:
            last = change
            break
    if last is None:
        raise BadInput(
            f"On {day} nothing was written in this book yet, or its history begins later."
        )
    return snapshot(rows_before(book, last.number)), last.number


def _turn_back(rows: RecordsByTable, edit: Edit) -> None:
    if edit.before is None:
        rows[edit.table].pop(edit.key, None)
        return
    try:
        rows[edit.table][edit.key] = decoded_record(edit.table, edit.before)
    except BadRecordError as error:
        raise BookError(f"The book cannot be shown as it was: {error}.") from error
