"""Part numbers of a part as one change each: added, superseded, obsolete, substitute, dropped."""

from __future__ import annotations

from collections.abc import Callable

from tagbench.book.book import Book
from tagbench.book.operations.strip import part_by_code
from tagbench.records import Part, PartNumber, replace
from tagbench.rules.buying import part_numbers
from tagbench.rules.buying.part_numbers import Known, known_numbers
from tagbench.rules.describe.phrases import named


def add_number(book: Book, code: str, number: PartNumber) -> Part:
    """Adds a number to a part, or changes what is said of it; Refused for a loop."""
    words = f"part number {number.number} ({number.status})"
    return _changed(
        book, code, words, lambda part, known: part_numbers.add_number(part, number, known)
    )


def write_number(book: Book, code: str, number: PartNumber, *, instead_of: str = "") -> Part:
    """Writes all that is known of a number, in the place of another one when that is named."""
    old, new = part_numbers.plain_number(instead_of), part_numbers.plain_number(number.number)

    def change(part: Part, known: Known) -> Part:
        if old and old != new:
            part = part_numbers.rename_number(part, instead_of, number.number)
        return part_numbers.add_number(part, number, known)

    return _changed(book, code, f"part number {number.number} ({number.status})", change)


def supersede(book: Book, code: str, old: str, new: str) -> Part:
    """Puts a number in the place of an old one; an old one not yet noted is added."""

    def change(part: Part, known: Known) -> Part:
        if not any(
            part_numbers.plain_number(n.number) == part_numbers.plain_number(old)
            for n in part.part_numbers
        ):
            part = part_numbers.add_number(part, PartNumber(number=old), known)
        return part_numbers.supersede(part, old, new, known)

    return _changed(book, code, f"{old} is superseded by {new}", change)


def obsolete(book: Book, code: str, number: str) -> Part:
    """Marks a number obsolete; NotFound when the part has no such number.

    One that only stands in the place of another one is added.
    """

    def change(part: Part, known: Known) -> Part:
        if part_numbers.took_a_place(part, number):
            part = part_numbers.add_number(part, PartNumber(number=number), known)
        entry = part_numbers.number_of(part, number)
        return part_numbers.add_number(part, replace(entry, status="obsolete"), known)

    return _changed(book, code, f"{number} is obsolete", change)


def drop_number(book: Book, code: str, number: str) -> Part:
    """Takes a number off a part; NotFound when it has no such number."""
    words = f"took off part number {number}"
    return _changed(book, code, words, lambda part, known: part_numbers.drop_number(part, number))  # noqa: ARG005 - the same shape for all


def _changed(book: Book, code: str, words: str, change: Callable[[Part, Known], Part]) -> Part:
    with book.change() as transaction:
        part = part_by_code(transaction.records, code)
        others = (one for one in transaction.records.parts.values() if one.code != code)
        part = change(part, known_numbers(others))
        transaction.put(part)
        transaction.words = f"{words}: {named(part)}"
        return part
