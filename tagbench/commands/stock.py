"""`tagbench stock`: what is in the drawer, and what the rebuild still wants of it."""

from __future__ import annotations

from typing import Any

import click

from tagbench.book.operations.stock import count_stock, drop_stock, move_stock
from tagbench.commands.base import Workplace, book_command, print_answer, print_json
from tagbench.commands.chosen import machine_meant, machine_option_with
from tagbench.records import StockItem
from tagbench.rules.buying.single_use import Needed, needed


@click.group(invoke_without_command=True)
@machine_option_with("Mark of the machine; else all machines.")
@book_command
@click.pass_context
def stock(ctx: click.Context, workplace: Workplace, mark: str, as_json: bool) -> None:
    """What is in the drawer, and what the rebuild still wants of single-use items."""
    if ctx.invoked_subcommand is not None:
        return
    tables = workplace.book.records
    rows = needed(tables, machine_meant(tables, mark).mark if mark else "")
    if as_json:
        items = list(tables.stock.values())
        print_json({"stock": items, "single_use": [needed_json(row) for row in rows]})
        return
    for item in tables.stock.values():
        click.echo(f"{item.quantity:>4} × {item.what}")
    for row in rows:
        click.echo(
            f"{row.quantity:>4} × {row.what} wanted: {row.in_stock} here, "
            f"{row.on_order} on order, {row.to_buy} to buy"
        )
    if not tables.stock and not rows:
        click.echo("The drawer is empty; fill it with: stock set “cotter pin 3.2x32” 20")


def needed_json(row: Needed) -> dict[str, Any]:
    """A single-use item with what is to be bought."""
    return {
        "what": row.what,
        "quantity": row.quantity,
        "in_stock": row.in_stock,
        "on_order": row.on_order,
        "to_buy": row.to_buy,
        "parts": list(row.parts),
    }


@stock.command("set")
@click.argument("what")
@click.argument("quantity", type=int)
@click.option("--note", help="Anything else.")
@book_command
def set_stock(
    workplace: Workplace, what: str, quantity: int, note: str | None, as_json: bool
) -> None:
    """Say how many of WHAT there are."""
    show_item(count_stock(workplace.book, what, quantity, note), as_json)


@stock.command("add")
@click.argument("what")
@click.argument("quantity", type=click.IntRange(min=1))
@book_command
def add_stock(workplace: Workplace, what: str, quantity: int, as_json: bool) -> None:
    """Put more of WHAT in."""
    show_item(move_stock(workplace.book, what, quantity), as_json)


@stock.command("take")
@click.argument("what")
@click.argument("quantity", type=click.IntRange(min=1))
@book_command
def take_stock(workplace: Workplace, what: str, quantity: int, as_json: bool) -> None:
    """Take some of WHAT out."""
    show_item(move_stock(workplace.book, what, -quantity), as_json)


@stock.command("drop")
@click.argument("what")
@book_command
def drop_stock_command(workplace: Workplace, what: str, as_json: bool) -> None:
    """Take WHAT off the list."""
    show_item(drop_stock(workplace.book, what), as_json)


def show_item(item: StockItem, as_json: bool) -> None:
    """Prints a stock line."""
    print_answer(as_json, item, [f"{item.quantity:>4} × {item.what}"])
