"""Pages that are not tags: the ruler page, and bolt cards."""

from __future__ import annotations

import dataclasses
import tempfile
from collections.abc import Sequence
from pathlib import Path

from labels.boltcard.card import BoltCard, CardHole, holes_in_one_measure
from labels.boltcard.distances import parse_distances, solve_holes
from labels.boltcard.face import DrawnCard, draw_bolt_card
from labels.boltcard.sheets import CardSheets, draw_card_sheets
from labels.output.correction import Correction, correction_from_ruler
from labels.output.cups import choose_printer, print_file
from labels.output.files import write_pages
from labels.output.ruler import ruler_page
from labels.stock.catalogue import find_stock
from labels.stock.geometry import Stock
from labels.stock.sheet import Page, lay_out
from labels.symbols.payload import payload
from tagbench.book.book import Book
from tagbench.book.operations.printing import (
    TO_FILE,
    check_place,
    check_target,
    correction,
    set_correction,
)
from tagbench.book.operations.strip import part_by_code
from tagbench.book.operations.tagging import PLAIN_PAPER, known_stock
from tagbench.records import Part, Tables
from tagbench.rules.bolt_card import card_holes, other_holes, with_rings

CARD_STOCK = "card-120x70"
"""Label stock for bolt cards unless another is named."""


def print_ruler(
    book: Book, stock_name: str, *, target: Path | None = None, printer: str = ""
) -> Stock:
    """Prints the ruler page of a stock, uncorrected, to a file or on a printer."""
    stock = check_place(book, stock_name, target, None)
    _put_out([ruler_page(stock)], stock, Correction(), target, printer, "Ruler page")
    return stock


def measured_ruler(
    book: Book,
    stock_name: str,
    printer: str = TO_FILE,
    *,
    left: float,
    across: float,
    top: float,
    down: float,
) -> Correction:
    """Remembers how a printer is off, from four lengths (mm) measured on its ruler page."""
    stock = find_stock(stock_name, known_stock(book))
    found = correction_from_ruler(
        stock.page_width, stock.page_height, left=left, across=across, top=top, down=down
    )
    set_correction(book, printer, found)
    return found


def holes_by_distance(
    holes: Sequence[CardHole], distances: str
) -> tuple[tuple[CardHole, ...], str]:
    """Holes that were typed by their letters, at the places that their distances give; and how
    well those agree, in words. Raises CardError where the distances do not place them all."""
    found = solve_holes(len(holes), parse_distances(distances, len(holes)))
    placed = tuple(
        dataclasses.replace(hole, at_mm=(round(x, 3), round(y, 3)), clock=None)
        for hole, (x, y) in zip(holes, found.points, strict=True)
    )
    return placed, found.words


def bolt_card(
    tables: Tables,
    part: Part,
    holes: Sequence[CardHole] = (),
    *,
    circle_mm: float | None = None,
    outline_mm: Sequence[tuple[float, float]] = (),
    note: str = "",
    face: str = "",
    mirrored: bool = False,
) -> BoltCard:
    """The bolt card of a part; its holes from the places of its fasteners unless given, their rings
    as large as the screws need."""
    return BoltCard(
        code=part.code,
        holes=with_rings(tuple(holes) or card_holes(part)),
        face=face,
        mirrored=mirrored,
        title=part.name,
        payload=payload(part.code, tables.desk.phone_address or None),
        circle_mm=circle_mm,
        outline_mm=tuple(outline_mm),
        note=note or "; ".join(filter(None, [other_holes(part), part.sits_how])),
    )


def print_bolt_card(
    book: Book,
    card: BoltCard,
    stock_name: str = CARD_STOCK,
    *,
    target: Path | None = None,
    printer: str = "",
    residual: str = "",
) -> DrawnCard | CardSheets:
    """Prints a bolt card to a file or on a printer; raises CardError when it cannot be drawn.

    On plain paper a card whose measure is known is drawn at 1:1, on as many pages as it takes.
    `residual` says how well the distances between its holes agree.
    """
    part_by_code(book.records, card.code)
    stock = check_place(book, stock_name, target, None)
    if stock.name in PLAIN_PAPER and holes_in_one_measure(card).true_size:
        sheets = draw_card_sheets(card, stock, residual)
        put = correction(book.records, printer)
        _put_out(list(sheets.pages), stock, put, target, printer, "Bolt card")
        return sheets
    drawn = draw_bolt_card(card, stock, tuple(known_stock(book).values()))
    alone = dataclasses.replace(stock, rows=1, columns=1) if stock.kind == "sheet" else stock
    pages = list(lay_out([drawn.drawing], alone))
    _put_out(pages, stock, correction(book.records, printer), target, printer, "Bolt card")
    return drawn


def print_page_set(
    book: Book,
    pages: list[Page],
    dots_per_mm: float,
    *,
    target: Path | None = None,
    printer: str = "",
    title: str,
) -> None:
    """Pages of their own size, corrected as the ruler page found, to a file or on a printer."""
    if target is not None:
        check_target(target)
    page = pages[0]
    whole = Stock(
        name=f"page {page.width:g} x {page.height:g} mm",
        kind="sheet",
        page_width=page.width,
        page_height=page.height,
        label_width=page.width,
        label_height=page.height,
        dots_per_mm=dots_per_mm,
    )
    _put_out(pages, whole, correction(book.records, printer), target, printer, title)


def _put_out(
    pages: list[Page],
    stock: Stock,
    corrected: Correction,
    target: Path | None,
    printer: str,
    title: str,
) -> None:
    """Pages to a file, or through a temporary file to a printer."""
    if target is not None:
        write_pages(pages, len(pages), target, stock.dots_per_mm, corrected, title)
        return
    name = choose_printer(printer)
    with tempfile.TemporaryDirectory(prefix="tagbench-") as folder:
        file = Path(folder) / "page.pdf"
        write_pages(pages, len(pages), file, stock.dots_per_mm, corrected, title)
        print_file(file, stock, name)
