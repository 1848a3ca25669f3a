"""A batch away: packed, counted when it comes back, sorted into the bags, closed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from tagbench.book.book import Book
from tagbench.book.operations.away import AwayForm
from tagbench.book.operations.machines import chosen_or_made
from tagbench.book.operations.strip import part_by_code
from tagbench.book.transaction import Transaction
from tagbench.errors import BadInput, NotFound
from tagbench.records import Batch, BatchPiece, Lost, Part, Tables, replace
from tagbench.rules.batches import (
    closed_batch,
    counted_back,
    given_up,
    gone_from_bag,
    left_away,
    pieces_in_bags,
    refuse_unsorted,
    sort_back,
)
from tagbench.rules.describe.phrases import named, plural
from tagbench.rules.whereabouts import came_back, send


def pack(
    book: Book,
    form: AwayForm,
    codes: Sequence[str] = (),
    sizes: Sequence[str] = (),
    parts: Sequence[str] = (),
    mark: str = "",
) -> Batch:
    """Packs a batch: fasteners from the bags of `codes` (of the whole machine without any), of
    certain `sizes` or all, and `parts` themselves. One change; nothing moves when it is refused.
    """
    with book.change() as transaction:
        machine = chosen_or_made(transaction, mark)
        errand = form.errand(transaction, machine.mark)
        bags = [part_by_code(transaction.records, code) for code in dict.fromkeys(codes)]
        if not bags and sizes:
            bags = [
                part for part in transaction.records.parts_of(machine.mark) if part.fitted == "off"
            ]
        pieces = pieces_in_bags(bags, sizes) if bags else []
        pieces += [BatchPiece(code=code) for code in dict.fromkeys(parts)]
        if not pieces:
            raise BadInput("Say what goes: bags by their codes, sizes, or parts.")
        number = transaction.new_id("batches")
        errand = replace(errand, batch=number)
        for piece in pieces:
            part = part_by_code(transaction.records, piece.code)
            _refuse_other_machine(part, machine.mark)
            if piece.line:
                transaction.put(gone_from_bag(part, piece.line, piece.quantity))
            else:
                transaction.put(send(part, errand))
        batch = Batch(
            id=number,
            machine=machine.mark,
            who=errand.who,
            what_for=errand.what_for,
            sent=errand.sent,
            due=errand.due,
            price=errand.price,
            currency=errand.currency,
            pieces=tuple(pieces),
        )
        transaction.put(batch)
        total = sum(piece.quantity for piece in pieces)
        transaction.words = f"sent batch {number}, {plural(total, 'piece')}, to {errand.who}"
        return batch


def _refuse_other_machine(part: Part, mark: str) -> None:
    if part.machine != mark:
        raise BadInput(f"{part.code} is of another machine; make a batch for each machine.")


def count_back(book: Book, number: int, counts: Mapping[str, int]) -> Batch:
    """Writes down how many of each size came out of the bucket."""
    with book.change() as transaction:
        batch = counted_back(
            transaction.records, batch_by_number(transaction.records, number), dict(counts)
        )
        transaction.put(batch)
        transaction.words = f"counted {', '.join(counts)} of batch {number}"
        return batch


def sort_into_bag(
    book: Book, number: int, code: str, line: int = 0, quantity: int | None = None
) -> Batch:
    """Puts fasteners of a line, or the part itself, back into the bag; all that are left unless
    it is said how many. The batch closes by itself with the last one."""
    with book.change() as transaction:
        before = batch_by_number(transaction.records, number)
        batch, part = sort_back(transaction.records, before, code, line, quantity)
        today = transaction.now.date()
        if line == 0:
            part = came_back(part, today)
        if not left_away(batch):
            batch = closed_batch(batch, today)
        transaction.put(part)
        transaction.put(batch)
        transaction.words = f"sorted {named(part)} of batch {number} back into its bag"
        return batch


def close(book: Book, number: int, on: date | None = None) -> tuple[Batch, list[Part]]:
    """Closes a batch: what was not sorted did not come back and is lost. Gives the parts that are
    short now."""
    with book.change() as transaction:
        batch = batch_by_number(transaction.records, number)
        refuse_unsorted(transaction.records, batch)
        after = closed_batch(batch, on or transaction.now.date())
        short = list(_give_up(transaction, batch, after.closed or transaction.now.date()))
        transaction.put(after)
        transaction.words = f"closed batch {number}" + (
            f", short for {plural(len(short), 'bag')}" if short else ""
        )
        return after, short


def _give_up(transaction: Transaction, batch: Batch, on: date) -> Iterable[Part]:
    for piece, left in left_away(batch):
        part = transaction.records.parts.get(piece.code)
        if part is None:
            continue
        if piece.line:
            part = given_up(part, piece.line, left)
        else:
            words = f"did not come back from {batch.who}"
            part = replace(came_back(part, on), lost=_lost(transaction, words))
        transaction.put(part)
        yield part


def _lost(transaction: Transaction, words: str) -> Lost:
    return Lost(since=transaction.now, last_seen=words)


def batch_by_number(tables: Tables, number: int) -> Batch:
    """The batch with that number; NotFound names those there are."""
    batch = tables.batches.get(str(number))
    if batch is None:
        there = ", ".join(tables.batches) or "none"
        raise NotFound(f"There is no batch {number}; there is {there}.")
    return batch
