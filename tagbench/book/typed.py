"""From the JSON of a record to the typed record, with a clear word about a bad field."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import Any

import msgspec

from tagbench.book.overlay import OverlayTable
from tagbench.records import RETIRED, TABLES, Desk, Record, Tables
from tagbench.records.base import in_plain_words
from tagbench.records.text import clean

#: What a record may be called in a message, best first.
_NAMES = ("code", "mark", "id")

NO_JSON = (msgspec.DecodeError, UnicodeDecodeError)
"""What msgspec raises for bytes that are no JSON, or not the JSON that was expected."""

RecordsByTable = dict[str, dict[str, Record]]
"""Table → key → record, while it is being put together."""


class BadRecordError(ValueError):
    """A record does not hold what its type says; the text names the table, the key, the field."""


@cache
def decoder(table: str) -> msgspec.json.Decoder[Any]:
    """The decoder of a table's records, made when the first one is read."""
    return msgspec.json.Decoder(TABLES[table])


@cache
def table_decoder(table: str) -> msgspec.json.Decoder[dict[str, Any]]:
    """The decoder of a whole table, quicker than that of each of its records."""
    kind: Any = TABLES[table]
    return msgspec.json.Decoder(dict[str, kind])


def decode(table: str, raw: bytes | memoryview | msgspec.Raw) -> Record:
    """One record from its JSON; raises `BadRecordError` with the path of the bad field."""
    return _typed(table, _cleaned(raw) if has_unseen(raw) else raw)


def _typed(table: str, raw: bytes | memoryview | msgspec.Raw) -> Record:
    try:
        record: Record = decoder(table).decode(raw)
    except NO_JSON as error:
        older = _without_retired(table, raw)
        if older is not None:
            return decode(table, older)
        raise BadRecordError(f"{table} {_called(raw)}: {in_plain_words(str(error))}") from error
    return record


_UNSEEN_ESCAPES = (rb"\u00", rb"\b", rb"\f", rb"\r")
"""How JSON writes signs below the blank, but for ends of lines and tabs."""
_UNSEEN: tuple[tuple[bytes, bytes], ...] = (
    *((sign.encode(), b"") for sign in ("\u061c", "\u180e", "\ufeff")),
    (b"\xc2", rb"\xc2[\x80-\x9f\xad]"),
    (b"\xe2\x80", rb"\xe2\x80[\x8b-\x8f\xa8-\xae]"),
    (b"\xe2\x81", rb"\xe2\x81[\xa0-\xaf]"),
    (b"\xf3\xa0", b""),
    (b"\xef\xbf\xb9", b""),
    (b"\xef\xbf\xba", b""),
    (b"\xef\xbf\xbb", b""),
)
"""What the JSON of a text has in it where `clean` may have something to do: how it begins, quick to
look for, and the pattern of it where quotation marks and signs such as ° begin alike."""


def has_unseen(raw: bytes | memoryview | msgspec.Raw) -> bool:
    """Whether JSON may have something in its texts that `clean` takes out."""
    data = bytes(raw)
    if b"\x7f" in data or (b"\\" in data and any(sign in data for sign in _UNSEEN_ESCAPES)):
        return True
    if data.isascii():
        return False
    return any(start in data and _stands(pattern, data) for start, pattern in _UNSEEN)


def _stands(pattern: bytes, data: bytes) -> bool:
    if not pattern:
        return True
    import re

    return re.search(pattern, data) is not None


def _cleaned(raw: bytes | memoryview | msgspec.Raw) -> bytes | memoryview | msgspec.Raw:
    """The record with every text in it cleaned; as it is where it cannot be read."""
    try:
        plain = msgspec.json.decode(raw)
    except NO_JSON:
        return raw
    return msgspec.json.encode(_clean_all(plain))


def _clean_all(value: Any) -> Any:
    if isinstance(value, str):
        return clean(value)
    if isinstance(value, list):
        return [_clean_all(one) for one in value]
    if isinstance(value, dict):
        return {name: _clean_all(one) for name, one in value.items()}
    return value


def _without_retired(table: str, raw: bytes | memoryview | msgspec.Raw) -> bytes | None:
    """The record without fields that only older books have; None when it has none of them."""
    retired = RETIRED.get(table, frozenset())
    try:
        plain = msgspec.json.decode(raw)
    except NO_JSON:
        return None
    if not isinstance(plain, dict) or retired.isdisjoint(plain):
        return None
    return msgspec.json.encode({name: plain[name] for name in plain if name not in retired})


def decoded_record(table: str, plain: object) -> Record:
    """One record from plain JSON types; raises `BadRecordError` with the path of the bad field."""
    return decode(table, msgspec.json.encode(plain))


def validated(table: str, record: Record) -> Record:
    """The record as it will be read again; raises `BadRecordError` when it could not be.

    Constructors do not look at their values, so this is where a wrong one is caught.
    """
    try:
        raw = msgspec.json.encode(record)
    except (TypeError, ValueError) as error:  # a lone surrogate, an object of another kind
        raise BadRecordError(f"{table}: {error}") from error
    if has_unseen(raw):
        raw = bytes(_cleaned(raw))
    record = _typed(table, raw)
    again = msgspec.json.encode(record)
    if again != raw:
        _refuse_loss(table, raw, again)
    return record


def _refuse_loss(table: str, raw: bytes, again: bytes) -> None:
    """JSON has no NaN and no infinity: they would come back as nothing. 12 and 12.0 are alike."""
    before, after = msgspec.json.decode(raw), msgspec.json.decode(again)
    lost = [name for name in before if before[name] != after.get(name)]
    if lost:
        raise BadRecordError(f"{table} {_called(raw)}: {lost[0]}: holds no proper figure")


def _called(raw: bytes | memoryview | msgspec.Raw) -> str:
    try:
        plain: Any = msgspec.json.decode(raw)
    except NO_JSON:
        return "(unreadable)"
    if not isinstance(plain, dict):
        return "(no record)"
    return next((str(plain[name]) for name in _NAMES if name in plain), "(unnamed)")


def snapshot(rows: Mapping[str, Mapping[str, Record]]) -> Tables:
    """Read-only tables over the rows; they are not copied."""
    fields: dict[str, Any] = {
        table: _read_only(rows.get(table, {})) for table in TABLES if table != "desk"
    }
    desk = rows.get("desk", {}).get("desk", Desk())
    return Tables(**fields, desk=desk)  # type: ignore[arg-type]  # keyed by table, checked there


def _read_only(rows: Mapping[str, Record]) -> Mapping[str, Record]:
    return rows if isinstance(rows, OverlayTable) else MappingProxyType(rows)


def rows_of(tables: Tables) -> dict[str, Mapping[str, Record]]:
    """The reverse of `snapshot`: table → key → record, the desk too."""
    rows: dict[str, Mapping[str, Record]] = {
        table: getattr(tables, table) for table in TABLES if table != "desk"
    }
    rows["desk"] = {"desk": tables.desk}
    return rows
