"""A note in columns: `reed block | M4x10 pan | 6`, a thing with its count and size beside it.

A row may hold the count of each name in turn, or be one record of several (`bolt | 4 | M8x25 | ok`)
that stand under one another or with two dashes between them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from tagbench.trade.fasteners.told_clauses import begins_remark, is_sure, is_thing

#: The stroke between two columns, and what parts two records in one row.
_COLUMN = re.compile(r"\s*\|\s*")
_RECORDS = re.compile(r"\s--\s|\s\|\|\s")
#: What a column says of how many there are; that it does not know it.
_CELL_COUNT = re.compile(
    r"(?:x\s?)?(?P<n>[1-9][0-9]?)\s?(?:x|off|pcs|st|stk)?(?P<doubt>\s?\?+)?", re.IGNORECASE
)
_NOT_COUNTED = re.compile(r"\?+")
_NOT_THERE = re.compile(r"0|none|nil", re.IGNORECASE)
#: So many of the whole are there: 3/4.
_OF_WHOLE = re.compile(r"(?P<n>[1-9][0-9]?)/(?P<all>[1-9][0-9]?)")
#: A size and nothing else: M8x25, 12x28x7, 2BA, 8.
_CELL_SIZE = re.compile(
    r"(?:M\s?)?[0-9][0-9.,/x\s-]*(?:mm|in|\"|BA|BSF|BSW|UNF|UNC|whit)?", re.IGNORECASE
)
#: A code of the place where it is kept: FA-01.
_CELL_CODE = re.compile(r"[^\W\d_]{1,3}-?[0-9]{1,3}|bag\s[0-9]+", re.IGNORECASE)
_SAME_NAME = frozenset(("ditto", "do", "do.", "idem", "same", '"', "dto", "dto."))
_EMPTY = frozenset(("", "-", "–"))
_FEWEST = 2


@dataclass
class _Thing:
    """What the columns say of one thing."""

    name: str
    count: str = ""
    remarks: list[str] = field(default_factory=list)

    def told(self) -> str:
        """`screw M8x10, 2 off, one bent`."""
        return ", ".join([self.name, *([self.count] if self.count else []), *self.remarks])

    def has_size(self) -> bool:
        """Whether its name has a figure already."""
        return any(map(str.isdigit, self.name))


class Columns:
    """Reads the rows of a note, one after the other; a ditto takes the name of the row above."""

    def __init__(self) -> None:
        """Begin a note."""
        self.kept: list[str] = []
        """Codes of places, and rows that say that a thing is not there, as they stand."""
        self._above = ""

    def read(self, row: str) -> str:
        """`screw M8x10, 2 off, one bent` for `screw M8x10 | 2 | one bent`; else the row itself."""
        if row.count(" | ") < _FEWEST:
            return row
        records = _RECORDS.split(row)
        heading = f"{records.pop(0).strip()}: " if "|" not in records[0] else ""
        told = [self._record(record) for record in records]
        if any(one is None for one in told):
            return row
        things = [one for one in told if one]
        return heading + "; ".join(things) if things else heading.removesuffix(": ")

    def _record(self, text: str) -> str | None:
        """The things of one record, "" if it says that there are none; none if it is no record."""
        cells = [cell.strip(" +") for cell in _COLUMN.split(text)]
        if len(cells) > 1 and _CELL_CODE.fullmatch(cells[0]):
            self.kept.append(cells.pop(0))
        if any(map(_NOT_THERE.fullmatch, cells[1:_NAMED_BY])):
            self.kept.append(text.strip())
            return ""
        record = _Record(self._above)
        if not all(map(record.takes, cells, [*cells[1:], ""])):
            return None
        self._above = record.above
        return record.told()


#: Its name is in the first two columns, so its count in the second or third.
_NAMED_BY = 3


class _Record:
    """One record, taken in cell by cell."""

    def __init__(self, above: str) -> None:
        self.above = above
        self._things: list[_Thing] = []
        self._heading = self._waiting = ""
        self._opens, self._behind_count = True, False

    def takes(self, cell: str, behind: str) -> bool:
        """Put a cell where it belongs, with the one behind it known; whether there is a place."""
        counted, last = _counted(cell), self._things[-1] if self._things else None
        fits_size = self._behind_count and _CELL_SIZE.fullmatch(cell) and not _counted(behind)
        self._behind_count = False
        if cell in _EMPTY:
            self._opens = self._opens or last is None
            self._behind_count = last is not None
        elif last is not None and fits_size and not last.has_size():
            last.name += f" {cell}"
        elif counted and last is not None and not last.count:
            last.count, self._behind_count = counted, True
        elif counted:
            self._waiting = f"{cell} "
            return bool(behind) and last is None
        else:
            self._takes_words(cell, behind, last)
        return True

    def _takes_words(self, cell: str, behind: str, last: _Thing | None) -> None:
        """A name, what the things belong to, or a remark of the last one."""
        if self._opens and not self._waiting and not _counted(behind) and not is_sure(cell):
            self._heading, self._opens = f"{self._heading}{cell}: ", False
        elif last is None or self._waiting or self._heading or _is_named(cell, behind):
            self.above = self.above if cell.lower() in _SAME_NAME else cell
            self._things.append(_Thing(f"{self._heading}{self._waiting}{self.above}"))
            self._waiting, self._heading, self._opens = "", "", False
        else:
            last.remarks.append(cell if len(cell) > 1 else f"“{cell}”")

    def told(self) -> str:
        """The things of it, and what was to belong to one and has none."""
        return "; ".join(one.told() for one in self._things) + self._heading.rstrip(": ")


def _counted(cell: str) -> str:
    """`2 off` for the cell `2`, `3 of 4` for `3/4`; nothing for one that counts nothing."""
    found = _CELL_COUNT.fullmatch(cell)
    if found is not None:
        return f"{found['n']} off" + (f", {found['doubt'].strip()}" if found["doubt"] else "")
    whole = _OF_WHOLE.fullmatch(cell)
    if whole is not None and int(whole["n"]) <= int(whole["all"]):
        return f"{whole['n']} off (of {whole['all']})"
    return cell if _NOT_COUNTED.fullmatch(cell) else ""


def _is_named(cell: str, behind: str) -> bool:
    """Whether a cell names a thing, which the one behind it may count."""
    return bool(_counted(behind)) or (not begins_remark(cell) and is_thing(cell))
