"""What can still be read of a damaged book file, line by line."""

from __future__ import annotations

import re
from collections.abc import Iterator

from labels.code import is_code
from tagbench.book.typed import BadRecordError, RecordsByTable, decode
from tagbench.records import TABLES, key_in

_TABLE = re.compile(rb'^"([a-z]+)": \{$')
_LINE = re.compile(rb'^"\d+": (\{.*\}),?$')
_CODE = re.compile(rb'"([A-Z0-9]{1,3}-[0-9]{3,}-[0-9A-Z])"')
_REVISION = re.compile(rb'"revision":(\d+)')


def revision_of(data: bytes) -> int:
    """The number of the last change, from the first line; 0 when that cannot be read."""
    found = _REVISION.search(data.split(b"\n", 1)[0])
    return int(found[1]) if found else 0


def codes_in(data: bytes) -> frozenset[str]:
    """Every code with a right check character that stands anywhere in the text."""
    return frozenset(code for code in map(bytes.decode, _CODE.findall(data)) if is_code(code))


def whole_records(data: bytes) -> RecordsByTable:
    """The records whose lines are whole and valid."""
    rows: RecordsByTable = {table: {} for table in TABLES}
    for table, raw in _lines(data):
        try:
            record = decode(table, raw)
        except BadRecordError:
            continue  # this is the damage that is being looked around
        rows[table][key_in(table, record)] = record
    return rows


def _lines(data: bytes) -> Iterator[tuple[str, bytes]]:
    table = ""
    for line in data.split(b"\n"):
        heading = _TABLE.match(line)
        if heading:
            table = heading[1].decode()
        row = _LINE.match(line)
        if row and table in TABLES:
            yield table, row[1]
