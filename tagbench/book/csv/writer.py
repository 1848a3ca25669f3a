"""The book as files for other programs: a list of parts as CSV, everything as JSON."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from tagbench.book.csv.rows import COLUMNS
from tagbench.book.layout import SCHEMA
from tagbench.book.outside import write_file
from tagbench.records import TABLES, Part, Tables, to_json
from tagbench.rules.bin_contents import bin_of
from tagbench.rules.bins import typed_path
from tagbench.rules.table import csv_text
from tagbench.trade.fasteners.spelling import spell_all


def parts_csv(tables: Tables, photos: Path, mark: str = "") -> str:
    """The parts of one machine (of all without a mark) in the columns that `import` reads.

    `ref` is the code, so that `behind` names codes; pictures are named with their whole path.
    """
    marks = [mark] if mark else sorted({part.machine for part in tables.parts.values()})
    rows = [part_row(part, tables, photos) for each in marks for part in tables.parts_of(each)]
    return csv_text([COLUMNS, *([row[name] for name in COLUMNS] for row in rows)])


def part_row(part: Part, tables: Tables, photos: Path) -> dict[str, object]:
    """What the columns of a list say of a part."""
    return {
        "ref": part.code,
        "name": part.name,
        "assembly": part.assembly,
        "position": part.position,
        "quantity": part.quantity,
        "fasteners": spell_all(part.fasteners),
        "part_number": part.part_numbers[0].number if part.part_numbers else "",
        "bin": typed_path(bin_of(part), tables.bins),
        "sits_how": part.sits_how,
        "note": part.note,
        "photo": "; ".join(str(photos / photo.file) for photo in part.photos),
        "behind": "; ".join(part.behind),
    }


def book_json(tables: Tables, revision: int) -> dict[str, Any]:
    """Every record with every field, by table: machines, parts, bins, wants, …, and the desk."""
    lists = {
        name: [to_json(record) for record in getattr(tables, name).values()]
        for name in TABLES
        if name != "desk"
    }
    return {"schema": SCHEMA, "revision": revision, **lists, "desk": to_json(tables.desk)}


def write_parts(path: Path, tables: Tables, photos: Path, mark: str = "") -> None:
    """Writes the list of parts; the mark of UTF-8 in front makes spreadsheets read it rightly."""
    write_file(path, parts_csv(tables, photos, mark).encode("utf-8-sig"))


def write_json(path: Path, tables: Tables, revision: int) -> None:
    """Writes the whole book as JSON."""
    text = json.dumps(book_json(tables, revision), ensure_ascii=False, indent=1)
    write_file(path, (text + "\n").encode())
