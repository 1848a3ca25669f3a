"""Phones: pairing one, naming it, forgetting it, and where the phone page answers."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

from tagbench.book.book import Book
from tagbench.errors import BadInput, NotFound, Refused
from tagbench.records import Desk, Phone, Tables, replace

MOST = 24
"""Phones paired with one book."""
NAME_LENGTH = 40


def pair(book: Book, name: str, token_hash: str) -> Phone:
    """Adds a phone; a name that is taken gets a number. Raises Refused when there are too many."""
    with book.change(f"paired a phone: {name}") as transaction:
        phones = transaction.records.phones
        if len(phones) >= MOST:
            raise Refused(f"{MOST} phones are paired already: take one away first.")
        phone = Phone(
            id=transaction.new_id("phones"),
            name=_free_name(spell_name(name), {phone.name for phone in phones.values()}),
            token_hash=token_hash,
            paired=transaction.now,
            seen=transaction.now,
        )
        transaction.put(phone)
        transaction.words = f"paired a phone: {phone.name}"
        return phone


def spell_name(text: str) -> str:
    """A phone's name as it is kept: one line, printable, not too long; `phone` for nothing."""
    plain = "".join(character if character.isprintable() else " " for character in text)
    return " ".join(plain.split())[:NAME_LENGTH].strip() or "phone"


def _free_name(name: str, taken: set[str]) -> str:
    numbered = (f"{name} {number}" for number in range(2, len(taken) + 3))
    return name if name not in taken else next(other for other in numbered if other not in taken)


def rename(book: Book, number: int, name: str) -> Phone:
    """Gives a phone another name; raises BadInput when it is taken."""
    with book.change(f"renamed a phone: {name}") as transaction:
        phone = paired(transaction.records, number)
        name = spell_name(name)
        others = {other.name for other in transaction.records.phones.values() if other.id != number}
        if name in others:
            raise BadInput(f"Another phone is called {name} already; choose another name.")
        transaction.put(replace(phone, name=name))
        transaction.words = f"renamed a phone: {phone.name} to {name}"
        return replace(phone, name=name)


def forget(book: Book, number: int) -> Phone:
    """Takes a phone away: it sees nothing from now on. Returns its record as it was."""
    with book.change("took a phone away") as transaction:
        phone = paired(transaction.records, number)
        transaction.drop(phone)
        transaction.words = f"took a phone away: {phone.name}"
        return phone


def were_here(book: Book, seen: Mapping[int, datetime], apart: timedelta) -> None:
    """Writes down when phones were last seen, where that is news by more than `apart`."""
    if not _news(book.records, seen, apart):
        return
    with book.change("phones were here") as transaction:
        news = _news(transaction.records, seen, apart)
        for phone in news:
            transaction.put(replace(phone, seen=seen[phone.id]))
        transaction.words = (
            f"here with a phone: {', '.join(phone.name for phone in news) or 'nobody'}"
        )


def _news(tables: Tables, seen: Mapping[int, datetime], apart: timedelta) -> list[Phone]:
    return [
        phone
        for phone in tables.phones.values()
        if phone.id in seen and (phone.seen is None or seen[phone.id] - phone.seen > apart)
    ]


def answer_at(book: Book, host: str, port: int, address: str) -> Desk:
    """Remembers where the phone page answers and the address that tags are printed with."""
    wanted = {"phone_host": host, "phone_port": port, "phone_address": address}
    desk = book.records.desk
    if all(getattr(desk, name) == value for name, value in wanted.items()):
        return desk
    with book.change(f"phone page at {address or 'this computer only'}") as transaction:
        desk = replace(transaction.records.desk, **wanted)
        transaction.put(desk)
        return desk


def paired(tables: Tables, number: int) -> Phone:
    """The phone with that number; raises NotFound."""
    phone = tables.phones.get(str(number))
    if phone is None:
        raise NotFound(f"No phone has the number {number}; list the phones to see theirs.")
    return phone
