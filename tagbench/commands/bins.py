"""`tagbench bins`: bags, boxes, trays, drawers and shelves."""

from __future__ import annotations

import click

from tagbench.book.operations.bins import add_bin, move_bin, rename_bin
from tagbench.commands.base import Workplace, book_command, print_answer, print_json
from tagbench.records import Bin, to_json
from tagbench.rules.bin_contents import inside
from tagbench.rules.bins import kept_in_words, path_words
from tagbench.rules.describe.phrases import plural
from tagbench.rules.new_bins import new_bin_words


@click.group()
def bins() -> None:
    """Bags, boxes, trays, drawers and shelves."""


@bins.command("add")
@click.argument("name")
@click.option("--kind", default="", help="bag, box, tray, drawer, shelf; else read from the name.")
@click.option("--in", "kept_in", default="", help="The bin that holds it.")
@click.option("--note", default="", help="Anything else.")
@book_command
def add(workplace: Workplace, name: str, kind: str, kept_in: str, note: str, as_json: bool) -> None:
    """Add a bin; its tag joins the print queue."""
    show(workplace, add_bin(workplace.book, name, kind, kept_in, note), as_json)


@bins.command("move")
@click.argument("name")
@click.option("--in", "kept_in", default="", help="The bin that holds it from now on.")
@book_command
def move(workplace: Workplace, name: str, kept_in: str, as_json: bool) -> None:
    """Put a bin into another one."""
    before = workplace.book.records.bins
    moved = move_bin(workplace.book, name, kept_in)
    show(workplace, moved, as_json)
    new_bin = new_bin_words(moved.kept_in, before, workplace.book.records.bins)
    if new_bin and not as_json:
        click.echo(f"  Beware: {new_bin}")


@bins.command("rename")
@click.argument("name")
@click.argument("new_name")
@click.option("--note", default=None, help="Anything else.")
@book_command
def rename(workplace: Workplace, name: str, new_name: str, note: str | None, as_json: bool) -> None:
    """Change what is written on a bin; its code stays, so print its tag again."""
    show(workplace, rename_bin(workplace.book, name, new_name, note), as_json)


@bins.command("list")
@book_command
def list_bins(workplace: Workplace, as_json: bool) -> None:
    """List the bins, where each is, and how many parts are in it."""
    tables = workplace.book.records
    if as_json:
        print_json(
            [
                {**to_json(one), "inside": inside_json(workplace, one)}
                for one in tables.bins.values()
            ]
        )
        return
    for one in tables.bins.values():
        held = len(inside(one.code, tables).parts)
        where = kept_in_words(one.kept_in, tables.bins)
        click.echo(f"{one.code}  {one.name:24}  {where}  ({plural(held, 'part')})")
    if not tables.bins:
        click.echo("No bins yet; add one with: tagbench bins add “Box 1”")


def inside_json(workplace: Workplace, one: Bin) -> list[str]:
    """The codes of the parts that lie directly in a bin."""
    return [part.code for part in inside(one.code, workplace.book.records).parts]


def show(workplace: Workplace, one: Bin, as_json: bool) -> None:
    """Prints one bin."""
    print_answer(as_json, one, [f"{one.code}  {path_words(one.code, workplace.book.records.bins)}"])
