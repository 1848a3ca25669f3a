"""`tagbench wants`: what is to be bought, ordered, late, here."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from tagbench.book.operations import buying, wanting
from tagbench.book.operations.wanting import WantForm
from tagbench.book.outside import write_file
from tagbench.commands.base import (
    Workplace,
    book_command,
    json_option,
    pass_workplace,
    print_answer,
    print_json,
)
from tagbench.commands.chosen import codes_meant, machine_meant, machine_option
from tagbench.commands.want_text import shop_json, show_wants, want_json, want_line
from tagbench.errors import BadInput
from tagbench.rules.buying.holding import hold_ups
from tagbench.rules.buying.money import money_words
from tagbench.rules.buying.returns import SETTLED, Settled
from tagbench.rules.buying.shop_list import ShopRow, as_csv, as_text, shop_list, to_measure
from tagbench.rules.buying.wants import open_wants_of, totals
from tagbench.rules.days import parse_day
from tagbench.rules.describe.phrases import named, plural, quantity
from tagbench.rules.describe.want import describe_want


@click.group(invoke_without_command=True)
@click.option("--all", "everything", is_flag=True, help="Those that have arrived, too.")
@machine_option
@book_command
@click.pass_context
def wants(
    ctx: click.Context, workplace: Workplace, everything: bool, mark: str, as_json: bool
) -> None:
    """What is wanted, what it holds up, what it costs."""
    if ctx.invoked_subcommand is not None:
        return
    tables, today = workplace.book.records, workplace.book.now().date()
    machine = machine_meant(tables, mark).mark
    held = hold_ups(tables, machine)
    chosen = open_wants_of(tables, machine)
    chosen.sort(key=lambda want: -len(held.get(want.id, ())))
    if everything:
        chosen += [w for w in tables.wants.values() if w.machine == machine and w.arrived]
    if as_json:
        print_json([want_json(want, today, held.get(want.id, ())) for want in chosen])
        return
    for want in chosen:
        click.echo(want_line(describe_want(tables, want, today, held.get(want.id, ()))))
    for question in to_measure(tables, machine):
        click.echo(f"     to measure before it can be bought: {question}")
    for total in totals(w for w in chosen if w.arrived is None):
        if total.currency:
            amount = money_words(total.amount, total.currency)
            click.echo(f"     {total.supplier or 'no supplier yet'}: {amount}")
    if not chosen:
        click.echo("Nothing is wanted; add with: wants add “felt seal” --for CODE")


_FIELDS = (
    click.option("--for", "codes", multiple=True, help="Code of a part that waits for it."),
    click.option("--number", help="Part number to order."),
    click.option("--quantity", type=int, help="How many."),
    click.option("--supplier", help="Who sells it."),
    click.option("--price", help="Price of one: 12.50, 12,50 or “€ 12,50”."),
    click.option("--currency", default="", help="Three letters such as EUR."),
    click.option("--due", default="", help="Day it should arrive."),
    click.option("--deposit", help="Deposit on an exchange piece, for all of it."),
    click.option("--note", help="Anything else."),
    json_option,
)


def _form_options(command: Any) -> Any:
    for option in reversed(_FIELDS):
        command = option(command)
    return command


def _form(workplace: Workplace, what: str, mark: str, fields: dict[str, Any]) -> WantForm:
    codes = codes_meant(workplace, fields.pop("codes"))
    due = parse_day(fields.pop("due"), workplace.book.now().date())
    return WantForm(what=what, codes=codes or None, due=due, mark=mark, **fields)


@wants.command("add")
@click.argument("what", default="")
@_form_options
@machine_option
@pass_workplace
def add(workplace: Workplace, /, what: str, mark: str, as_json: bool, **fields: Any) -> None:
    """Want something: WHAT, or a part with --for CODE."""
    form = _form(workplace, what, mark.strip().upper(), fields)
    show_wants(workplace, [wanting.add_want(workplace.book, form)], as_json)


@wants.command("edit")
@click.argument("number_of_want", metavar="WANT", type=int)
@click.option("--what", default="", help="What is wanted.")
@_form_options
@pass_workplace
def edit(
    workplace: Workplace, /, number_of_want: int, what: str, as_json: bool, **fields: Any
) -> None:
    """Change what is named of a want, and nothing else."""
    form = _form(workplace, what, "", fields)
    show_wants(workplace, [wanting.edit_want(workplace.book, number_of_want, form)], as_json)


@wants.command("order")
@click.argument("numbers", nargs=-1, type=int, required=True, metavar="WANT...")
@click.option("--on", "day", default="", help="Day it was ordered; else today.")
@click.option("--due", default="", help="Day it should arrive, e.g. “in 2 weeks”.")
@click.option("--supplier", default="", help="Who sells it.")
@book_command
def order(
    workplace: Workplace, numbers: tuple[int, ...], day: str, due: str, supplier: str, as_json: bool
) -> None:
    """Wants were ordered."""
    today = workplace.book.now().date()
    on, until = parse_day(day, today), parse_day(due, today)
    done = buying.order(workplace.book, numbers, on=on, due=until, supplier=supplier)
    show_wants(workplace, done, as_json)


@wants.command("unorder")
@click.argument("numbers", nargs=-1, type=int, required=True, metavar="WANT...")
@book_command
def unorder(workplace: Workplace, numbers: tuple[int, ...], as_json: bool) -> None:
    """Nothing comes of an order: the wants are to be ordered again."""
    show_wants(workplace, buying.not_ordered(workplace.book, numbers), as_json)


@wants.command("arrive")
@click.argument("numbers", nargs=-1, type=int, required=True, metavar="WANT...")
@click.option("--on", "day", default="", help="Day it arrived; else today.")
@click.option("--count", type=int, help="How many came, when it was not all.")
@book_command
def arrive(
    workplace: Workplace, numbers: tuple[int, ...], day: str, count: int | None, as_json: bool
) -> None:
    """Wants have arrived, for the parts that waited too."""
    on = parse_day(day, workplace.book.now().date())
    done, parts = buying.arrive(workplace.book, numbers, on=on, count=count)
    show_wants(workplace, done, as_json)
    for part in parts if not as_json else ():
        click.echo(f"     the new {named(part)} is here")


@wants.command("wrong")
@click.argument("number", type=int, metavar="WANT")
@click.option("--what", default="", help="What is wrong about it.")
@click.option("--on", "day", default="", help="Day it came; else today.")
@book_command
def wrong(workplace: Workplace, number: int, what: str, day: str, as_json: bool) -> None:
    """The wrong item came: the want stays open."""
    on = parse_day(day, workplace.book.now().date())
    show_wants(workplace, [buying.wrong_came(workplace.book, number, what, on)], as_json)


@wants.command("sent-back")
@click.argument("number", type=int, metavar="WANT")
@click.option("--on", "day", default="", help="Day it went; else today.")
@book_command
def sent_back(workplace: Workplace, number: int, day: str, as_json: bool) -> None:
    """The wrong item was sent back."""
    on = parse_day(day, workplace.book.now().date())
    show_wants(workplace, [buying.send_back(workplace.book, number, on)], as_json)


@wants.command("settled")
@click.argument("number", type=int, metavar="WANT")
@click.argument("how", type=click.Choice(SETTLED))
@click.option("--due", default="", help="Day the right one should arrive.")
@book_command
def settled(workplace: Workplace, number: int, how: Settled, due: str, as_json: bool) -> None:
    """What came of a wrong item: the money back, or the right one on its way."""
    until = parse_day(due, workplace.book.now().date())
    show_wants(workplace, [buying.settle(workplace.book, number, how, until)], as_json)


@wants.command("deposit-back")
@click.argument("number", type=int, metavar="WANT")
@click.option("--on", "day", default="", help="Day it came back; else today.")
@book_command
def deposit_back(workplace: Workplace, number: int, day: str, as_json: bool) -> None:
    """The deposit on an exchange piece came back."""
    on = parse_day(day, workplace.book.now().date())
    show_wants(workplace, [buying.deposit_came_back(workplace.book, number, on)], as_json)


@wants.command("drop")
@click.argument("numbers", nargs=-1, type=int, required=True, metavar="WANT...")
@book_command
def drop(workplace: Workplace, numbers: tuple[int, ...], as_json: bool) -> None:
    """Wants are off the list."""
    done = wanting.drop_want(workplace.book, numbers)
    print_answer(
        as_json,
        done,
        (f"{want.id:>3}  {quantity(want.quantity, want.what)}  no longer wanted" for want in done),
    )


@wants.command("single-use")
@machine_option
@book_command
def single_use(workplace: Workplace, mark: str, as_json: bool) -> None:
    """Want every single-use item that the drawer does not have."""
    machine = machine_meant(workplace.book.records, mark).mark
    chosen = wanting.want_single_use(workplace.book, machine)
    show_wants(workplace, chosen, as_json, as_list=True)


@wants.command("shop")
@click.option("-o", "file", type=click.Path(path_type=Path, dir_okay=False), help="A .txt or .csv.")
@machine_option
@book_command
def shop(workplace: Workplace, file: Path | None, mark: str, as_json: bool) -> None:
    """The list to take to the shop: what is not ordered yet, and single-use items."""
    tables, today = workplace.book.records, workplace.book.now().date()
    machine = machine_meant(tables, mark).mark
    rows = shop_list(tables, machine, today)
    if file is not None:
        write_shop_list(file, rows, as_text(rows, tables, to_measure(tables, machine)))
    if as_json:
        print_json([shop_json(row) for row in rows])
    elif file is None:
        click.echo(as_text(rows, tables, to_measure(tables, machine)), nl=False)
    else:
        click.echo(f"{file}: {plural(len(rows), 'line')}")


def write_shop_list(file: Path, rows: Sequence[ShopRow], plain: str) -> None:
    """Writes the list as text, or as CSV with the mark of UTF-8 that spreadsheets want."""
    ending = file.suffix.casefold()
    if ending not in (".txt", ".csv"):
        raise BadInput(f"{file.name} must end with .txt or .csv.")
    as_sheet = ending == ".csv"
    text = as_csv(rows).encode("utf-8-sig") if as_sheet else plain.encode()
    write_file(file, text)
