"""`tagbench report` and `export`: the book on paper and in files for other programs."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Literal

import click

from labels.progress import Progress
from tagbench.book.operations.desk import set_paper
from tagbench.commands.base import Workplace, book_command, print_answer, print_json
from tagbench.commands.chosen import machine_meant, machine_option, machine_option_with
from tagbench.errors import BadInput
from tagbench.reports.kinds import (
    FORMS,
    KINDS,
    PICTURED,
    check_about,
    report_text,
    write_report,
)
from tagbench.reports.request import ReportRequest, no_progress
from tagbench.rules.book_paper import PAPERS, book_paper
from tagbench.trade.quantities.typed import parse_length

WORTH_A_BAR = 400
"""Parts; shorter reports are done before a bar could be read."""


HELP = """Write a report; without -o as text on the screen.

ABOUT names what it is about, where a report can be about less than the machine: codes of parts
for part, inserts and flags, bins for contents and inserts, assemblies for order.

\b
KIND is one of:
""" + "\n".join(f"  {name:10}{kind.says}" for name, kind in KINDS.items())


@click.command(help=HELP)
@click.argument("kind", type=click.Choice(list(KINDS)), metavar="KIND")
@click.argument("about", nargs=-1)
@click.option(
    "-o",
    "target",
    type=click.Path(path_type=Path, dir_okay=False),
    help="File: .pdf .html .txt .csv",
)
@click.option("--photos", is_flag=True, help="Put the photos into the page.")
@click.option("--steps", type=click.IntRange(min=1), help="Only the first N steps.")
@click.option(
    "--paper", type=click.Choice(PAPERS), help="Paper of the pages; remembered for the book."
)
@click.option("--around", default="", help="Thickness of wire or hose that flags fold round.")
@machine_option
@book_command
def report(
    workplace: Workplace,
    kind: str,
    about: tuple[str, ...],
    target: Path | None,
    photos: bool,
    steps: int | None,
    paper: Literal["a4", "letter"] | None,
    around: str,
    mark: str,
    as_json: bool,
) -> None:
    """Writes a report, or prints it as text."""
    book = workplace.book
    check_target(target, photos)
    check_about(kind, about)
    machine = machine_meant(book.records, mark)
    worth_a_bar = photos or len(book.records.parts) >= WORTH_A_BAR
    with progress(len(book.records.parts), shown=worth_a_bar) as told:
        request = ReportRequest(
            tables=book.records,
            machine=machine,
            printed=book.now(),
            photos=book.photos if photos else None,
            address=book.records.desk.phone_address,
            steps=steps,
            progress=told,
            about=about,
            paper=paper or book_paper(book.records.desk),
            around_mm=parse_length(around, "mm").number("mm") if around else 5.0,
        )
        text = "" if target else report_text(kind, ".txt", request)
        if target:
            write_report(kind, target, request)
    if paper is not None:
        set_paper(book, paper)
    if as_json:
        told_of = {"file": str(target)} if target else {"text": text}
        print_json({**told_of, "kind": kind, "machine": machine.mark})
    elif target is None:
        click.echo(text, nl=False)
    else:
        click.echo(f"The {kind} report is in {target}.")


@click.command()
@click.option(
    "-o",
    "target",
    required=True,
    type=click.Path(path_type=Path, dir_okay=False),
    help="File: .csv for the parts, in the columns that import reads; .json for everything.",
)
@machine_option_with("Only the parts of this machine (CSV).")
@book_command
def export(workplace: Workplace, target: Path, mark: str, as_json: bool) -> None:
    """Write the parts as CSV, or the whole book as JSON, for other programs."""
    from tagbench.book.csv import writer

    book = workplace.book
    if target.suffix.casefold() == ".csv":
        marked = machine_meant(book.records, mark).mark if mark else ""
        writer.write_parts(target, book.records, book.photos, marked)
    elif target.suffix.casefold() == ".json":
        writer.write_json(target, book.records, book.revision)
    else:
        raise BadInput(f"End the file name with .csv or .json; {target.name} does not say which.")
    print_answer(
        as_json,
        {"file": str(target), "parts": len(book.records.parts)},
        [f"The book is in {target}."],
    )


def check_target(target: Path | None, photos: bool) -> None:
    """Refuses a file that cannot be written in any form, before the work is done."""
    if target is not None and target.suffix.casefold() not in FORMS:
        raise BadInput(f"End the file name with {', '.join(FORMS)}; {target.name} does not.")
    if photos and (target is None or target.suffix.casefold() not in PICTURED):
        raise BadInput(
            f"Photos go only into a page: give a file name that ends with {' or '.join(PICTURED)}."
        )


@contextmanager
def progress(parts: int, *, shown: bool) -> Iterator[Progress]:
    """A bar on stderr for a long report, where somebody can see it."""
    if not shown or not sys.stderr.isatty():
        yield no_progress
        return
    with click.progressbar(length=parts, label="Writing the report", file=sys.stderr) as bar:

        def told(done: int, total: int) -> None:
            bar.length = total
            bar.update(done - bar.pos)

        yield told
