"""Two copies of one book that went separate ways, joined record by record.

Both histories tell where they parted. What only one copy changed since is taken; where both changed
the same record, their fields are merged; where both changed the same field, the person is asked.
A code or number that both gave out to different things stays with this copy, and the other's
thing gets a new one.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

from tagbench.book.book import Book
from tagbench.book.history import History
from tagbench.book.history_check import annals
from tagbench.book.integrity import faults
from tagbench.book.rewinding import rows_before
from tagbench.book.transaction import Transaction
from tagbench.book.typed import decoded_record, rows_of
from tagbench.errors import BadInput, Refused
from tagbench.records import Bin, Desk, Part, Record, Tag, replace, to_plain

Side = Literal["this", "other"]
Choose = Callable[["Conflict"], Side | None]
"""Says which copy is right about a record; None leaves it open, and nothing is joined."""

NAMED = 12
"""How many records are named before it only says how many more."""


@dataclass(frozen=True)
class Conflict:
    """A record whose same field both copies changed."""

    table: str
    """Its table."""
    key: str
    """Its code, mark or number."""
    fields: tuple[str, ...]
    """The fields that differ; empty where one copy took the record away."""
    this: Record | None
    """As it is here."""
    other: Record | None
    """As it is in the other copy."""

    @property
    def words(self) -> str:
        """What differs, in a clause: `TP-003-G (position “left” here, “right” there)`."""
        if self.this is None or self.other is None:
            where = "here" if self.this is None else "there"
            return f"{self.key} (taken away {where}, changed in the other copy)"
        said = [
            f"{name} {_shown(getattr(self.this, name))} here, "
            f"{_shown(getattr(self.other, name))} there"
            for name in self.fields
        ]
        return f"{self.key} ({'; '.join(said)})"


@dataclass
class Joined:
    """What joining did."""

    parted_after: int
    """Number of the last change that both copies have."""
    taken: list[str] = field(default_factory=list)
    """Keys of the records that came from the other copy."""
    merged: list[str] = field(default_factory=list)
    """Keys of the records that both had changed, in different fields."""
    chosen: list[str] = field(default_factory=list)
    """Keys of the records that were asked about."""
    renamed: dict[str, str] = field(default_factory=dict)
    """Code or number in the other copy → the new one here, where it was given out twice."""
    photos: list[str] = field(default_factory=list)
    """Picture files that were copied."""


def join_copies(book: Book, folder: Path, choose: Choose) -> Joined:
    """Takes in what another copy of this book knows, as one change; the other is not touched.

    Raises `BadInput` when it is no copy of this book or is this book itself, `Refused` with all
    conflicts that `choose` leaves open, or when the joined records would not agree.
    """
    if folder.resolve() == book.folder.resolve():
        raise BadInput("That is this book itself; give the folder of the other copy.")
    with Book(folder) as other:
        parted = _parted_after(book, other)
        joined = Joined(parted)
        with book.change(f"joined with the copy in {folder.name}") as transaction:
            _Joining(transaction, other, rows_before(other, parted), joined, choose).run()
        _copy_photos(book, other, joined)
    return joined


def _parted_after(book: Book, other: Book) -> int:
    ours, theirs = (annals(History(one.folder)).seals for one in (book, other))
    common = [number for number, seal in ours.items() if seal and theirs.get(number) == seal]
    if not common:
        raise BadInput(
            f"{other.folder} and {book.folder} have no change in common, so they are not two "
            "copies of one book; take single parts over with an export and import."
        )
    return max(common)


class _Joining:
    """One run: the records of the other copy against those here and those of the parting."""

    def __init__(
        self,
        transaction: Transaction,
        other: Book,
        parting: Mapping[str, Mapping[str, Record]],
        joined: Joined,
        choose: Choose,
    ) -> None:
        self.transaction, self.joined, self.choose = transaction, joined, choose
        self.parting = parting
        self.theirs = rows_of(other.records)
        self.open: list[Conflict] = []
        self.renamed: dict[str, str] = {}

    def run(self) -> None:
        """Joins all tables; raises `Refused` where that cannot be done."""
        before = set(faults(self.transaction.records))
        changed = list(self._changed_there())
        self._count_past_the_other()
        for table, key in changed:
            if self._is_given_twice(table, key):
                self._give_anew(table, key)
        for table, key in changed:
            self._join(table, key)
        if self.open:
            raise Refused(_ask(self.open))
        new = [fault for fault in faults(self.transaction.records) if fault not in before]
        if new:
            raise Refused(f"The copies cannot be joined as they are: {new[0]}")
        self.joined.renamed = dict(self.renamed)
        self.transaction.words += f": {len(self.joined.taken) + len(self.joined.merged)} records"

    def _changed_there(self) -> Iterator[tuple[str, str]]:
        """Machines and bins first, so that what names them finds them."""
        for table in ("machines", "bins", "parts", "wants", "settings", "stock"):
            theirs, parting = self.theirs[table], self.parting[table]
            for key in [*theirs, *(key for key in parting if key not in theirs)]:
                if theirs.get(key) != parting.get(key):
                    yield table, key

    def _count_past_the_other(self) -> None:
        """No new code or number may be one that the other copy gave out."""
        theirs = self.theirs["desk"]["desk"]
        assert isinstance(theirs, Desk)
        self.transaction.put(
            replace(self.transaction.records.desk, serials=theirs.serials, ids=theirs.ids)
        )

    def _is_given_twice(self, table: str, key: str) -> bool:
        here = self.transaction.records_by(table).get(key)
        both_new = key not in self.parting[table] and here is not None
        return both_new and table != "machines" and here != self.theirs[table][key]

    def _give_anew(self, table: str, key: str) -> None:
        if table in ("parts", "bins"):
            self.renamed[key] = self.transaction.new_code(key.split("-")[0])
        else:
            self.renamed[f"{table} {key}"] = str(self.transaction.new_id(table))

    def _join(self, table: str, key: str) -> None:
        there = self._as_here(table, key)
        new_key = self.renamed.get(key if table in ("parts", "bins") else f"{table} {key}", key)
        here = self.transaction.records_by(table).get(new_key)
        parting = self.parting[table].get(key) if new_key == key else None
        if there == here:
            return
        if here == parting:
            self._take(table, new_key, there)
            self.joined.taken.append(new_key)
            return
        record, fields = _merged(parting, here, there)
        if not fields:
            self._take(table, new_key, record)
            self.joined.merged.append(new_key)
            return
        conflict = Conflict(table, new_key, fields if here and there else (), here, there)
        side = self.choose(conflict)
        if side is None:
            self.open.append(conflict)
        else:
            self._take(table, new_key, record if side == "this" else _with(record, there, fields))
            self.joined.chosen.append(new_key)

    def _take(self, table: str, key: str, record: Record | None) -> None:
        if record is None:
            gone = self.transaction.records_by(table).get(key)
            if gone is not None:
                self.transaction.drop(gone)
            return
        if isinstance(record, Part | Bin):
            tag = self.theirs["tags"].get(key)
            known = self.transaction.records.tags.get(key)
            if isinstance(tag, Tag) and (known is None or known.kind == "gone"):
                self.transaction.set("tags", key, tag)
            elif key in self.renamed.values() and known is not None:
                self.transaction.set("tags", key, replace(known, queued=self.transaction.now))
        self.transaction.put(record)

    def _as_here(self, table: str, key: str) -> Record | None:
        """The other copy's record, with the new codes of what was given out twice."""
        record = self.theirs[table].get(key)
        if record is None or not self.renamed:
            return record
        plain = _with_codes(to_plain(record), self.renamed)
        number = self.renamed.get(f"{table} {key}")
        return decoded_record(table, {**plain, "id": int(number)} if number else plain)


def _with_codes(value: Any, renamed: Mapping[str, str]) -> Any:
    if isinstance(value, str):
        return renamed.get(value, value)
    if isinstance(value, dict):
        return {name: _with_codes(one, renamed) for name, one in value.items()}
    if isinstance(value, list | tuple):
        return [_with_codes(one, renamed) for one in value]
    return value


def _merged(
    parting: Record | None, here: Record | None, there: Record | None
) -> tuple[Record | None, tuple[str, ...]]:
    """The record with what only one copy changed, and the fields that both changed."""
    if here is None or there is None:
        return here, ("",)
    changed, both = {}, []
    for name in here.__struct_fields__:
        was = getattr(parting, name) if parting is not None else None
        now, other = getattr(here, name), getattr(there, name)
        if other in (now, was):
            continue
        if now == was:
            changed[name] = other
        else:
            both.append(name)
    return replace(here, **changed), tuple(both)


def _with(record: Record | None, there: Record | None, fields: tuple[str, ...]) -> Record | None:
    if record is None or there is None:
        return there
    return replace(record, **{name: getattr(there, name) for name in fields})


def _shown(value: object) -> str:
    text = str(value)
    return f"“{text[:40]}{'…' * (len(text) > 40)}”"


def _ask(conflicts: list[Conflict]) -> str:
    named = "; ".join(conflict.words for conflict in conflicts[:NAMED])
    more = f"; and {len(conflicts) - NAMED} more" if len(conflicts) > NAMED else ""
    return (
        f"Both copies changed {named}{more}. Nothing was joined; say for each which one is right, "
        f"such as --take {conflicts[0].key}=this or --take {conflicts[0].key}=other."
    )


def _copy_photos(book: Book, other: Book, joined: Joined) -> None:
    for part in book.records.parts.values():
        for photo in part.photos:
            source, target = other.photos / photo.file, book.photos / photo.file
            if Path(photo.file).name == photo.file and source.is_file() and not target.exists():
                target.parent.mkdir(exist_ok=True)
                shutil.copy2(source, target)
                joined.photos.append(photo.file)
