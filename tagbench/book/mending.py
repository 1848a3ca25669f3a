"""Building a book anew: from what is good, on with the history, with the loss named."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

import msgspec

from labels.atomic_write import atomic_write, put_in_place
from tagbench.book.backups import BACKUP_FOLDER, keep_now, link_or_copy
from tagbench.book.damage import memory_of, newest_good, too_new
from tagbench.book.disk import BOOK_FILE, NEW_BOOK_FILE
from tagbench.book.durable import sync_folder
from tagbench.book.history import History, first_seal
from tagbench.book.history_check import Annals, annals, changes_words, history_faults
from tagbench.book.history_end import HistoryEnd
from tagbench.book.layout import SCHEMA, UNSEALED_SCHEMA, Header
from tagbench.book.memory import Memory
from tagbench.book.salvage import codes_in, revision_of, whole_records
from tagbench.book.storage import write_book
from tagbench.book.typed import rows_of
from tagbench.errors import BookDamaged, BookTooNew
from tagbench.records import Edit, to_plain

NAMED = 12
"""How many records are named before it only says how many more."""


@dataclass(frozen=True)
class Base:
    """What a book is built on."""

    memory: Memory
    """The records to begin with."""
    damage: str = ""
    """What is wrong with book.json; empty when it is whole."""
    words: str = ""
    """Where the records come from instead."""
    partial: bool = False
    """Whether records from before its last change may be missing."""


@dataclass(frozen=True)
class MendingPlan:
    """What the mended book will be."""

    header: Header
    taken: tuple[int, ...]
    """Changes to be taken from the history."""
    lost: tuple[int, ...]
    """Changes that nothing is left of."""
    new_history: bool
    """Whether the history is set aside and a new one begun."""
    doubtful: bool
    """Whether there may have been later changes that nothing tells of."""
    foreign: bool = False
    """Whether the history belongs to another copy of the book and is left out."""


@dataclass(frozen=True)
class Mended:
    """What mending the files did."""

    said: tuple[str, ...] = ()
    """What was done and what is lost, a sentence each; empty when all was in order."""
    lossy: bool = False
    """Whether changes are lost, or may be."""
    codes: frozenset[str] = frozenset()
    """Codes that stand in the remains, so that they have been given out."""


def set_right(folder: Path, now: datetime) -> Mended:
    """Mends book.json and history.jsonl as far as needed; says what was done and what is lost.

    The caller holds the lock. Raises `BookTooNew` for a newer book, which is not touched.
    """
    path, history = folder / BOOK_FILE, History(folder)
    data = path.read_bytes() if path.exists() else b""
    known = annals(history)
    base = _base(folder, data, known)
    before = base.memory.header
    marked = HistoryEnd(folder).read()
    reached = max(marked, revision_of(data) if base.damage else 0)
    whole = not base.damage and _holds_the_beginning(before, history, known)
    proven = whole or 0 < marked <= known.last
    plan = _planned(base, known, reached, proven)
    if not (base.damage or plan.new_history or known.torn or known.plain or plan.header != before):
        return Mended()
    stamp = _stamp(now)
    remains = data + (history.path.read_bytes() if known.size else b"")
    said = [*_said_of_book(base, plan, path.exists(), stamp), *_said_of_loss(base, plan, data)]
    said += _write(folder, base, plan, known, now)
    said = said or [f"{BOOK_FILE} now says that the history begins with {plan.header.first}."]
    return Mended(tuple(said), bool(plan.lost or plan.doubtful), codes_in(remains))


def _base(folder: Path, data: bytes, known: Annals) -> Base:
    """book.json if it is whole, else the newest good backup, else what else there is."""
    memory = Memory()
    try:
        memory.load(data)
    except BookDamaged as error:
        damage = str(error) if data else "gone or empty"
    except BookTooNew as error:
        raise too_new(folder / BOOK_FILE, error) from error
    else:
        return Base(memory)
    backup = newest_good(folder)
    good = memory_of(backup.path) if backup else None
    if backup and good:
        return Base(good, damage, f"from {BACKUP_FOLDER}/{backup.path.name}")
    if 1 in known.changes:
        return Base(Memory(), damage, "from the beginning of the history")
    return Base(_salvaged(data, known), damage, "from those of its lines that are whole", True)


def _salvaged(data: bytes, known: Annals) -> Memory:
    """The whole lines of a damaged book, when there is neither backup nor full history."""
    memory = Memory()
    rows = whole_records(data)
    memory.apply(
        Edit(table=table, key=key, after=to_plain(record))
        for table, records in rows.items()
        for key, record in records.items()
    )
    reached = revision_of(data)
    behind = known.changes and known.last >= reached
    start = min(known.changes) - 1 if behind else max(reached, known.last)
    memory.header = Header(revision=start)
    return memory


def _holds_the_beginning(header: Header, history: History, known: Annals) -> bool:
    """Whether the history is whole up to where the book file vouches for it."""
    if header.schema == UNSEALED_SCHEMA:
        return not known.bad_lines
    return (
        not header.fault
        and known.size >= header.history
        and history.checksum(header.history) == header.checksum
    )


def _planned(base: Base, known: Annals, reached: int, proven: bool) -> MendingPlan:
    """`reached` is the last change that a damaged book.json or the end mark still names.

    `proven`: it is certain that the history lacks nothing at its end.
    """
    memory, start = base.memory, base.memory.header.revision
    foreign = _is_of_another_copy(memory.header, known)
    last = max(start, 0 if foreign else known.last, reached)
    taken = [number for number in sorted(known.changes) if number > start and not foreign]
    for number in taken:
        memory.apply(known.changes[number].edits)
    first = min(known.changes, default=last + 1)
    header = msgspec.structs.replace(
        memory.header,
        schema=SCHEMA if known.sealed else UNSEALED_SCHEMA,
        revision=last,
        history=known.size - known.torn,
        first=first,
        chain=known.seals.get(last, "") or first_seal(first),
        checksum=known.checksum if known.sealed else 0,
        fault="",
    )
    unbroken = (
        not foreign
        and known.covers(first, last)
        and not any(history_faults(replace(known, torn=0, plain=b""), header, memory.tables))
    )
    if not unbroken:
        header = msgspec.structs.replace(
            header,
            schema=SCHEMA,
            history=0,
            first=last + 1,
            chain=first_seal(last + 1),
            checksum=0,
        )
    lost = set(range(start + 1, last + 1)) - set(taken)
    doubtful = base.partial or not proven or foreign
    return MendingPlan(header, tuple(taken), tuple(sorted(lost)), not unbroken, doubtful, foreign)


def _is_of_another_copy(header: Header, known: Annals) -> bool:
    """Whether the history has another line for the last change of the book file."""
    seal = known.seals.get(header.revision)
    return bool(seal and header.chain and seal != header.chain)


def _said_of_book(base: Base, plan: MendingPlan, there: bool, stamp: str) -> Iterator[str]:
    taken = changes_words(list(plan.taken))
    if not base.damage:
        if plan.taken:
            yield f"{taken} had reached the history only; now they are in book.json too."
        return
    kept = f"; it is kept as {BACKUP_FOLDER}/{_damaged_name(stamp)}" if there else ""
    yield f"{BOOK_FILE} was damaged ({base.damage}){kept}."
    more = f", with {taken[0].lower()}{taken[1:]} of the history" if plan.taken else ""
    yield f"It was built anew {base.words}{more}."


def _said_of_loss(base: Base, plan: MendingPlan, data: bytes) -> Iterator[str]:
    if plan.foreign:
        yield (
            "history.jsonl belongs to another copy of this book; none of it was taken in, "
            "and what only that copy knows is not in this one."
        )
    if base.partial:
        kept = sum(map(len, whole_records(data).values()))
        records = f"{kept} record{'s' * (kept != 1)}"
        yield f"{records} could be read; what stood on lines that are not whole is lost."
    if plan.lost:
        yield f"{changes_words(list(plan.lost))} {'are' if len(plan.lost) > 1 else 'is'} lost."
    elif base.partial or plan.foreign:
        return
    elif plan.doubtful:
        last = plan.header.revision
        yield f"Change {last} is the last one known; if there were later ones, they are lost."
    elif base.damage:
        yield f"No change is lost; the book is as it was after change {plan.header.revision}."
    if plan.lost and data:
        different = _different(base.memory, data)
        more = f" and {len(different) - NAMED} more" if len(different) > NAMED else ""
        if different:
            yield f"The damaged file holds other records of {', '.join(different[:NAMED])}{more}."


def _different(memory: Memory, data: bytes) -> list[str]:
    rows = rows_of(memory.tables)
    return [
        key
        for table, records in whole_records(data).items()
        for key, record in records.items()
        if table != "desk" and rows[table].get(key) != record
    ]


def _write(
    folder: Path, base: Base, plan: MendingPlan, known: Annals, now: datetime
) -> Iterator[str]:
    """Keeps what is damaged, then puts the mended book in place, then the history."""
    path, history, new = folder / BOOK_FILE, History(folder), folder / NEW_BOOK_FILE
    stamp = _stamp(now)
    place = folder / BACKUP_FOLDER
    place.mkdir(exist_ok=True)
    if base.damage and path.exists():
        link_or_copy(path, place / _damaged_name(stamp))
    if plan.new_history and known.size:
        link_or_copy(history.path, place / f"history-{stamp}.jsonl")
    write_book(new, plan.header, base.memory.rows)
    put_in_place(new, path)
    sync_folder(folder)
    HistoryEnd(folder).write(plan.header.revision)
    keep_now(path, plan.header.revision, now)
    if plan.new_history:
        history.path.unlink(missing_ok=True)
        kept = (
            f"; the old one is kept as {BACKUP_FOLDER}/history-{stamp}.jsonl" if known.size else ""
        )
        yield f"The history begins anew, earlier changes cannot be taken back{kept}."
    elif known.plain:
        link_or_copy(history.path, place / f"history-{stamp}.jsonl")
        with atomic_write(history.path) as file:
            file.write(known.plain[: plan.header.history])
        yield (
            "The history has plain ends of lines again; "
            f"{BACKUP_FOLDER}/history-{stamp}.jsonl is what it was."
        )
    elif known.torn:
        history.set_aside(plan.header.history, place / f"torn-{stamp}.jsonl")
        yield f"The torn last line of the history is kept as {BACKUP_FOLDER}/torn-{stamp}.jsonl."


def _stamp(now: datetime) -> str:
    return now.strftime("%Y%m%dT%H%M%S%f")


def _damaged_name(stamp: str) -> str:
    return f"damaged-{stamp}.json"
