"""`tagbench tags`: prints tags."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import click

from labels.stock.sheet import next_label
from tagbench.book import Book
from tagbench.book.operations import printing, tagging
from tagbench.commands.base import Workplace, book_command, print_answer, print_json
from tagbench.commands.chosen import machine_option_with
from tagbench.commands.progress import tag_progress
from tagbench.errors import BadInput
from tagbench.rules.describe.phrases import plural
from tagbench.rules.scan import typed_code


@click.command()
@click.argument("codes", nargs=-1)
@click.option("--queued", is_flag=True, help="The tags that wait to be printed (as without codes).")
@click.option("--all", "every", is_flag=True, help="The tags of all parts and bins.")
@click.option("--spare", type=int, help="N spare tags, printed ahead of stripping.")
@click.option("--stock", default="", help="Label stock by name; else the one used last.")
@click.option("--first", type=int, help="First free label of the sheet; else where it was left.")
@click.option("--cut-marks", is_flag=True, help="Small crosses at the corners of the labels.")
@click.option("-o", "target", type=click.Path(path_type=Path), help="PDF or PNG file to write.")
@click.option("--printer", default="", help="Printer to print on.")
@click.option(
    "--printed", is_flag=True, help="They are on paper, the labels used up; no file: only notes it."
)
@machine_option_with("Machine of the spare tags.")
@click.option("--list", "list_stock", is_flag=True, help="List the label stock instead.")
@book_command
def tags(
    workplace: Workplace,
    codes: tuple[str, ...],
    queued: bool,
    every: bool,
    spare: int | None,
    stock: str,
    first: int | None,
    cut_marks: bool,
    target: Path | None,
    printer: str,
    printed: bool,
    mark: str,
    list_stock: bool,
    as_json: bool,
) -> None:
    """Print tags: those named, those queued, all, or spare ones."""
    if list_stock:
        print_stock(workplace, as_json)
        return
    if sum([bool(codes), queued, every, spare is not None]) > 1:
        raise BadInput("Choose one: codes, --queued, --all or --spare N.")
    if printed and not target and not printer and spare is None:
        note_file(workplace, codes, every, stock, first, as_json)
        return
    if bool(target) == bool(printer):
        raise BadInput("Say where to: -o FILE.pdf (or .png), or --printer NAME.")
    book = workplace.book
    label_stock = printing.check_place(book, stock or book.records.desk.stock, target, first)
    start = tagging.first_label(book.records, label_stock) if first is None else first
    if spare is not None:
        machine = mark.strip().upper()
        printing.check_spare(book, spare, machine, label_stock, printer)
        wanted = [tag.code for tag in tagging.reserve_spare(book, spare, machine)]
    else:
        wanted = wanted_codes(workplace, codes, every)
    with tag_progress(len(wanted)) as progress:
        run = printing.print_tags(
            book,
            wanted,
            stock or book.records.desk.stock,
            target=target,
            printer=printer,
            first=start,
            cut_marks=cut_marks,
            progress=progress,
            used=printed or not target,
        )
    labels = Labels(label_stock.name, start, printed or not target)
    later = "" if labels.used else command_to_note(book, wanted, every, stock, start)
    tell(run, wanted, labels, printer, later, as_json)


def command_to_note(book: Book, codes: list[str], every: bool, stock_name: str, start: int) -> str:
    """The command that says that just these tags are on paper, on just these labels."""
    known = printing.check_place(book, stock_name or book.records.desk.stock, None, None)
    words = ["tagbench tags --printed"]
    if stock_name and stock_name != book.records.desk.stock:
        words.append(f"--stock {stock_name}")
    if start != tagging.first_label(book.records, known):
        words.append(f"--first {start}")
    if every:
        words.append("--all")
    elif codes != [tag.code for tag in tagging.queued(book.records)]:
        words += codes
    return " ".join(words)


def note_file(
    workplace: Workplace,
    codes: tuple[str, ...],
    every: bool,
    stock_name: str,
    first: int | None,
    as_json: bool,
) -> None:
    """Notes that tags of an earlier file are on paper now; prints nothing."""
    book = workplace.book
    stock = printing.check_place(book, stock_name or book.records.desk.stock, None, first)
    wanted = wanted_codes(workplace, codes, every)
    if not wanted:
        raise BadInput("No tag waits to be printed; name the codes that are on paper.")
    start = tagging.first_label(book.records, stock) if first is None else first
    after = next_label(stock, start, len(wanted))
    printing.note_printed(book, wanted, stock, after)
    print_answer(
        as_json,
        {"stock": stock.name, "first_label": start, "next_label": after, "codes": wanted},
        [
            f"{plural(len(wanted), 'tag')} noted as printed; the next free label of {stock.name} "
            f"is {after}."
        ],
    )


@dataclass(frozen=True)
class Labels:
    """The labels that a run lies on."""

    stock: str
    """Name of the label stock."""
    first: int
    """The run's first label, counted from 1."""
    used: bool
    """Whether they are used up; those of a file are free until it is printed."""


def wanted_codes(workplace: Workplace, codes: tuple[str, ...], every: bool) -> list[str]:
    """The codes to print, in order."""
    book = workplace.book
    if every:
        return tagging.codes_to_print(book.records)
    if codes:
        return [typed_code(book.records, code) for code in codes]
    return [tag.code for tag in tagging.queued(book.records)]


def tell(
    printed: Any, codes: list[str], labels: Labels, printer: str, later: str, as_json: bool
) -> None:
    """Says what was printed, at what size, and what did not fit; `later` notes a file's tags."""
    files = [str(file) for file in printed.files]
    cuts = [{"code": cut.code, "line": cut.cut.name, "text": cut.cut.text} for cut in printed.cuts]
    if as_json:
        print_json(
            {
                "file": files[0] if files else "",
                "files": files,
                "printer": printer,
                "pages": printed.pages,
                "tags": printed.tags,
                "module_mm": round(printed.module_mm, 4),
                "level": printed.level,
                "stock": labels.stock,
                "first_label": labels.first,
                "next_label": printed.next_label,
                "used": labels.used,
                "codes": codes,
                "cut": cuts,
                "undrawable": list(printed.undrawable),
                "advice": list(printed.advice),
            }
        )
        return
    where = f"sent to {printer}" if printer else ", ".join(files)
    click.echo(
        f"{plural(printed.tags, 'tag')} on {plural(printed.pages, 'page')}: {where} "
        f"(modules {printed.module_mm:.2f} mm, level {printed.level})"
    )
    click.echo(
        f"On {labels.stock}, from label {labels.first}; the next free label is then "
        f"{printed.next_label}."
    )
    if not labels.used:
        click.echo(f"No label is used up yet. Once they are on paper: {later}")
    for cut in cuts:
        click.echo(f"  cut on {cut['code']}: {cut['line']}: {cut['text']}")
    if printed.undrawable:
        click.echo(f"  no typeface has: {' '.join(printed.undrawable)}")
    for sentence in printed.advice:
        click.echo(f"  {sentence}")
    click.echo("Print at 100 %, without “fit to page”.")


def print_stock(workplace: Workplace, as_json: bool) -> None:
    """Lists the label stock with its figures and the first free label of the sheet in use."""
    book = workplace.book
    rows = [
        {
            "name": stock.name,
            "label_width_mm": stock.label_width,
            "label_height_mm": stock.label_height,
            "labels_per_page": stock.labels_per_page,
            "first_free": tagging.first_label(book.records, stock),
        }
        for stock in tagging.known_stock(book).values()
    ]
    print_answer(
        as_json,
        rows,
        (
            f"{row['name']:24} {row['label_width_mm']:g} × {row['label_height_mm']:g} mm, "
            f"{row['labels_per_page']} a page, first free label {row['first_free']}"
            for row in rows
        ),
    )
