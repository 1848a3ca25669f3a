"""Printing tags: to a file or straight to a printer, and only then out of the queue."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from pathlib import Path

from labels.face.artwork import draw_tag
from labels.output.correction import Correction
from labels.output.cups import choose_printer, print_file
from labels.output.files import Printed, write_tags
from labels.output.output_file import check_folder
from labels.progress import Progress
from labels.stock.catalogue import find_stock
from labels.stock.geometry import Stock
from labels.stock.sheet import check_first
from tagbench.book.book import Book
from tagbench.book.operations.tagging import first_label, known_stock, spare_in, tag_of
from tagbench.book.transaction import Transaction
from tagbench.errors import BadInput
from tagbench.records import PrinterFit, Tables, replace
from tagbench.rules.tag_text import tag_text

TO_FILE = ""
"""The name under which the correction for files is kept."""
FILE_ENDINGS = (".pdf", ".png")


def check_place(book: Book, stock_name: str, target: Path | None, first: int | None) -> Stock:
    """The stock, when tags can be printed there; else the reason, before a code is given out."""
    stock = find_stock(stock_name, known_stock(book))
    if first is not None:
        check_first(stock, first)
    if target is not None:
        check_target(target)
    return stock


def check_target(target: Path, endings: Sequence[str] = FILE_ENDINGS) -> None:
    """Refuses a file that cannot be written because of its ending or its folder."""
    if target.suffix.casefold() not in endings:
        raise BadInput(f"“{target}” must end in {' or '.join(endings)}.")
    check_folder(target)


def check_spare(book: Book, count: int, mark: str, stock: Stock, printer: str) -> None:
    """Raises what would stop spare tags from being printed, before their codes are given out."""
    if printer:
        choose_printer(printer)
    rehearsal = Transaction(book.records, book.now(), "would set spare tags aside")
    last = spare_in(rehearsal, count, mark)[-1]
    text = tag_text(rehearsal.records, last.code, book.records.desk.phone_address)
    draw_tag(text, stock, tuple(known_stock(book).values()))


def print_tags(
    book: Book,
    codes: Sequence[str],
    stock_name: str,
    *,
    target: Path | None = None,
    printer: str = "",
    first: int | None = None,
    cut_marks: bool = False,
    progress: Progress | None = None,
    used: bool = True,
) -> Printed:
    """Prints tags to `target` (.pdf or .png), or on `printer` when there is no target.

    `first` is the first free label, counted from 1; None goes on where the last sheet was
    left. The tags leave the queue only when the output is safely written or taken by the
    printer; a file that is not `used` yet leaves queue and sheet as they are, until the person
    says that it was printed. Raises StockError, DoesNotFit, OutputError, PrinterError (labels),
    NotFound and BadInput when there is nothing to print.
    """
    stock = check_place(book, stock_name, target, first)
    tables = book.records
    if not codes:
        raise BadInput("No tag waits to be printed; name codes, or use --all or --spare N.")
    texts = [tag_text(tables, code, tables.desk.phone_address) for code in codes]
    start = first_label(tables, stock) if first is None else first
    others = tuple(known_stock(book).values())

    def write(file: Path, corrected_for: str) -> Printed:
        return write_tags(
            texts,
            stock,
            file,
            first=start,
            correction=correction(tables, corrected_for),
            cut_marks=cut_marks,
            others=others,
            progress=progress,
        )

    if target is not None:
        printed = write(target, TO_FILE)
    else:
        name = choose_printer(printer)
        with tempfile.TemporaryDirectory(prefix="tagbench-") as folder:
            printed = write(Path(folder) / "tags.pdf", name)
            print_file(printed.files[0], stock, name)
    if used or target is None:
        note_printed(book, codes, stock, printed.next_label, printer)
    return printed


def note_printed(
    book: Book, codes: Sequence[str], stock: Stock, next_label: int, printer: str = ""
) -> None:
    """Takes printed tags from the queue and remembers where the sheet was left."""
    with book.change(f"printed {len(codes)} tag{'s' * (len(codes) != 1)}") as transaction:
        desk = transaction.records.desk
        for code in dict.fromkeys(codes):
            tag = tag_of(transaction, code)
            done = replace(tag, queued=None, printed=transaction.now, times=tag.times + 1)
            transaction.put(replace(done, address=desk.phone_address))
        sheets = {**desk.sheets, stock.name: next_label}
        transaction.put(
            replace(desk, sheets=sheets, stock=stock.name, printer=printer or desk.printer)
        )


def correction(tables: Tables, printer: str) -> Correction:
    """The correction measured for a printer; none when it was never measured."""
    fit = tables.desk.printers.get(printer, PrinterFit())
    return Correction(fit.offset_x_mm, fit.offset_y_mm, fit.scale_x, fit.scale_y)


def set_correction(book: Book, printer: str, found: Correction) -> None:
    """Remembers how a printer is off."""
    fit = PrinterFit(
        offset_x_mm=found.shift_x,
        offset_y_mm=found.shift_y,
        scale_x=found.scale_x,
        scale_y=found.scale_y,
    )
    with book.change(f"measured the printer {printer or 'for files'}") as transaction:
        desk = transaction.records.desk
        transaction.put(replace(desk, printers={**desk.printers, printer: fit}))
