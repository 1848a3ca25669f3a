"""`tagbench fit` and `reach`: putting a part on, and getting back to one."""

from __future__ import annotations

from datetime import date

import click

from tagbench.book.operations.building import FitForm, fit_part, take_off_again
from tagbench.book.operations.finishing import dry_fit
from tagbench.commands.base import Workplace, book_command, part_json, print_answer
from tagbench.commands.chosen import machine_meant, part_meant
from tagbench.commands.rebuild_json import undoing_json
from tagbench.commands.steps_json import guide_json
from tagbench.errors import BadInput
from tagbench.records import Part, Tables
from tagbench.reports.fit_text import fitted_lines, guide_lines, reach_lines
from tagbench.rules.care.finish import dry_fit_words
from tagbench.rules.rebuild.fit import single_use_lines
from tagbench.rules.rebuild.fit_text import read_shorts, read_torques
from tagbench.rules.rebuild.guide import fit_guide
from tagbench.rules.rebuild.links import links_of
from tagbench.rules.rebuild.reach import reach_part


@click.command()
@click.argument("code")
@click.option("--snug", is_flag=True, help="Finger tight for now.")
@click.option("--torque", multiple=True, help="Torque given: “50 N·m”, or “2=50 N·m” for line 2.")
@click.option("--short", multiple=True, help="Fasteners missing: “1”, or “2=1” for line 2.")
@click.option("--renewed", is_flag=True, help="All single-use items are new.")
@click.option("--anyway", is_flag=True, help="Overrule what stands in the way; it is written down.")
@click.option("--why", default="", help="Your reason for --anyway.")
@click.option("--dry", is_flag=True, help="A dry fit, for a trial: noted, and off again.")
@click.option("--off", is_flag=True, help="It came off again.")
@click.option("--how", is_flag=True, help="Only say how it goes on; nothing is written down.")
@book_command
def fit(
    workplace: Workplace,
    code: str,
    snug: bool,
    torque: tuple[str, ...],
    short: tuple[str, ...],
    renewed: bool,
    anyway: bool,
    why: str,
    dry: bool,
    off: bool,
    how: bool,
    as_json: bool,
) -> None:
    """Put a part on: snug, torqued or done. Refused, with every reason, when it is too early."""
    book = workplace.book
    part = part_meant(book.records, code)
    if sum([snug, bool(torque), dry, off, how]) > 1:
        raise BadInput("Choose one: --snug, --torque, --dry, --off or --how.")
    if how:
        print_guide(book.records, part, book.now().date(), as_json)
        return
    if dry:
        after = dry_fit(book, part.code)
    elif off:
        [after] = take_off_again(book, part.code)
    else:
        unit = machine_meant(book.records, part.machine).units.torque
        form = FitForm(
            snug=snug,
            torqued=read_torques(part, torque, unit),
            short=read_shorts(part, short),
            renewed=single_use_lines(part) if renewed else (),
            anyway=anyway,
            why=why,
        )
        after = fit_part(book, part.code, form)
    print_answer(
        as_json,
        part_json(after, book.records.bins),
        [f"{after.code}  {after.said}: {dry_fit_words(after)}, and off again"]
        if dry
        else fitted_lines(book.records, after),
    )


def print_guide(tables: Tables, part: Part, today: date, as_json: bool) -> None:
    """Prints how a part goes on."""
    guide = fit_guide(tables, links_of(tables, part.machine), part.code, today=today)
    print_answer(as_json, guide_json(guide), guide_lines(guide))


@click.command()
@click.argument("code")
@click.option("--take-off", is_flag=True, help="Write down that they and the part came off.")
@book_command
def reach(workplace: Workplace, code: str, take_off: bool, as_json: bool) -> None:
    """What must come off again to get at a part, in order, and what that undoes."""
    book = workplace.book
    part = part_meant(book.records, code)
    undoing = reach_part(book.records, part.code)
    if take_off:
        take_off_again(book, part.code, with_outer=True)
    print_answer(
        as_json, undoing_json(part.code, undoing), reach_lines(book.records, part, undoing)
    )
