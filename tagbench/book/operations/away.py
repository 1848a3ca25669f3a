"""Parts with someone else, lost, never taken off: each one change of the book."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from tagbench.book.book import Book
from tagbench.book.operations.care import each, said
from tagbench.book.operations.replacing import want_replacement
from tagbench.book.operations.strip import part_by_code
from tagbench.book.transaction import Transaction
from tagbench.errors import BadInput, Refused
from tagbench.records import Errand, Part, Want, replace
from tagbench.rules import whereabouts
from tagbench.rules.buying.money import parse_price
from tagbench.rules.care.steps import decide
from tagbench.rules.describe.phrases import named


@dataclass(frozen=True)
class AwayForm:
    """What the person says about something that goes to someone else."""

    who: str
    """Who has it."""
    what_for: str = ""
    """What is done to it there."""
    sent: date | None = None
    """Day it went; today when it is not said."""
    due: date | None = None
    """Day it should be back."""
    price: str = ""
    """What it costs, as typed."""

    def errand(self, transaction: Transaction, mark: str) -> Errand:
        """The errand; BadInput for nobody's name, a price or days that cannot be."""
        if not self.who.strip():
            raise BadInput("Say who has it, such as “Hill Plating”.")
        machine = transaction.records.machines.get(mark)
        price = parse_price(self.price, machine.units.currency if machine else "")
        return Errand(
            who=" ".join(self.who.split()),
            what_for=" ".join(self.what_for.split()),
            sent=self.sent or transaction.now.date(),
            due=self.due,
            price=price.plain if price else "",
            currency=price.currency if price else "",
        )


def send_away(book: Book, codes: Iterable[str], form: AwayForm) -> list[Part]:
    """Parts go to someone else, all of them or, refused, none."""
    with book.change() as transaction:
        parts = each(
            transaction,
            codes,
            lambda part: whereabouts.send(part, form.errand(transaction, part.machine)),
        )
        transaction.words = said(f"sent {{}} to {form.who.strip()}", parts)
    return parts


def bring_back(book: Book, codes: Iterable[str], on: date | None = None) -> list[Part]:
    """Parts came back, today or on an earlier day."""
    with book.change() as transaction:
        day = on or transaction.now.date()
        parts = each(transaction, codes, lambda part: _back(part, day))
        transaction.words = said("{} came back", parts)
    return parts


def _back(part: Part, day: date) -> Part:
    if part.away is not None and part.away.batch:
        number = part.away.batch
        raise Refused(
            f"{named(part)} went in batch {number}; sort it back into its bag there: "
            f"away sort {number} {part.code}."
        )
    return whereabouts.came_back(part, day)


def lose(
    book: Book, code: str, last_seen: str = "", *, want: bool = False
) -> tuple[Part, list[Want]]:
    """A part cannot be found; with `want` it is to be replaced, and goes on the want list."""
    with book.change() as transaction:
        part = whereabouts.lose(part_by_code(transaction.records, code), transaction.now, last_seen)
        if want:
            part = decide(part, "replace")
        transaction.put(part)
        wants = want_replacement(transaction, [part], "it is lost") if want else []
        transaction.words = f"lost {named(part)}"
        return transaction.records.parts[code], wants


def found_again(book: Book, code: str) -> Part:
    """A lost part turned up."""
    with book.change() as transaction:
        part = whereabouts.found_again(part_by_code(transaction.records, code))
        transaction.put(part)
        transaction.words = f"found {named(part)} again"
    return part


def never_off(book: Book, codes: Iterable[str]) -> list[Part]:
    """Parts that are written down and were never taken off; their tags are not printed."""
    with book.change() as transaction:
        parts = each(transaction, codes, lambda part: whereabouts.never_off(part, transaction.now))
        for part in parts:
            transaction.put(replace(transaction.records.tags[part.code], queued=None))
        transaction.words = said("{} was never taken off", parts)
    return parts
