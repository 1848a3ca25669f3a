"""What the rows of a list say, understood before any code is given out."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from tagbench.book.csv.rows import BadRow, CsvRow
from tagbench.book.operations.strip import StripForm
from tagbench.errors import BadInput
from tagbench.trade.fasteners.text import parse_fasteners


@dataclass(frozen=True)
class ImportPlan:
    """The rows as strip forms."""

    forms: list[tuple[CsvRow, StripForm]]
    """Row and form, without what came off before."""
    refs: dict[str, int]
    """`ref` → place in `forms`."""


def planned(rows: list[CsvRow], folder: Path, mark: str) -> ImportPlan:
    """The plan for parts of machine `mark`; pictures are looked for from `folder`.

    Raises `BadRow` for the first row that cannot be understood; it names the others too.
    """
    plan = ImportPlan([], {})
    bad: list[BadRow] = []
    for row in rows:
        try:
            with in_row(row):
                _add(plan, row, folder, mark)
        except BadRow as error:
            bad.append(error)
    if bad:
        bad[0].others = [error.number for error in bad[1:]]
        raise bad[0]
    return plan


def _add(plan: ImportPlan, row: CsvRow, folder: Path, mark: str) -> None:
    ref = row.cells["ref"]
    if ref in plan.refs:
        first = plan.forms[plan.refs[ref]][0].number
        raise BadInput(f"the ref “{ref}” is on row {first} too.")
    plan.forms.append((row, _form(row, folder, mark)))
    if ref:
        plan.refs[ref] = len(plan.forms) - 1


@contextmanager
def in_row(row: CsvRow) -> Iterator[None]:
    """Turns what a verb or a parser refuses into a refusal of this row."""
    try:
        yield
    except BadRow:
        raise
    except BadInput as error:
        raise BadRow.of(row, str(error)) from error


def split_cell(text: str) -> list[str]:
    """The pieces of a cell that holds several, separated with `;`."""
    return [piece.strip() for piece in text.split(";") if piece.strip()]


def _form(row: CsvRow, folder: Path, mark: str) -> StripForm:
    cells = row.cells
    return StripForm(
        name=_name(cells["name"]),
        assembly=cells["assembly"],
        position=cells["position"],
        quantity=_quantity(cells["quantity"]),
        fasteners=_fasteners(cells["fasteners"]),
        sits_how=cells["sits_how"],
        bin=cells["bin"],
        part_number=cells["part_number"],
        note=cells["note"],
        photos=tuple(_pictures(cells["photo"], folder)),
        mark=mark,
    )


_fasteners = lru_cache(maxsize=8192)(parse_fasteners)
"""The fasteners of a cell: lists say the same over and over, and reading it takes longest."""


def _name(text: str) -> str:
    if not text:
        raise BadInput("the name is missing; say in a word or two what came off.")
    return text


def _quantity(text: str) -> int:
    if not text:
        return 1
    if not (text.isascii() and text.isdecimal() and int(text) > 0):
        raise BadInput(f"the quantity “{text}” is not a whole number of 1 or more.")
    return int(text)


def _pictures(text: str, folder: Path) -> Iterator[Path]:
    for name in split_cell(text):
        path = folder / Path(name).expanduser()
        if not path.is_file():
            raise BadInput(f"there is no picture {path}.")
        yield path
