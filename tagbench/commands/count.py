"""`tagbench count`: nothing missing, nothing left over; closing the machine."""

from __future__ import annotations

import click

from tagbench.book.operations.closing import close_machine, reopen_machine
from tagbench.commands.base import Workplace, book_command, print_answer
from tagbench.commands.chosen import machine_meant, machine_option
from tagbench.commands.rebuild_json import count_json, missed_json
from tagbench.errors import BadInput
from tagbench.reports.count_text import count_lines, missed_lines
from tagbench.rules.count.found_fastener import Missed, which_miss, which_miss_measured
from tagbench.rules.count.identity import machine_count


@click.command()
@click.option("--missing", default="", help="Which parts are missing this one: “M6x20”.")
@click.option("--across", default="", help="The same by measurement: outside diameter.")
@click.option("--pitch", default="", help="Its pitch, as “1 mm” or “20 tpi”.")
@click.option("--length", default="", help="Its length under the head.")
@click.option("--close", is_flag=True, help="Close the machine; needs a clean count or reasons.")
@click.option("--reason", multiple=True, help="NAME=WHY for an open line, by its name in brackets.")
@click.option("--reopen", is_flag=True, help="Open a closed machine again.")
@machine_option
@book_command
def count(
    workplace: Workplace,
    missing: str,
    across: str,
    pitch: str,
    length: str,
    close: bool,
    reason: tuple[str, ...],
    reopen: bool,
    mark: str,
    as_json: bool,
) -> None:
    """Count parts, fasteners, torques, settings and single-use items."""
    book = workplace.book
    machine = machine_meant(book.records, mark)
    if missing or across:
        text = missing or " ".join(filter(None, [across, pitch, length]))
        hits = hits_for(workplace, machine.mark, missing, across, pitch, length)
        print_answer(as_json, [missed_json(hit) for hit in hits], missed_lines(text, hits))
        return
    if reason and not close:
        raise BadInput("A --reason is written down when the machine is closed: add --close.")
    if close:
        machine = close_machine(book, machine.mark, dict(map(read_reason, reason)))
    elif reopen:
        machine = reopen_machine(book, machine.mark)
    found = machine_count(book.records, machine.mark, book.now().date())
    print_answer(as_json, count_json(found, machine), count_lines(book.records, found, machine))


def hits_for(
    workplace: Workplace, mark: str, missing: str, across: str, pitch: str, length: str
) -> list[Missed]:
    """The lines that miss the fastener named or measured."""
    from tagbench.trade.quantities.typed import parse_length
    from tagbench.trade.threads import parse_pitch

    tables = workplace.book.records
    if missing and across:
        raise BadInput("Give the fastener by name with --missing or by --across, not both.")
    if missing:
        return which_miss(tables, mark, missing)
    return which_miss_measured(
        tables,
        mark,
        parse_length(across, "mm"),
        parse_pitch(pitch) if pitch else None,
        parse_length(length, "mm") if length else None,
    )


def read_reason(text: str) -> tuple[str, str]:
    """`NAME=WHY` in two; raises BadInput."""
    name, equals, why = text.partition("=")
    if not equals or not why.strip():
        raise BadInput(f"“{text}” is not a reason: write the line's name, =, and why.")
    return name.strip(), why.strip()
