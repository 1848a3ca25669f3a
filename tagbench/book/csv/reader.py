"""Parts from a CSV file: every row as if it had been typed into the strip form, or none."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from labels.code import read_code
from labels.errors import CodeError
from labels.progress import Progress
from tagbench.book.book import Book
from tagbench.book.csv.plan import ImportPlan, in_row, planned, split_cell
from tagbench.book.csv.rows import COLUMNS, BadRow, CsvRow, read_rows
from tagbench.book.csv.writer import part_row
from tagbench.book.operations.machines import chosen_or_made
from tagbench.book.operations.strip import Here, StripForm, strip_in
from tagbench.book.photos import all_or_none, take_in
from tagbench.book.transaction import Transaction
from tagbench.errors import BadInput
from tagbench.records import Part, Photo, Tables, replace
from tagbench.rules.rebuild.links import links_of, loop_words
from tagbench.rules.rebuild.loops import loops

NAMED = 8
"""How many further bad rows are named."""


class TakenIn(NamedTuple):
    """What came of a list of parts."""

    parts: list[Part]
    """The new parts, in the order of their rows."""
    known: tuple[Part, ...]
    """The parts of this book that rows were left out for."""
    differing: tuple[Part, ...]
    """Those of them of which the row says something else than the book."""


def read_csv(
    book: Book,
    path: Path,
    *,
    mark: str = "",
    again: bool = False,
    progress: Progress | None = None,
) -> list[Part]:
    """Takes in a list of parts and gives the new ones; see `take_in_list`."""
    return take_in_list(book, path, mark=mark, again=again, progress=progress).parts


def take_in_list(
    book: Book,
    path: Path,
    *,
    mark: str = "",
    again: bool = False,
    progress: Progress | None = None,
) -> TakenIn:
    """Takes in a list of parts as one change.

    `mark` names the machine, else it is the chosen one. Bins are named by code, name or path and
    made when new; pictures are looked for beside the file. Rows whose `ref` is the code of a part
    that is in this book (of that machine, when one is named) are left out: `export` wrote them;
    `again` takes them in as new parts all the same. Raises `BadInput` with the number of the row
    and the reason, or when no row is new, and then takes in nothing.
    """
    with (
        _told(path),
        all_or_none(book) as pictures,
        book.change(f"took in {path.name}") as transaction,
    ):
        rows = _rows(path)
        machine = chosen_or_made(transaction, mark)
        known = {} if again else _known_rows(rows, transaction.records, mark)
        new = [row for row in rows if row.number not in known]
        if not new:
            raise BadInput(
                f"By the column “ref” every row of {path.name} is a part that is in this book "
                "already. Nothing was taken in; --again takes them in once more as new parts."
            )
        plan = planned(new, path.parent, machine.mark)
        parts = _taken_off(transaction, plan, _Beside(book, pictures, progress))
        many = f"{len(parts)} part{'s' * (len(parts) != 1)}"
        transaction.words = f"took in {many} from {path.name}"
        said = [row for row in rows if row.number in known]
        differing = [known[row.number] for row in said if _differs(row, known, book, transaction)]
    return TakenIn(parts, tuple(known.values()), tuple(differing))


def _known_rows(rows: list[CsvRow], tables: Tables, mark: str) -> dict[int, Part]:
    """Number of a row → the part of this book that its `ref` names."""
    found = {}
    for row in rows:
        code = _known_code(row.cells["ref"], tables)
        if code and mark.strip().upper() in ("", tables.parts[code].machine):
            found[row.number] = tables.parts[code]
    return found


def _differs(row: CsvRow, known: dict[int, Part], book: Book, transaction: Transaction) -> bool:
    """Whether a column that the list has says something else of a part than the book."""
    says = part_row(known[row.number], transaction.before, book.photos)
    return any(
        row.cells[name] != str(says[name]).strip()
        for name in COLUMNS
        if name in row.given and name not in ("ref", "photo")
    )


@dataclass(frozen=True)
class _Beside:
    """What happens beside the records: pictures are copied, the progress is told."""

    book: Book
    pictures: list[Photo]
    progress: Progress | None

    def pictures_of(self, form: StripForm, code: str) -> tuple[Photo, ...]:
        """Copies the pictures of a row into the book."""
        start = len(self.pictures)
        for source in form.photos:
            self.pictures.append(take_in(self.book, source, code))
        return tuple(self.pictures[start:])

    def report(self, done: int, count: int) -> None:
        """Tells whoever wants to know."""
        if self.progress:
            self.progress(done, count)


def _rows(path: Path) -> list[CsvRow]:
    rows = read_rows(path)
    if not rows:
        raise BadInput(f"{path.name} has no parts below its first row.")
    return rows


@contextmanager
def _told(path: Path) -> Iterator[None]:
    """Says which row of which file is bad, and that nothing was taken in."""
    try:
        yield
    except BadRow as error:
        part = f" (part {error.part})" if error.part else ""
        raise BadInput(
            f"{path.name}, row {error.number}{part}: {error} Nothing was taken in{_too(error)}."
        ) from error


def _too(error: BadRow) -> str:
    """`; rows 5, 9 are bad too`."""
    if not error.others:
        return ""
    numbers = ", ".join(map(str, error.others[:NAMED]))
    more = " and more" if len(error.others) > NAMED else ""
    verb = "are" if len(error.others) > 1 else "is"
    return f"; row{'s' * (verb == 'are')} {numbers}{more} {verb} bad too"


def _taken_off(transaction: Transaction, plan: ImportPlan, beside: _Beside) -> list[Part]:
    """The parts with their codes and pictures, then with what came off before them."""
    parts: list[Part] = []
    here = Here.of(transaction.records, plan.forms[0][1].mark)
    for row, form in plan.forms:
        with in_row(row):
            part = strip_in(transaction, form, here=here)
            pictures = beside.pictures_of(form, part.code)
            parts.append(replace(part, photos=pictures) if pictures else part)
        beside.report(len(parts), len(plan.forms))
    codes = {ref: parts[place].code for ref, place in plan.refs.items()}
    for place, (row, _) in enumerate(plan.forms):
        behind = _behind(row, codes, transaction.records)
        if behind:
            parts[place] = replace(parts[place], behind=behind)
        if behind or parts[place].photos:
            transaction.put(parts[place])
    _refuse_loops(transaction.records, parts, plan)
    return parts


def _behind(row: CsvRow, codes: dict[str, str], tables: Tables) -> tuple[str, ...]:
    """The codes that a row's `behind` names: refs of this file first, then codes of the book."""
    found = []
    for name in split_cell(row.cells["behind"]):
        code = codes.get(name) or _known_code(name, tables)
        if not code:
            raise BadRow.of(
                row,
                f"behind names “{name}”, which is neither a ref in this file nor a part's code.",
            )
        found.append(code)
    return tuple(dict.fromkeys(found))


def _known_code(text: str, tables: Tables) -> str:
    try:
        code = read_code(text, tables.machines)
    except CodeError:
        return ""
    return code if code in tables.parts else ""


def _refuse_loops(tables: Tables, parts: list[Part], plan: ImportPlan) -> None:
    rows = {part.code: row for part, (row, _) in zip(parts, plan.forms, strict=True)}
    links = links_of(tables, parts[0].machine)
    for odd in links.odd:
        if odd.code in rows:
            raise BadRow.of(rows[odd.code], odd.words)
    for loop in loops(links):
        if loop[0] in rows:
            words = loop_words(tables.parts, loop)
            raise BadRow.of(rows[loop[0]], f"that would make a loop: {words}.")
