"""`tagbench build`: what is ready, what is held up and why, the order, the next steps."""

from __future__ import annotations

import click

from tagbench.commands.base import Workplace, book_command, print_json
from tagbench.commands.chosen import machine_meant, machine_option
from tagbench.commands.rebuild_json import build_json
from tagbench.commands.steps_json import layout_json, step_json
from tagbench.reports.build_sheet import sheet_of
from tagbench.reports.build_text import build_lines, order_lines
from tagbench.reports.paper.plain import plain_lines
from tagbench.reports.request import ReportRequest
from tagbench.rules.rebuild.links import links_of
from tagbench.rules.rebuild.overview import build_overview, tonight
from tagbench.rules.rebuild.picture import picture
from tagbench.rules.rebuild.steps import bench_layout, next_steps
from tagbench.rules.scan import typed_part


@click.command()
@click.option("--next", "steps", type=click.IntRange(min=1), help="The next N steps, laid out.")
@click.option("--order", "whole", is_flag=True, help="The whole order of the rebuild.")
@click.option("--around", default="", help="A part's code: draw the links around it.")
@click.option("--depth", default=2, type=click.IntRange(1, 20), help="How far --around looks.")
@machine_option
@book_command
def build(
    workplace: Workplace,
    steps: int | None,
    whole: bool,
    around: str,
    depth: int,
    mark: str,
    as_json: bool,
) -> None:
    """What is ready to go on, and what is held up and why."""
    tables = workplace.book.records
    machine = machine_meant(tables, mark)
    if around and not as_json:
        code = typed_part(tables, around)
        click.echo(picture(links_of(tables, code.split("-", 1)[0]), code, depth))
        return
    now = build_overview(tables, machine.mark, workplace.book.now().date())
    coming = next_steps(tables, machine.mark, steps or 0)
    if as_json:
        plain = build_json(now, tonight(tables, machine.mark))
        if steps:
            plain["next"] = [step_json(step) for step in coming]
            plain["lay_out"] = layout_json(bench_layout(tables, coming))
        print_json(plain)
        return
    if coming:
        request = ReportRequest(tables, machine, workplace.book.now())
        lines = plain_lines(sheet_of(request, "Next steps", coming))
    elif steps:
        lines = iter(["Nothing can go on with what is here; see build for the reasons."])
    else:
        lines = order_lines(now) if whole else build_lines(now, machine)
    for line in lines:
        click.echo(line)
