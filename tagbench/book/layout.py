"""How book.json is laid out: TinyDB tables, one record a line, a header with a seal.

The first line is the table `book` with the header; everything after it is the body, which
the seal (CRC-32 of header figures and body) covers. Stock TinyDB reads the file as it is.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

import msgspec

from tagbench.book.typed import NO_JSON
from tagbench.errors import BookDamaged, BookTooNew
from tagbench.records.base import Natural, Tally

SCHEMA = 2
"""The version of the book's format that this program writes; the older ones are read too."""
UNSEALED_SCHEMA = 1
"""The format in which the lines of the history had no seals."""

HEADER_TABLE = "book"


class Header(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """What stands in the first line of book.json."""

    schema: int = SCHEMA
    """Version of the format."""
    revision: Tally = 0
    """Number of the last change that is in the book."""
    history: Tally = 0
    """Length of history.jsonl with that change, bytes."""
    first: Natural = 1
    """Number of the first change in history.jsonl."""
    chain: str = ""
    """Seal of the line of that change in history.jsonl; empty when no line is there."""
    checksum: Tally = 0
    """CRC-32 over those first bytes of history.jsonl, as they must be."""
    fault: str = ""
    """What is known to be wrong with the history, until it is mended; a sentence."""
    seal: str = ""
    """CRC-32 over the other figures and the body, eight hexadecimal digits."""


class RecordLine(Mapping[str, Any]):
    """One record as it stands in the file; reads like the dict that TinyDB expects.

    It keeps only its text and decodes afresh at every look, so that nobody can hold and change
    what the store still holds.
    """

    __slots__ = ("_start", "number", "text")

    def __init__(self, number: int, raw: bytes) -> None:
        self.number = number
        prefix = b'"%d": ' % number
        self.text = prefix + raw
        self._start = len(prefix)

    @property
    def raw(self) -> bytes:
        """The record alone, without its number."""
        return self.text[self._start :]

    def _plain(self) -> dict[str, Any]:
        plain: dict[str, Any] = msgspec.json.decode(self.raw)
        return plain

    def __getitem__(self, name: str) -> Any:
        return self._plain()[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._plain())

    def __len__(self) -> int:
        return len(self._plain())


_TABLES = msgspec.json.Decoder(dict[str, msgspec.Raw])
_ROWS = msgspec.json.Decoder(dict[str, msgspec.Raw])
_HEADER = msgspec.json.Decoder(Header)


def table_text(name: str, lines: Iterable[RecordLine]) -> bytes:
    """One table, one record a line."""
    rows = b",\n".join(line.text for line in lines)
    return b",\n%b: {\n%b\n}" % (msgspec.json.encode(name), rows)


def sealed(header: Header, body: list[bytes]) -> list[bytes]:
    """The pieces of the whole file, header first with the seal put in."""
    header = msgspec.structs.replace(header, seal=_seal(header, body))
    line = b'{"%b": {"1": %b}' % (HEADER_TABLE.encode(), msgspec.json.encode(header))
    return [line, *body]


END = b"\n}\n"
"""Last piece of the body."""


def _seal(header: Header, body: Iterable[bytes | memoryview]) -> str:
    value = zlib.crc32(_figures(header))
    for piece in body:
        value = zlib.crc32(piece, value)
    return f"{value:08x}"


class _UnsealedHeader(msgspec.Struct, frozen=True, kw_only=True):
    """The figures that the seal of the oldest format covers, in their order."""

    schema: int
    revision: int
    history: int
    first: int
    seal: str = ""


def _figures(header: Header) -> bytes:
    if header.schema == UNSEALED_SCHEMA:
        old = _UnsealedHeader(
            schema=header.schema,
            revision=header.revision,
            history=header.history,
            first=header.first,
        )
        return msgspec.json.encode(old)
    return msgspec.json.encode(msgspec.structs.replace(header, seal=""))


def rows_in(table: msgspec.Raw) -> dict[str, msgspec.Raw]:
    """TinyDB's document number → the JSON of the record; `BookDamaged` when it is no table."""
    try:
        return _ROWS.decode(table)
    except NO_JSON as error:
        raise BookDamaged("it is cut short or overwritten") from error


def parsed_file(data: bytes) -> tuple[Header, dict[str, msgspec.Raw]]:
    """Header of a book file and the JSON of each table, seal checked.

    Raises `BookDamaged` with half a sentence that says what is wrong, or `BookTooNew`.
    """
    if not data.strip(b"\0 \n"):
        raise BookDamaged("it is empty")
    try:
        tables = _TABLES.decode(data)
        head = _ROWS.decode(tables.pop(HEADER_TABLE, b"{}"))
    except NO_JSON as error:
        raise BookDamaged("it is cut short or overwritten") from error
    header = _header_of(head)
    _check_seal(header, data)
    return header, tables


def header_in(data: bytes) -> Header:
    """Header of a book file, seal checked; the records are not looked at. Raises as `parsed_file`.

    Of a file of many megabytes the seal is what takes no time and holds up no other thread.
    """
    first_line = data[: _border(data)] + b"}"
    try:
        head = _ROWS.decode(_TABLES.decode(first_line).get(HEADER_TABLE, b"{}"))
    except NO_JSON as error:
        raise BookDamaged("it is cut short or overwritten") from error
    header = _header_of(head)
    _check_seal(header, data)
    return header


def _border(data: bytes) -> int:
    """Where the body begins: behind the header, which is the first line."""
    return data.find(b"}}") + 2


def _check_seal(header: Header, data: bytes) -> None:
    if _seal(header, [memoryview(data)[_border(data) :]]) != header.seal:
        raise BookDamaged("its seal does not match what it holds")


def _header_of(rows: dict[str, msgspec.Raw]) -> Header:
    try:
        plain = msgspec.json.decode(rows["1"])
        version = plain["schema"]
        if isinstance(version, int) and version > SCHEMA:
            raise BookTooNew(f"it has format {version}, this tagbench knows up to {SCHEMA}")
        return _HEADER.decode(rows["1"])
    except (KeyError, TypeError, *NO_JSON) as error:
        raise BookDamaged("its first line is not a header of a book") from error
