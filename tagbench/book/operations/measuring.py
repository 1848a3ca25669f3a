"""Readings against wear limits, written on a part."""

from __future__ import annotations

from tagbench.book.book import Book
from tagbench.book.operations.strip import part_by_code
from tagbench.errors import BadInput
from tagbench.records import Part, Reading, replace
from tagbench.rules.care.readings import check_reading, same_reading
from tagbench.rules.describe.phrases import named


def read_off(book: Book, code: str, reading: Reading) -> Part:
    """Writes a reading on a part, in the place of an earlier one of the same thing.

    Limits, unit and source that the new one leaves out are kept from the earlier one. Raises
    BadInput for figures that cannot be.
    """
    with book.change() as transaction:
        part = part_by_code(transaction.records, code)
        known = next((r for r in part.readings if same_reading(r, reading)), None)
        whole = check_reading(_completed(reading, known))
        if whole.values and whole.at is None:
            whole = replace(whole, at=transaction.now)
        others = tuple(whole if one is known else one for one in part.readings)
        part = replace(part, readings=others if known else (*part.readings, whole))
        transaction.put(part)
        done = "measured" if whole.values else "is to measure"
        transaction.words = f"{done} {whole.what} of {named(part)}"
    return part


def _completed(reading: Reading, known: Reading | None) -> Reading:
    if known is None:
        return reading
    if reading.low is None and reading.high is None:
        reading = replace(reading, low=known.low, high=known.high, source=known.source)
    return replace(reading, uncertainty=reading.uncertainty or known.uncertainty)


def drop_reading(book: Book, code: str, what: str) -> Part:
    """Takes a reading off a part by what was measured; BadInput names those there are."""
    with book.change() as transaction:
        part = part_by_code(transaction.records, code)
        kept = tuple(r for r in part.readings if not same_reading(r, Reading(what=what)))
        if len(kept) == len(part.readings):
            there = ", ".join(one.what for one in part.readings) or "none"
            raise BadInput(f"{part.said} {code} has no reading of {what} (it has {there}).")
        part = replace(part, readings=kept)
        transaction.put(part)
        transaction.words = f"took the {what} off {named(part)}"
    return part
