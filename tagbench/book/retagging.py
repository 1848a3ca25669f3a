"""Setting tags and counters right, so that no code or number is given out twice."""

from __future__ import annotations

from tagbench.book.book import Book
from tagbench.book.transaction import Transaction
from tagbench.records import ANY_MARK, Tag, replace

SKIPPED = 100
"""How many serials are left out after a loss: more than are printed ahead in an evening."""


def retag(book: Book, codes: frozenset[str] = frozenset(), lossy: bool = False) -> list[str]:
    """Gives every part and bin its tag, lifts the counters; tells what it did.

    `codes` were found in the remains of a damaged book. After a loss the counters skip ahead,
    since tags may have been printed that nothing tells of any more. One change, which can be
    taken back like any other; none when all is in order.
    """
    with book.change("set tags and counters right") as transaction:
        said = [
            *_tags(transaction),
            *_lonely(transaction),
            *_remembered(transaction, codes),
            *_counters(transaction),
        ]
        return [*said, *_skip(transaction)] if lossy else said


def _tags(transaction: Transaction) -> list[str]:
    said = []
    for kind, codes in (("part", transaction.records.parts), ("bin", transaction.records.bins)):
        for code in codes:
            tag = transaction.records.tags.get(code)
            if tag is None or tag.kind != kind:
                transaction.set("tags", code, replace(tag or Tag(code=code), kind=kind))
                said.append(f"The {kind} {code} has its tag again.")
    return said


def _lonely(transaction: Transaction) -> list[str]:
    said = []
    owners = {"part": transaction.records.parts, "bin": transaction.records.bins}
    for tag in list(transaction.records.tags.values()):
        if tag.kind in owners and tag.code not in owners[tag.kind]:
            transaction.set("tags", tag.code, replace(tag, kind="gone", queued=None))
            said.append(f"The tag {tag.code} is marked as gone: no {tag.kind} has its code.")
    return said


def _remembered(transaction: Transaction, codes: frozenset[str]) -> list[str]:
    new = sorted(codes - {*transaction.records.tags})
    for code in new:
        transaction.set("tags", code, Tag(code=code, kind="gone"))
    return [f"Codes of lost records are marked as gone: {', '.join(new)}."] if new else []


def _skip(transaction: Transaction) -> list[str]:
    desk = transaction.records.desk
    known = {ANY_MARK: 0, **desk.serials}
    serials = {mark: serial + SKIPPED for mark, serial in known.items()}
    ids = {table: number + SKIPPED for table, number in desk.ids.items()}
    transaction.set("desk", "desk", replace(desk, serials=serials, ids=ids))
    return [f"New codes skip {SKIPPED} serials, so that no lost code is given out again."]


def _counters(transaction: Transaction) -> list[str]:
    desk = transaction.records.desk
    serials, ids = dict(desk.serials), dict(desk.ids)
    for code in transaction.records.tags:
        mark, serial, _ = code.split("-")
        serials[mark] = max(serials.get(mark, 0), int(serial))
    for table in ("wants", "settings", "stock", "phones"):
        numbers = map(int, getattr(transaction.records, table))
        ids[table] = max([ids.get(table, 0), *numbers])
    ids = {table: number for table, number in ids.items() if number}
    if serials == desk.serials and ids == desk.ids:
        return []
    transaction.set("desk", "desk", replace(desk, serials=serials, ids=ids))
    return ["The counters of codes and numbers are above all that were given out."]
