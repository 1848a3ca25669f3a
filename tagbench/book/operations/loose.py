"""What is found on the bench and belongs nowhere yet: written down, explained."""

from __future__ import annotations

from tagbench.book.book import Book
from tagbench.book.operations.machines import chosen_or_made
from tagbench.book.operations.strip import part_by_code
from tagbench.errors import BadInput, NotFound, Refused
from tagbench.records import LooseItem, Part, Tables, replace
from tagbench.rules.count.fastener_lines import FastenerLine
from tagbench.rules.count.loose_items import put_to_line, read_found
from tagbench.rules.describe.phrases import named


def write_down(book: Book, text: str, mark: str = "") -> LooseItem:
    """Writes down what was found: `M6 bolt 20 long, bench floor`, the place after the comma."""
    with book.change() as transaction:
        machine = chosen_or_made(transaction, mark)
        what, where, fastener = read_found(text)
        item = LooseItem(
            id=transaction.new_id("loose"),
            machine=machine.mark,
            what=what,
            where=where,
            fastener=fastener,
            found=transaction.now,
        )
        transaction.put(item)
        transaction.words = f"found {what}" + (f", {where}" if where else "")
        return item


def explain(book: Book, number: int, why: str) -> LooseItem:
    """Says where a found item belongs, or why it does not matter."""
    if not why.strip():
        raise BadInput("Say in a word or two where it belongs.")
    with book.change() as transaction:
        item = replace(item_by_number(transaction.records, number), explained=" ".join(why.split()))
        transaction.put(item)
        transaction.words = f"explained {item.what}: {item.explained}"
        return item


def belongs_to(book: Book, number: int, code: str, line: int) -> tuple[LooseItem, Part]:
    """Puts a found fastener to the line of a part that is short of one; it is in the bag again."""
    with book.change() as transaction:
        item = item_by_number(transaction.records, number)
        if item.explained:
            raise Refused(f"{item.what} is explained already: {item.explained}.")
        part = put_to_line(part_by_code(transaction.records, code), line)
        item = replace(item, explained=f"of {part.said} {code}, line {line}")
        transaction.put(part)
        transaction.put(item)
        transaction.words = f"{item.what} belongs to {named(part)}"
        return item, part


def refuse_not_short(line: FastenerLine) -> None:
    """Raises Refused for a line that is short of none, before anything is written down."""
    put_to_line(line.part, line.number)


def item_by_number(tables: Tables, number: int) -> LooseItem:
    """The found item with that number; NotFound names those there are."""
    item = tables.loose.get(str(number))
    if item is None:
        there = ", ".join(tables.loose) or "none"
        raise NotFound(f"Nothing found has the number {number}; there is {there}.")
    return item
