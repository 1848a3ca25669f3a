"""The rows of a CSV file as spreadsheets write it: any delimiter, a byte order mark or none."""

from __future__ import annotations

import codecs
import csv
import difflib
import io
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from tagbench.errors import BadInput
from tagbench.rules.table import as_typed

COLUMNS = (
    "ref",
    "name",
    "assembly",
    "position",
    "quantity",
    "fasteners",
    "part_number",
    "bin",
    "sits_how",
    "note",
    "photo",
    "behind",
)
"""The columns of a list of parts; only `name` must be there."""

MOST_BYTES = 8_000_000
"""A list of 20 000 parts has about 4 MB."""
_DELIMITERS = ",;\t"
_BOMS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)


@dataclass(frozen=True)
class CsvRow:
    """One row below the heading."""

    number: int
    """Its number as a spreadsheet shows it: the heading is row 1."""
    part: int
    """Its place among the parts, from 1."""
    cells: dict[str, str]
    """Column → text, blanks around it taken off; every column is there."""
    given: frozenset[str] = frozenset()
    """The columns that the file has."""


class BadRow(BadInput):
    """A row that cannot be taken in; knows which, and which others are bad too."""

    def __init__(self, why: str, number: int, part: int = 0) -> None:
        super().__init__(why)
        self.number = number
        self.part = part
        self.others: list[int] = []

    @classmethod
    def of(cls, row: CsvRow, why: str) -> BadRow:
        """What is wrong with a row that could be read as such."""
        return cls(why, row.number, row.part)


def read_rows(path: Path) -> list[CsvRow]:
    """All rows with something in them; raises `BadInput` for a file that cannot be read."""
    text = _text(path)
    return list(_rows(text, path))


def _text(path: Path) -> str:
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise BadInput(f"{path} cannot be read ({error.strerror}); check the name.") from error
    if len(data) > MOST_BYTES:
        raise BadInput(
            f"{path.name} is larger than {MOST_BYTES // 1_000_000} MB, more than a list of parts "
            "is; take it in in pieces."
        )
    bom, encoding = next((pair for pair in _BOMS if data.startswith(pair[0])), (b"", "utf-8"))
    try:
        text = data[len(bom) :].decode(encoding)
    except UnicodeDecodeError as error:
        row = data.count(b"\n", 0, error.start + len(bom)) + 1
        raise BadInput(
            f"{path.name} is not written in UTF-8 (line {row}); save it as “CSV UTF-8”."
        ) from error
    if "\0" in text:
        raise BadInput(f"{path.name} holds zero bytes and is no CSV text; save it as “CSV UTF-8”.")
    return text


def _rows(text: str, path: Path) -> Iterator[CsvRow]:
    lines, skipped = _without_hint(text)
    delimiter = _delimiter(lines)
    reader = csv.reader(io.StringIO(lines, newline=""), delimiter=delimiter, strict=True)
    heading: list[str] = []
    number, part = skipped, 0
    try:
        for number, cells in enumerate(reader, start=skipped + 1):
            if not any(cell.strip() for cell in cells):
                continue
            if not heading:
                heading = _heading(cells, path)
                continue
            part += 1
            named = _named(heading, cells, number, part)
            yield CsvRow(number, part, named, frozenset(heading))
    except csv.Error as error:
        raise BadRow(f"the quotation marks do not match ({error}).", number + 1) from error
    if not heading:
        raise BadInput(f"{path.name} is empty; its first row must be {','.join(COLUMNS)}.")


def _without_hint(text: str) -> tuple[str, int]:
    """Takes off the line `sep=;` that some spreadsheets put first; how many lines that were."""
    first, end, rest = text.partition("\n")
    return (rest, 1) if end and first.strip().lower() in _HINTS else (text, 0)


_HINTS = {f"sep={delimiter}" for delimiter in _DELIMITERS}


def _delimiter(text: str) -> str:
    """The delimiter that makes most of the first row known columns."""
    first = next((line for line in text.splitlines() if line.strip()), "")

    def known(delimiter: str) -> int:
        return len({_plain(cell) for cell in first.split(delimiter)} & {*COLUMNS})

    return max(_DELIMITERS, key=known)


def _plain(cell: str) -> str:
    """`"Part number" ` → `part_number`."""
    return "_".join(cell.strip().strip('"').lower().replace("_", " ").split())


def _heading(cells: list[str], path: Path) -> list[str]:
    names = [_plain(cell) for cell in cells]
    if "name" not in names:
        raise BadInput(
            f"{path.name} has no column “name” in its first row; "
            f"the columns are {','.join(COLUMNS)}."
        )
    for name in filter(None, names):
        if name not in COLUMNS:
            near = difflib.get_close_matches(name, COLUMNS, 1)
            guess = f" (did you mean {near[0]}?)" if near else ""
            raise BadInput(
                f"The column “{name}” of {path.name} is not known{guess}; "
                f"the columns are {','.join(COLUMNS)}."
            )
        if names.count(name) > 1:
            raise BadInput(f"The column “{name}” is there twice in {path.name}; leave one out.")
    return names


def _named(heading: list[str], cells: list[str], number: int, part: int) -> dict[str, str]:
    named = dict.fromkeys(COLUMNS, "")
    for place, cell in enumerate(cells):
        name = heading[place] if place < len(heading) else ""
        if name:
            named[name] = as_typed(cell.strip())
        elif cell.strip():
            raise BadRow(
                f"there is more in it (“{cell.strip()}”) than the first row has columns; "
                "put text that holds the delimiter into quotation marks.",
                number,
                part,
            )
    return named
