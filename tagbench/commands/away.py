"""`tagbench away`: parts and batches with someone else, sorted back into their bags."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from tagbench.book.operations import batches
from tagbench.book.operations.away import AwayForm, bring_back, send_away
from tagbench.commands.base import Workplace, book_command, parts_json, print_answer, print_json
from tagbench.commands.chosen import codes_meant, machine_meant, machine_option, part_meant
from tagbench.errors import BadInput
from tagbench.records import Batch, Part, to_json
from tagbench.reports.away_text import away_lines, batch_lines, batch_rows
from tagbench.rules.batches import packing_rows
from tagbench.rules.days import parse_day
from tagbench.rules.describe.away import away_fact
from tagbench.rules.describe.phrases import named

_FORM = (
    click.option("--to", "who", required=True, help="Who has it."),
    click.option("--for", "what_for", default="", help="What is done to it there."),
    click.option("--on", "sent", default="", help="Day it went; else today."),
    click.option("--due", default="", help="Day it should be back."),
    click.option("--price", default="", help="What it costs."),
)


def form_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Adds who has it, what for, since when, until when, for how much."""
    for option in reversed(_FORM):
        command = option(command)
    return command


def read_form(
    workplace: Workplace, who: str, what_for: str, sent: str, due: str, price: str
) -> AwayForm:
    """The form with its days read."""
    today = workplace.book.now().date()
    return AwayForm(who, what_for, parse_day(sent, today), parse_day(due, today), price)


@click.group(invoke_without_command=True)
@machine_option
@book_command
@click.pass_context
def away(ctx: click.Context, workplace: Workplace, mark: str, as_json: bool) -> None:
    """What is with someone else: the plater, the machinist, the painter."""
    if ctx.invoked_subcommand is not None:
        return
    tables, today = workplace.book.records, workplace.book.now().date()
    machine = machine_meant(tables, mark).mark
    if as_json:
        parts = [part for part in tables.parts_of(machine) if part.away]
        print_json(
            {
                "parts": [to_json(part) for part in parts],
                "batches": [
                    batch_json(workplace, one)
                    for one in tables.batches.values()
                    if one.machine == machine and not one.closed
                ],
            }
        )
        return
    for line in away_lines(tables, machine, today):
        click.echo(line)


@away.command()
@click.argument("codes", nargs=-1, required=True, metavar="CODE...")
@form_options
@book_command
def send(workplace: Workplace, /, codes: tuple[str, ...], as_json: bool, **form: Any) -> None:
    """Parts go to someone else."""
    wanted = codes_meant(workplace, codes)
    sent = send_away(workplace.book, wanted, read_form(workplace, **form))
    show_parts(workplace, sent, as_json)


@away.command()
@click.argument("codes", nargs=-1, required=True, metavar="CODE...")
@click.option("--on", "day", default="", help="Day they came back; else today.")
@book_command
def back(workplace: Workplace, codes: tuple[str, ...], day: str, as_json: bool) -> None:
    """Parts came back."""
    wanted = codes_meant(workplace, codes)
    on = parse_day(day, workplace.book.now().date())
    show_parts(workplace, bring_back(workplace.book, wanted, on), as_json)


@away.command()
@click.argument("codes", nargs=-1, metavar="[CODE...]")
@click.option("--size", "sizes", multiple=True, help="Only this size, e.g. M6; else all.")
@click.option("--part", "parts", multiple=True, help="Code of a part that goes itself.")
@form_options
@machine_option
@book_command
def pack(
    workplace: Workplace,
    /,
    codes: tuple[str, ...],
    sizes: tuple[str, ...],
    parts: tuple[str, ...],
    mark: str,
    as_json: bool,
    **form: Any,
) -> None:
    """Pack a batch: the fasteners in the bags of CODEs, or a --size out of every bag."""
    batch = batches.pack(
        workplace.book,
        read_form(workplace, **form),
        codes_meant(workplace, codes),
        sizes,
        codes_meant(workplace, parts),
        mark.strip().upper(),
    )
    show_batch(workplace, batch, as_json)


@away.command()
@click.argument("number", type=int, metavar="BATCH")
@click.option("-o", "target", type=click.Path(path_type=Path, dir_okay=False), help="CSV file.")
@book_command
def batch(workplace: Workplace, number: int, target: Path | None, as_json: bool) -> None:
    """A batch as its packing list, and which size goes back into which bag."""
    one = batches.batch_by_number(workplace.book.records, number)
    if target is not None:
        from tagbench.book.outside import write_file
        from tagbench.rules.table import csv_text

        text = csv_text(batch_rows(workplace.book.records, one))
        write_file(target, text.encode("utf-8-sig"))
    show_batch(workplace, one, as_json)


@away.command()
@click.argument("number", type=int, metavar="BATCH")
@click.argument("counts", nargs=-1, required=True, metavar="SIZE=COUNT...")
@book_command
def count(workplace: Workplace, number: int, counts: tuple[str, ...], as_json: bool) -> None:
    """What came back is counted by size: “M6x1x20 hex=12”."""
    read = dict(map(_size_and_count, counts))
    show_batch(workplace, batches.count_back(workplace.book, number, read), as_json)


def _size_and_count(text: str) -> tuple[str, int]:
    size, equals, figure = text.rpartition("=")
    if not equals or not figure.strip().isdecimal():
        raise BadInput(f"“{text}” is not understood; write a size and its count as M6x1x20=12.")
    return size.strip(), int(figure)


@away.command()
@click.argument("number", type=int, metavar="BATCH")
@click.argument("bag", metavar="CODE[/LINE]")
@click.option("--count", "quantity", type=int, help="How many; else all that are left.")
@book_command
def sort(workplace: Workplace, number: int, bag: str, quantity: int | None, as_json: bool) -> None:
    """Fasteners of a line, or a part itself, are back in the bag."""
    code, line = code_and_line(workplace, bag)
    done = batches.sort_into_bag(workplace.book, number, code, line, quantity)
    show_batch(workplace, done, as_json)


@away.command()
@click.argument("number", type=int, metavar="BATCH")
@book_command
def close(workplace: Workplace, number: int, as_json: bool) -> None:
    """Nothing more comes of a batch: what is not sorted is lost."""
    done, short = batches.close(workplace.book, number)
    show_batch(workplace, done, as_json)
    for part in short if not as_json else ():
        click.echo(f"  short now: {named(part)}")


def code_and_line(workplace: Workplace, text: str) -> tuple[str, int]:
    """`TP-012-K/2` is line 2 of that part, `TP-012-K` the part itself."""
    code, _, line = text.partition("/")
    if line and not line.isdecimal():
        raise BadInput(f"“{text}” is not understood; write CODE, or CODE/LINE such as TP-012-K/2.")
    return part_meant(workplace.book.records, code).code, int(line or 0)


def batch_json(workplace: Workplace, one: Batch) -> dict[str, Any]:
    """A batch with its rows by size."""
    rows = packing_rows(workplace.book.records, one)
    return {**to_json(one), "rows": [{**row._asdict(), "short": row.short} for row in rows]}


def show_batch(workplace: Workplace, one: Batch, as_json: bool) -> None:
    """Prints a batch."""
    print_answer(
        as_json,
        batch_json(workplace, one),
        batch_lines(workplace.book.records, one, workplace.book.now().date()),
    )


def show_parts(workplace: Workplace, parts: list[Part], as_json: bool) -> None:
    """Prints where parts are; as JSON one is an object, several are a list."""
    tables = workplace.book.records
    if as_json:
        print_json(parts_json(parts, tables.bins))
        return
    from tagbench.rules.describe.where import where_fact

    today = workplace.book.now().date()
    for part in parts:
        words = away_fact(part, today).words or where_fact(tables, part).words
        click.echo(f"{part.code}  {part.said}: {words}")
