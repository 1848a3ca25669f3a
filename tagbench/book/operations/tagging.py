"""Tags: the print queue, spare tags printed ahead, the label stock and its half-used sheets."""

from __future__ import annotations

from collections.abc import Iterable

import platformdirs

from labels.stock.catalogue import find_stock, load_stock, whole_page
from labels.stock.geometry import Stock
from labels.stock.sheet import check_first
from tagbench.book.book import Book
from tagbench.book.operations.machines import chosen_or_made
from tagbench.book.transaction import Transaction
from tagbench.errors import BadInput, NotFound
from tagbench.records import Tables, Tag, replace

STOCK_FILE = "stock.toml"
PLAIN_PAPER = ("a4", "letter")
"""Plain sheets, each one label: for drawings at 1:1, and for a tag as large as a page."""
MOST_SPARE = 500


def known_stock(book: Book) -> dict[str, Stock]:
    """All stock by name: plain paper, the shipped labels, then the user's own from config and book
    folder."""
    places = (platformdirs.user_config_path("tagbench"), book.folder)
    own = [place / STOCK_FILE for place in places if (place / STOCK_FILE).is_file()]
    return load_stock(own) | {name: whole_page(name) for name in PLAIN_PAPER}


def queued(tables: Tables) -> list[Tag]:
    """The tags that wait to be printed, in the order in which they were queued."""
    waiting = [(tag.queued, tag.code, tag) for tag in tables.tags.values() if tag.queued]
    return [tag for _, _, tag in sorted(waiting, key=lambda one: one[:2])]


def codes_to_print(tables: Tables) -> list[str]:
    """The codes of all parts in removal order, then of all bins."""
    parts = sorted(tables.parts.values(), key=lambda part: (part.machine, part.order, part.code))
    return [part.code for part in parts] + sorted(tables.bins)


def queue(book: Book, codes: Iterable[str]) -> list[Tag]:
    """Puts tags into the print queue (again)."""
    return _mark_queued(book, list(codes), "queued the tags", queue_them=True)


def unqueue(book: Book, codes: Iterable[str]) -> list[Tag]:
    """Takes tags out of the print queue without printing them."""
    return _mark_queued(book, list(codes), "took out of the print queue", queue_them=False)


def _mark_queued(book: Book, codes: list[str], words: str, *, queue_them: bool) -> list[Tag]:
    with book.change(f"{words} {', '.join(codes)}") as transaction:
        tags = [tag_of(transaction, code) for code in codes]
        after = [replace(tag, queued=transaction.now if queue_them else None) for tag in tags]
        for tag in after:
            transaction.put(tag)
        return after


def tag_of(transaction: Transaction, code: str) -> Tag:
    """The tag with that code; raises NotFound when it was never given out or taken away."""
    tag = transaction.records.tags.get(code)
    if tag is None or tag.kind == "gone":
        raise NotFound(f"No tag of this book carries {code}.")
    return tag


def reserve_spare(book: Book, count: int, mark: str = "") -> list[Tag]:
    """Gives out codes for tags printed ahead of the strip, and queues them."""
    with book.change(f"set aside {count} spare tag{'s' * (count != 1)}") as transaction:
        return spare_in(transaction, count, mark)


def spare_in(transaction: Transaction, count: int, mark: str = "") -> list[Tag]:
    """As `reserve_spare`, inside a change already begun."""
    if not 1 <= count <= MOST_SPARE:
        raise BadInput(f"Ask for 1 to {MOST_SPARE} spare tags at a time, not {count}.")
    machine = chosen_or_made(transaction, mark)
    tags = []
    for _ in range(count):
        code = transaction.new_code(machine.mark)
        tags.append(replace(transaction.records.tags[code], kind="spare", queued=transaction.now))
        transaction.put(tags[-1])
    return tags


def set_sheet(book: Book, stock_name: str, first: int) -> None:
    """Says which label of the half-used sheet is the first free one."""
    stock = find_stock(stock_name, known_stock(book))
    check_first(stock, first)
    with book.change(f"{stock.name}: first free label is {first}") as transaction:
        desk = transaction.records.desk
        transaction.put(replace(desk, stock=stock.name, sheets={**desk.sheets, stock.name: first}))


def first_label(tables: Tables, stock: Stock) -> int:
    """The first free label of the sheet in use, 1 for a fresh one."""
    remembered = tables.desk.sheets.get(stock.name, 1)
    return remembered if 1 <= remembered <= stock.labels_per_page else 1
