"""Care as one change, for one part or many: marked, taken back, soaked, measured, acknowledged."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from datetime import date, datetime
from typing import cast

from tagbench.book.book import Book
from tagbench.book.operations.machines import by_mark
from tagbench.book.transaction import Transaction
from tagbench.errors import BadInput
from tagbench.records import CARE_STEPS, Machine, Part
from tagbench.records.care_steps import CLEANING
from tagbench.rules.buying.open_orders import Orders, ordered_for, refuse_on_order
from tagbench.rules.care import steps
from tagbench.rules.care.substances import remember
from tagbench.rules.describe.phrases import named_parts
from tagbench.rules.scan import part_with
from tagbench.rules.whereabouts import OldPiece, put_old_piece

KNOWN = steps.steps_known()
"""What a part can be marked: a step of care, reuse or replace."""


def tick_off(
    book: Book,
    codes: Iterable[str],
    what: str,
    *,
    with_what: str = "",
    on: date | None = None,
    orders: Orders = "",
) -> list[Part]:
    """Marks parts with a step of care, reuse or replace, all of them or, refused, none.

    `with_what`: the substance of a care step, or for replace what takes its place. A part marked
    replace is put on the want list; marked reuse it leaves it. `orders`: what becomes of an order
    that is under way for a part marked reuse. Raises Refused (OnOrder while that is not said) or
    BadInput.
    """
    if what not in KNOWN:
        raise BadInput(f"“{what}” cannot be marked; choose one of {', '.join(KNOWN)}.")
    with_what = " ".join(with_what.split())
    if what == "reuse" and with_what:
        raise BadInput("--with does not go with reuse; leave it out.")
    if on is not None and what not in CARE_STEPS:
        raise BadInput("Only a care step has a day of its own; leave the day out.")
    if orders and what != "reuse":
        raise BadInput("An order is kept or called off only with reuse.")
    codes = list(codes)
    with book.change() as transaction:
        at = when_done(transaction, on)
        if what == "reuse" and not orders:
            refuse_on_order(transaction.records, codes)
        parts = each(
            transaction, codes, lambda part: _ticked_off(part, what, at, transaction.now, with_what)
        )
        parts = _what_follows(transaction, parts, what, with_what, orders)
        transaction.words = said(
            f"marked {{}} {what}" if what not in CARE_STEPS else f"{what} {{}}", parts
        )
        transaction.words += f" with {with_what}" if with_what else ""
    return parts


def _what_follows(
    transaction: Transaction, parts: list[Part], what: str, with_what: str, orders: Orders
) -> list[Part]:
    """What else changes with a mark: substances remembered, wants made and dropped; the parts."""
    codes = [part.code for part in parts]
    if what in CARE_STEPS:
        transaction.put(remember(transaction.records.desk, what, with_what))
    elif what == "replace":
        from tagbench.book.operations.replacing import want_replacement

        want_replacement(transaction, parts, with_what)
        return [transaction.records.parts[code] for code in codes]
    elif what == "reuse":
        from tagbench.book.operations.replacing import no_longer_wanted
        from tagbench.rules.buying.wants import not_ordered

        for want in ordered_for(transaction.records, codes) if orders == "off" else ():
            transaction.put(not_ordered(want))
        no_longer_wanted(transaction, codes)
    return parts


def _ticked_off(part: Part, what: str, at: datetime, now: datetime, with_what: str) -> Part:
    if what in CARE_STEPS:
        return steps.tick(part, what, at, now, with_what)
    return steps.decide(part, cast(steps.Verdict, what))


def undecided(book: Book, codes: Iterable[str]) -> list[Part]:
    """Takes the verdict of parts back."""
    from tagbench.book.operations.replacing import no_longer_wanted

    with book.change() as transaction:
        parts = each(transaction, codes, steps.undecide)
        no_longer_wanted(transaction, [part.code for part in parts])
        transaction.words = said("took back the verdict on {}", parts)
    return parts


def soak(
    book: Book,
    codes: Iterable[str],
    *,
    hours: float | None = None,
    tray: str = "",
    with_what: str = "",
    since: datetime | None = None,
) -> list[Part]:
    """Puts parts to soak, since now or an earlier time; Refused for parts on the machine."""
    with book.change() as transaction:
        start = since or transaction.now
        parts = each(
            transaction,
            codes,
            lambda part: steps.soak(part, start, transaction.now, hours, tray, with_what),
        )
        transaction.put(remember(transaction.records.desk, CLEANING.name, with_what))
        transaction.words = said("put {} to soak", parts)
    return parts


def end_soak(book: Book, codes: Iterable[str], *, clean: bool = True) -> list[Part]:
    """Takes parts out of their soak, degreased with what they soaked in, or not yet clean."""
    with book.change() as transaction:
        parts = each(
            transaction,
            codes,
            lambda part: steps.end_soak(part, transaction.now, transaction.now, clean=clean),
        )
        end = "clean" if clean else "not yet clean"
        transaction.words = said(f"took {{}} out of the soak, {end}", parts)
    return parts


def old_piece_gone(book: Book, codes: Iterable[str], where: OldPiece = "gone") -> list[Part]:
    """Writes down where the old pieces of replaced parts are: thrown out, unless said otherwise."""
    from tagbench.rules.describe.part import OLD_PIECE_WORDS

    with book.change() as transaction:
        parts = each(transaction, codes, lambda part: put_old_piece(part, where))
        transaction.words = said(f"the old piece of {{}} is {OLD_PIECE_WORDS[where]}", parts)
    return parts


def acknowledge_cautions(book: Book, ids: Iterable[str], mark: str) -> Machine:
    """Acknowledges cautions for a machine, so that they are shown shortly from now on."""
    from tagbench.rules.care.cautions import acknowledge

    names = list(ids)
    with book.change(f"acknowledged cautions: {', '.join(names)}") as transaction:
        machine = acknowledge(by_mark(transaction.records, mark), names)
        transaction.put(machine)
    return machine


def show_cautions_again(book: Book, mark: str, ids: Iterable[str] = ()) -> Machine:
    """Shows cautions (all without any) at full length again."""
    from tagbench.rules.care.cautions import show_again

    with book.change("cautions are shown again") as transaction:
        machine = show_again(by_mark(transaction.records, mark), ids)
        transaction.put(machine)
    return machine


def each(
    transaction: Transaction, codes: Iterable[str], change: Callable[[Part], Part]
) -> list[Part]:
    """Changes each part once in the transaction; BadInput when no code was given."""
    wanted = list(dict.fromkeys(codes))
    if not wanted:
        raise BadInput("Choose at least one part first.")
    parts = [change(part_with(transaction.records, code)) for code in wanted]
    for part in parts:
        transaction.put(part)
    return parts


def when_done(transaction: Transaction, on: date | None) -> datetime:
    """The transaction's time, on another day when one is given."""
    if on is None or on == transaction.now.date():
        return transaction.now
    return transaction.now.replace(year=on.year, month=on.month, day=on.day)


def said(words: str, parts: Sequence[Part]) -> str:
    """`words` with one part by name and code, or how many parts."""
    return words.format(named_parts(parts))
