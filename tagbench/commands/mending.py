"""`tagbench check`, `undo`, `redo` and `backups`: setting right what went wrong."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from tagbench.commands.base import Workplace, book_command, print_answer, print_json
from tagbench.commands.chosen import key_meant
from tagbench.commands.named_book import book_there
from tagbench.errors import BadInput, Refused
from tagbench.records import Change
from tagbench.rules.describe.phrases import first_few, moment, plural

if TYPE_CHECKING:
    from tagbench.book import Book

NAMED = 8
"""How many records are named before it only says how many more."""


@click.command()
@click.option("--mend", is_flag=True, help="Mend the book from its newest good backup.")
@click.option(
    "--join",
    "other",
    type=click.Path(path_type=Path, file_okay=False),
    help="Take in what another copy of this book knows: the folder of that copy.",
)
@click.option(
    "--take",
    multiple=True,
    metavar="CODE=this|other",
    help="With --join: which copy is right about a record that both changed.",
)
@book_command
@click.pass_context
def check(
    ctx: click.Context,
    workplace: Workplace,
    mend: bool,
    other: Path | None,
    take: tuple[str, ...],
    as_json: bool,
) -> None:
    """Verify the book; put it right from its backups and history, or join it with another copy."""
    from tagbench.book.check import check_book, mend_book

    if other is not None:
        join(workplace, other, take, as_json)
        return
    if take:
        raise BadInput("--take goes with --join.")
    report = mend_book(workplace.folder) if mend else check_book(workplace.folder)
    print_answer(
        as_json,
        report.to_json(),
        [
            *(f"mended: {line}" for line in report.mended),
            *(f"problem: {line}" for line in report.problems),
            *(f"note: {line}" for line in report.notes),
            "The book is sound." if report.ok else "The book needs a look, see above.",
        ],
    )
    ctx.exit(0 if report.ok and not report.lost else 1)


def join(workplace: Workplace, folder: Path, take: tuple[str, ...], as_json: bool) -> None:
    """Joins the book with another copy and says what came of it."""
    from tagbench.book.joining import Conflict, Side, join_copies

    sides: dict[str, Side] = {}
    for text in take:
        key, _, side = (piece.strip() for piece in text.partition("="))
        if side not in ("this", "other"):
            raise BadInput(
                f"“{text}” does not say which copy: type {key or 'CODE'}=this or =other."
            )
        sides[key_meant(key, workplace.book.records)] = "this" if side == "this" else "other"

    def choose(conflict: Conflict) -> Side | None:
        return sides.get(conflict.key.upper())

    joined = join_copies(workplace.book, book_there(folder), choose)
    if as_json:
        print_json(vars(joined))
        return
    click.echo(f"The copies parted after change {joined.parted_after}.")
    for keys, what in (
        (joined.taken, "came from the other copy"),
        (joined.merged, "had changes of both in different fields, now together"),
        (joined.chosen, "as you said"),
    ):
        if keys:
            click.echo(f"{plural(len(keys), 'record')} {what}: {first_few(keys, NAMED)}.")
    for old, new in joined.renamed.items():
        click.echo(
            f"{old} was given out twice; the other copy's one is now {new}: give it a new tag."
        )
    if joined.photos:
        click.echo(f"{plural(len(joined.photos), 'picture')} copied.")


@click.command()
@click.argument("number", type=click.IntRange(min=1), default=None, required=False)
@click.option("--with-later", is_flag=True, help="Take back too what hangs on it, newest first.")
@book_command
def undo(workplace: Workplace, number: int | None, with_later: bool, as_json: bool) -> None:
    """Take back the last change, or the one with that number in the history."""
    if with_later and number is None:
        raise BadInput("--with-later goes with the number of a change; history shows the numbers.")
    book = workplace.book
    changes = book.undo_with_later(number) if with_later and number else [book.undo(number or 0)]
    _tell(changes, "took back", as_json, single=not with_later)


@click.command()
@book_command
def redo(workplace: Workplace, as_json: bool) -> None:
    """Put back what the last undo took."""
    _tell([workplace.book.redo()], "put back", as_json, single=True)


def _tell(changes: list[Change], verb: str, as_json: bool, single: bool) -> None:
    print_answer(
        as_json,
        changes[0] if single else changes,
        (f"{verb}: {change.words}" for change in changes),
    )


@click.command()
@click.argument("name", default="")
@click.option("--take", metavar="CODE", default="", help="Take back this part or bin, or “all”.")
@click.option("--from", "source", default="", metavar="NAME", help="Out of which backup or file.")
@book_command
def backups(workplace: Workplace, name: str, take: str, source: str, as_json: bool) -> None:
    """The copies of the book: what differs in each, and taking something back from one.

    NAME, or a part of it, shows what was then and what is now. To look around in a copy, name its
    file with --book.
    """
    from tagbench.book.copies import (
        copies,
        find_copy,
        read_copy,
        take_all_back,
        take_part_back,
    )

    book = workplace.book
    if bool(take) != bool(source):
        raise BadInput("Say both: backups --take CODE --from NAME; backups alone lists the names.")
    if take:
        path = find_copy(book, source)
        if take.strip().casefold() == "all":
            count = take_all_back(book, path)
            said: Any = {"records": count, "from": path.name}
            words = f"{plural(count, 'record')} taken back from {path.name}; undo takes that back."
        else:
            code = key_meant(take, read_copy(path).tables, book.records)
            said = take_part_back(book, path, code)
            words = f"{code} taken back from {path.name}; undo takes that back."
        print_answer(as_json, said, [words])
        return
    if name:
        show_differences(book, find_copy(book, name), as_json)
        return
    found = copies(book)
    if as_json:
        print_json(
            [
                {
                    "name": copy.name,
                    "revision": copy.revision,
                    "at": copy.at.isoformat(),
                    "readable": copy.readable,
                    "differs": list(copy.differs),
                }
                for copy in found
            ]
        )
        return
    for copy in found:
        if not copy.readable:
            what = "cannot be read whole"
        elif copy.differs:
            what = f"{plural(len(copy.differs), 'record differs', 'records differ')}: "
            what += first_few(copy.differs, NAMED)
        else:
            what = "as the book is now"
        click.echo(f"{copy.name}  {moment(copy.at)}  {what}")
    if not found:
        raise Refused("There is no backup yet; the first one is made with the second change.")


def show_differences(book: Book, path: Path, as_json: bool) -> None:
    """Prints the records that differ in a copy, with what was said of them then and now."""
    from tagbench.book.copies import differing
    from tagbench.rules.describe.difference import then_and_now

    tables, found = differing(book, path)
    if as_json:
        print_json(
            [
                {"table": one.table, "key": one.key, "then": one.before, "now": one.now}
                for one in found
            ]
        )
        return
    for one in found:
        click.echo(f"{one.key}  {one.name}  {one.how}")
        if one.how == "changed":
            for label, then, now in then_and_now(one, tables, book.records, book.now()):
                click.echo(f"    {label}: {then} → {now}")
    if not found:
        click.echo(f"{path.name}: as the book is now.")
