"""`tagbench machine add | list | choose | edit`."""

from __future__ import annotations

from typing import Any, get_args

import click

from tagbench.book.operations import machines
from tagbench.commands.base import Workplace, book_command, print_answer, print_json
from tagbench.errors import BadInput
from tagbench.records import Machine, Units, replace
from tagbench.records.machine import TorqueUnit
from tagbench.rules.bench.going_on import aside_words
from tagbench.rules.describe.phrases import plural


@click.group()
def machine() -> None:
    """The machines in this book."""


def about_machine(function: Any) -> Any:
    """The options that describe a machine."""
    for option in reversed(
        [
            click.option("--maker", default=None, help="Who made it."),
            click.option("--model", default=None, help="Model."),
            click.option("--year", type=click.IntRange(1700, 2200), help="Year built."),
            click.option("--serial", default=None, help="Frame or serial number."),
            click.option("--note", default=None, help="Anything else."),
            click.option("--length-unit", default=None, type=click.Choice(["mm", "in"])),
            click.option("--torque-unit", default=None, help="N·m, lbf·ft, lbf·in, kgf·m, kgf·cm."),
            click.option("--currency", default=None, help="Three letters, e.g. EUR."),
            click.option("--wrench", default=None, help="Torque wrench scale, e.g. “20-100 N·m”."),
        ]
    ):
        function = option(function)
    return function


@machine.command("add")
@click.argument("name")
@click.option("--mark", default="", help="1 to 3 letters or digits that begin its codes, e.g. TP.")
@about_machine
@book_command
def add(workplace: Workplace, /, name: str, mark: str, as_json: bool, **about: Any) -> None:
    """Add a machine and choose it."""
    fields = machine_fields(Machine(mark="A", name=name), about)
    show(machines.add(workplace.book, name, mark, **fields), as_json)


@machine.command("edit")
@click.argument("mark")
@click.option("--name", default=None, help="New name.")
@about_machine
@book_command
def edit(workplace: Workplace, /, mark: str, name: str | None, as_json: bool, **about: Any) -> None:
    """Change what is written about a machine; its mark stays."""
    before = machines.by_mark(workplace.book.records, mark)
    fields = machine_fields(before, {**about, "name": name})
    show(machines.edit_machine(workplace.book, before.mark, **fields), as_json)


@machine.command("list")
@book_command
def list_machines(workplace: Workplace, as_json: bool) -> None:
    """List the machines; the chosen one is marked with an arrow."""
    tables = workplace.book.records
    if as_json:
        print_json(list(tables.machines.values()))
        return
    chosen = machines.chosen(tables)
    for one in tables.machines.values():
        arrow = "→" if one == chosen else " "
        parts = len(tables.parts_of(one.mark))
        aside = f", {aside_words(one)}" if one.aside else ""
        click.echo(f"{arrow} {one.mark:3}  {one.name}  ({plural(parts, 'part')}){aside}")
    if not tables.machines:
        click.echo("No machine yet; add one with: tagbench machine add NAME --mark TP")


@machine.command("choose")
@click.argument("mark")
@book_command
def choose(workplace: Workplace, mark: str, as_json: bool) -> None:
    """Choose the machine that new parts belong to."""
    show(machines.choose(workplace.book, mark), as_json)


@machine.command("aside")
@click.argument("mark")
@click.option("--why", default="", help="What it waits for.")
@book_command
def aside(workplace: Workplace, mark: str, why: str, as_json: bool) -> None:
    """Set a machine aside and work on another; choose takes it up again."""
    one, now = machines.set_aside(workplace.book, mark, why)
    show(one, as_json)
    if not as_json:
        click.echo(f"  {aside_words(one)}" + (f"; on the bench: {now.name}" if now else ""))


def show(one: Machine, as_json: bool) -> None:
    """Prints one machine."""
    print_answer(as_json, one, [f"{one.mark}  {one.name}"])


def machine_fields(before: Machine, about: dict[str, Any]) -> dict[str, Any]:
    """The options that were given, as fields of a machine record."""
    from tagbench.rules.buying.money import currency_named
    from tagbench.trade.quantities.typed import parse_torque
    from tagbench.trade.quantities.unit_words import standard_unit

    given = {key: value for key, value in about.items() if value is not None}
    units: dict[str, Any] = {}
    if "length_unit" in given:
        units["length"] = given.pop("length_unit")
    if "currency" in given:
        units["currency"] = currency_named(given.pop("currency"))
    if "torque_unit" in given:
        units["torque"] = standard_unit(given.pop("torque_unit"), "torque")
        if units["torque"] not in get_args(TorqueUnit):
            shown = ", ".join(get_args(TorqueUnit))
            raise BadInput(f"Torques are shown in {shown}; choose one of these.")
    if units:
        given["units"] = replace(before.units, **units)
    if "wrench" in given:
        unit = (given.get("units") or before.units).torque
        scale = parse_torque(given.pop("wrench"), unit).to(unit)
        given["wrench_low"], given["wrench_high"] = float(scale.low), float(scale.high)
    return {key: value for key, value in given.items() if isinstance(value, Units) or value != ""}
