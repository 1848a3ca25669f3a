"""`tagbench reading`, `inspect` and `cautions`: measuring, looking, and taking care."""

from __future__ import annotations

import click

from tagbench.book.operations import care, measuring
from tagbench.commands.base import Workplace, book_command, part_json, print_answer, print_json
from tagbench.commands.chosen import machine_meant, machine_option, part_meant
from tagbench.commands.figures import FigureCommand
from tagbench.errors import BadInput
from tagbench.records import Reading
from tagbench.rules.care.cautions import (
    DEFER_WHOLE,
    Caution,
    all_cautions,
    caution_lines,
    cautions_for,
    known_caution,
)
from tagbench.rules.care.inspecting import part_kind
from tagbench.rules.care.proposal import proposal
from tagbench.rules.care.readings import (
    parse_limit,
    parse_values,
    same_reading,
    usual_readings,
)
from tagbench.rules.describe.care import describe_reading


@click.command(cls=FigureCommand)
@click.argument("code")
@click.argument("what")
@click.argument("values", nargs=-1)
@click.option("--low", default="", help="Smallest allowed value.")
@click.option("--high", default="", help="Largest allowed value.")
@click.option("--unit", default="", help="Unit of all figures; else as typed, else mm.")
@click.option("--uncertainty", default="", help="Of the measuring tool, plus or minus.")
@click.option("--source", default="", help="Where the limit comes from.")
@click.option("--drop", is_flag=True, help="Take the reading off the part.")
@book_command
def reading(
    workplace: Workplace,
    code: str,
    what: str,
    values: tuple[str, ...],
    low: str,
    high: str,
    unit: str,
    uncertainty: str,
    source: str,
    drop: bool,
    as_json: bool,
) -> None:
    """Write down what was measured: CODE “lining thickness” 2.1 2.3 mm --low 2."""
    book = workplace.book
    part = part_meant(book.records, code)
    if drop:
        part = measuring.drop_reading(book, part.code, what)
    else:
        figures, typed_unit = parse_values(" ".join(values))
        if unit and typed_unit and unit != typed_unit:
            raise BadInput(f"The figures are in {typed_unit} and --unit says {unit}; choose one.")
        usual = next(
            (r for r in usual_readings(part) if same_reading(r, Reading(what=what or "?"))), None
        )
        start = usual or Reading(what=what or "?")
        known = low or high or source
        form = Reading(
            what=what or "?",
            values=figures,
            unit=unit or typed_unit or start.unit,
            low=parse_limit(low) if known else start.low,
            high=parse_limit(high) if known else start.high,
            uncertainty=parse_limit(uncertainty) or 0.0,
            source=source if known else start.source,
        )
        part = measuring.read_off(book, part.code, form)
    print_answer(
        as_json,
        part_json(part, book.records.bins),
        [*(describe_reading(part, one).fact.words for one in part.readings), proposal(part).words],
    )


@click.command()
@click.argument("code")
@book_command
def inspect(workplace: Workplace, code: str, as_json: bool) -> None:
    """What to look for on a part, what to measure, and the cautions for it."""
    tables = workplace.book.records
    part = part_meant(tables, code)
    kind = part_kind(part)
    machine = tables.machines.get(part.machine)
    cautions = cautions_for(part, "inspected")
    if as_json:
        print_json(
            {
                "code": part.code,
                "kind": kind.name if kind else "",
                "look_for": kind.look_for if kind else (),
                "lube": kind.lube if kind else "",
                "readings": part.readings,
                "usual_readings": usual_readings(part),
                "proposed": proposal(part).verdict,
                "why": proposal(part).why,
                "cautions": [one.id for one in cautions],
            }
        )
        return
    click.echo(f"{part.code}  {part.said}: {kind.name if kind else 'no known kind'}")
    for look in kind.look_for if kind else ():
        click.echo(f"  - {look}")
    for one in (*part.readings, *usual_readings(part)):
        words = describe_reading(part, one).fact.words
        click.echo(f"  {words}" + (f"  [{one.source}]" if one.source else ""))
    if part.readings:
        click.echo(f"  {proposal(part).words}")
    for line in caution_lines(cautions, machine.cautions_seen if machine else ()):
        click.echo(f"  ! {line}")


@click.command()
@click.argument("ids", nargs=-1, metavar="[CAUTION...]")
@click.option("--seen", is_flag=True, help="Acknowledge them for the machine: shown in brief then.")
@click.option("--again", is_flag=True, help="Show them (or all) at full length again.")
@machine_option
@book_command
def cautions(
    workplace: Workplace, ids: tuple[str, ...], seen: bool, again: bool, mark: str, as_json: bool
) -> None:
    """All cautions with their sources; --seen acknowledges those named."""
    book = workplace.book
    if seen and not ids:
        raise BadInput("Name the cautions you have seen, for example: cautions springs --seen.")
    if seen or again:
        machine = machine_meant(book.records, mark)
        if seen:
            machine = care.acknowledge_cautions(book, ids, machine.mark)
        else:
            machine = care.show_cautions_again(book, machine.mark, ids)
        print_answer(
            as_json,
            machine,
            [f"Seen for {machine.name}: {', '.join(machine.cautions_seen) or 'none'}"],
        )
        return
    chosen = [all_cautions()[name] for name in map(known_caution, ids)] or all_cautions().values()
    if as_json:
        print_json([caution_json(one) for one in chosen])
        return
    for one in chosen:
        click.echo(f"{one.id}: {one.line}")
        for row in one.rows:
            click.echo(f"    {row.id}  {row.words}  [{row.source}]")
    click.echo(DEFER_WHOLE)


def caution_json(caution: Caution) -> dict[str, object]:
    """A caution with its rows and their sources."""
    rows = [{"id": row.id, "words": row.words, "source": row.source} for row in caution.rows]
    return {"id": caution.id, "lines": list(caution.lines), "rows": rows}
