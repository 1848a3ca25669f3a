"""A sheet as plain lines of text."""

from __future__ import annotations

from collections.abc import Iterator
from functools import singledispatch

from tagbench.reports.paper.blocks import (
    Block,
    Care,
    Entry,
    FactBlock,
    Flags,
    Heading,
    Line,
    Order,
    OrderCard,
    Sheet,
    Table,
    WholePage,
)

WIDTH = 12
"""Characters for the label of a fact."""
BOX = "[ ] "


def plain_lines(sheet: Sheet) -> Iterator[str]:
    """The sheet from the top down."""
    yield f"{sheet.title}, {sheet.about}" if sheet.about else sheet.title
    for block in sheet.blocks:
        yield from _block_lines(block)


@singledispatch
def _block_lines(_block: Block) -> Iterator[str]:
    """A page's end is nothing in plain text."""
    return iter(())


@_block_lines.register
def _heading(block: Heading) -> Iterator[str]:
    yield from ["", block.text, "=" * len(block.text)]


@_block_lines.register
def _line(block: Line) -> Iterator[str]:
    yield f"{BOX if block.tick else ''}{block.text}"


@_block_lines.register
def _care(block: Care) -> Iterator[str]:
    yield from ["", *block.lines]


@_block_lines.register
def _whole_page(block: WholePage) -> Iterator[str]:
    yield from _entry_lines(block.entry)
    if block.table:
        yield from _table_lines(block.table)


@_block_lines.register
def _order(block: Order) -> Iterator[str]:
    names = {card.number: f"{card.name} {card.code}" for card in block.cards}
    for card in block.cards:
        yield from _card_lines(card, names)


@_block_lines.register
def _flags(block: Flags) -> Iterator[str]:
    yield from (f"{code}  {name}" for code, name in block.items)


@_block_lines.register
def _fact_lines(fact: FactBlock) -> Iterator[str]:
    for at, line in enumerate(fact.lines):
        label = fact.label if at == 0 else ""
        yield f"  {label:{WIDTH}}{BOX if fact.tick else ''}{line}"


@_block_lines.register
def _table_lines(table: Table) -> Iterator[str]:
    for row in table.rows:
        cells = [" ".join(cell.split()) for cell in row]
        yield f"{BOX if table.tick else ''}{'  '.join(cell for cell in cells if cell)}"


@_block_lines.register
def _entry_lines(entry: Entry) -> Iterator[str]:
    box = BOX if entry.tick else ""
    yield ""
    yield f"{box}{entry.number + ' ' if entry.number else ''}{entry.code}  {entry.name}".rstrip()
    for fact in entry.facts:
        yield from _fact_lines(fact)
    if entry.held:
        yield f"  {'held up':{WIDTH}}{entry.held}"


def _card_lines(card: OrderCard, names: dict[int, str]) -> Iterator[str]:
    yield ""
    yield f"{BOX}{card.number}. {card.code}  {card.name}"
    yield from (f"    {line}" for line in card.words)
    yield from (f"    covers {names[one]}" for one in card.covers if one in names)
