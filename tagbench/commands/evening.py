"""`tagbench evening`: what was going on, and what comes next."""

from __future__ import annotations

import click

from tagbench.book.autosave import Autosave
from tagbench.commands.base import Workplace, book_command, print_json
from tagbench.commands.chosen import machine_meant, machine_option
from tagbench.rules.bench.going_on import aside_words, going_on, others_going_on
from tagbench.rules.bench.jobs import next_jobs
from tagbench.rules.describe.phrases import named


@click.command()
@machine_option
@book_command
def evening(workplace: Workplace, mark: str, as_json: bool) -> None:
    """What was going on: last assembly, half-typed forms, what soaks, what is due; what is next."""
    book = workplace.book
    tables, now = book.records, book.now()
    machine = machine_meant(tables, mark)
    going = going_on(tables, machine.mark, now, Autosave(book.folder).forms())
    jobs = next_jobs(tables, machine.mark, now=now)
    if as_json:
        print_json(
            {
                "machine": machine.mark,
                "aside": aside_words(machine),
                "going_on": [one._asdict() for one in going],
                "next": [{"do": job.do, "code": job.part.code, "words": job.words} for job in jobs],
            }
        )
        return
    aside = f", {aside_words(machine)}" if machine.aside else ""
    click.echo(f"{machine.name} ({machine.mark}){aside}")
    for one in going:
        click.echo(f"  {one.words}")
    for job in jobs:
        words = f", {job.words}" if job.words else ""
        click.echo(f"  next: {job.do} {named(job.part)}{words}")
    for words in others_going_on(tables, machine.mark, now.date()):
        click.echo(f"also: {words}")
