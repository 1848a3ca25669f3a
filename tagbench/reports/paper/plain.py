"""A sheet as plain lines of text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
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

LABEL = 16
"""Characters for the label of a fact."""
WIDTH = 78
"""Characters that the columns of a table may be wide together."""
JOINED = 8
"""So wide a first column may be to stand before the second in one line."""
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
        yield f"  {label:{LABEL}}{BOX if fact.tick else ''}{line}"


@_block_lines.register
def _table_lines(table: Table) -> Iterator[str]:
    """Columns under their heads; where they are too wide, cell under cell with its head."""
    columns = zip(table.head, *table.rows, strict=True)
    widths = [max(map(len, column)) for column in columns]
    box = BOX if table.tick else ""
    if any("\n" in cell for row in table.rows for cell in row) or sum(widths) > WIDTH:
        for row in table.rows:
            yield from _cell_lines(table.head, row, box, joined=widths[0] <= JOINED)
        return
    if any(table.head):
        yield f"{' ' * len(box)}{_in_columns(table, table.head, widths)}"
    for row in table.rows:
        yield f"{box}{_in_columns(table, row, widths)}"


def _in_columns(table: Table, row: Sequence[str], widths: Sequence[int]) -> str:
    cells = (
        f"{cell:>{width}}" if column in table.right else f"{cell:{width}}"
        for column, (cell, width) in enumerate(zip(row, widths, strict=True))
    )
    return "  ".join(cells).rstrip()


def _cell_lines(
    head: Sequence[str], row: Sequence[str], box: str, *, joined: bool
) -> Iterator[str]:
    """`joined`: a short first cell (`2 ×`, `done`) stands before the second."""
    first, *rest = (" ".join(filter(None, row[:2])) if joined else row[0]).splitlines()
    yield f"{box}{first}"
    yield from (f"      {line}" for line in rest)
    begin = 2 if joined else 1
    for label, cell in zip(head[begin:], row[begin:], strict=True):
        if cell.strip("_"):
            lines = cell.splitlines()
            yield f"      {f'{label}: ' if label else ''}{lines[0]}"
            yield from (f"        {line}" for line in lines[1:])


@_block_lines.register
def _entry_lines(entry: Entry) -> Iterator[str]:
    box = BOX if entry.tick else ""
    yield ""
    yield f"{box}{f'{entry.number}. ' if entry.number else ''}{entry.code}  {entry.name}".rstrip()
    for fact in entry.facts:
        yield from _fact_lines(fact)
    if entry.held:
        yield f"  {'held up':{LABEL}}{entry.held}"


def _card_lines(card: OrderCard, names: dict[int, str]) -> Iterator[str]:
    yield ""
    yield f"{BOX}{card.number}. {card.code}  {card.name}"
    yield from (f"    {line}" for line in card.words)
    yield from (f"    covers {names[one]}" for one in card.covers if one in names)
