"""`tagbench settings`: adjustments with a range, measured and measured again."""

from __future__ import annotations

import click

from tagbench.book.operations.settings import (
    SettingForm,
    add_setting,
    measure,
    recheck,
    remove_setting,
)
from tagbench.commands.base import Workplace, book_command, print_answer
from tagbench.commands.chosen import machine_meant, machine_option
from tagbench.commands.figures import FigureCommand
from tagbench.commands.rebuild_json import setting_json
from tagbench.records import Setting
from tagbench.reports.settings_text import settings_lines
from tagbench.rules.scan import typed_part
from tagbench.rules.settings.standing import setting_state, settings_of


@click.group(invoke_without_command=True)
@click.option("--open", "only_open", is_flag=True, help="Only those still to be seen to.")
@machine_option
@book_command
@click.pass_context
def settings(
    ctx: click.Context, workplace: Workplace, only_open: bool, mark: str, as_json: bool
) -> None:
    """The settings of the machine and where they stand."""
    if ctx.invoked_subcommand is not None:
        return
    tables = workplace.book.records
    states = settings_of(tables, machine_meant(tables, mark).mark)
    states = [state for state in states if state.open or not only_open]
    print_answer(as_json, [setting_json(state) for state in states], settings_lines(states))


@settings.command("add", cls=FigureCommand)
@click.argument("what")
@click.argument("range_text", metavar="[RANGE]", default="")
@click.option("--in", "assembly", default="", help="Assembly, e.g. “Rear wheel / Chain”.")
@click.option("--after", multiple=True, help="Code of a part whose fitting re-opens it.")
@click.option("--source", default="", help="Where the range comes from.")
@click.option("--note", default="", help="Anything else.")
@machine_option
@book_command
def add(
    workplace: Workplace,
    what: str,
    range_text: str,
    assembly: str,
    after: tuple[str, ...],
    source: str,
    note: str,
    mark: str,
    as_json: bool,
) -> None:
    """Write a setting down: WHAT, and its RANGE as “20-30 mm”, “at most 0.1 mm”."""
    codes = tuple(typed_part(workplace.book.records, code) for code in after)
    form = SettingForm(
        what=what,
        range=range_text,
        assembly=assembly,
        after=codes,
        source=source,
        note=note,
        mark=mark.strip().upper(),
    )
    show(workplace, add_setting(workplace.book, form), as_json)


@settings.command("measure", cls=FigureCommand)
@click.argument("number", type=int)
@click.argument("value")
@book_command
def measure_command(workplace: Workplace, number: int, value: str, as_json: bool) -> None:
    """Write down what setting NUMBER measures, as “12 mm” or “1/2 in”."""
    show(workplace, measure(workplace.book, number, value), as_json)


@settings.command("recheck")
@click.argument("number", type=int)
@click.argument("why")
@book_command
def recheck_command(workplace: Workplace, number: int, why: str, as_json: bool) -> None:
    """Have setting NUMBER measured again, and say WHY."""
    show(workplace, recheck(workplace.book, number, why), as_json)


@settings.command("remove")
@click.argument("number", type=int)
@book_command
def remove(workplace: Workplace, number: int, as_json: bool) -> None:
    """Take setting NUMBER away."""
    show(workplace, remove_setting(workplace.book, number), as_json)


def show(workplace: Workplace, setting: Setting, as_json: bool) -> None:
    """Prints one setting and where it stands."""
    state = setting_state(setting, workplace.book.records.parts)
    print_answer(as_json, setting_json(state), settings_lines([state]))
