"""`tagbench mark`, `soak` and `care`: what was done to parts, and what is still to do."""

from __future__ import annotations

import click

from tagbench.book.operations.care import KNOWN, end_soak, soak, tick_off, undecided
from tagbench.commands.base import Workplace, book_command, part_json, parts_json, print_json
from tagbench.commands.chosen import codes_meant, machine_meant, machine_option
from tagbench.errors import BadInput
from tagbench.records import Part
from tagbench.rules.buying.open_orders import ORDERS, OnOrder, Orders
from tagbench.rules.care.cautions import caution_lines, cautions_for_all
from tagbench.rules.care.needs import (
    FILTERS,
    count_by_filter,
    filtered,
    next_step,
    step_letters,
    waiting_codes,
)
from tagbench.rules.days import parse_day, parse_moment
from tagbench.rules.describe.care import care_words

MARKS = (*KNOWN, "undecided", "back")
"""What `mark` takes as its last word; `back` takes the last care back."""


@click.command("mark", epilog=f"WHAT is one of {', '.join(MARKS)}.")
@click.argument("codes", nargs=-1, required=True, metavar="CODE...")
@click.argument("what", metavar="WHAT")
@click.option("--with", "with_what", default="", help="What it was done with, or is replaced by.")
@click.option("--on", "day", default="", help="Day it was done, e.g. 2026-03-09 or yesterday.")
@click.option(
    "--order",
    "orders",
    type=click.Choice(ORDERS[1:]),
    default=None,
    help="With reuse: an order under way is kept (for the drawer) or called off.",
)
@book_command
def mark_command(
    workplace: Workplace,
    codes: tuple[str, ...],
    what: str,
    with_what: str,
    day: str,
    orders: Orders | None,
    as_json: bool,
) -> None:
    """Mark a step of care done to parts, or reuse or replace, as one change.

    `undecided` takes the verdict back, `back` the last care of each part.
    """
    book = workplace.book
    wanted = codes_meant(workplace, codes)
    word = what.casefold()
    if word in ("undecided", "back"):
        if with_what or day or orders:
            raise BadInput(f"--with, --on and --order do not go with {word}.")
        if word == "back":
            from tagbench.book.operations.care_back import take_last_back

            parts = take_last_back(book, wanted)
        else:
            parts = undecided(book, wanted)
    else:
        on = parse_day(day, book.now().date())
        try:
            parts = tick_off(book, wanted, word, with_what=with_what, on=on, orders=orders or "")
        except OnOrder as asks:
            raise OnOrder(f"{asks} Use --order keep or --order off.") from None
    show_care(workplace, parts, as_json)
    if not as_json:
        show_cautions(workplace, parts, word, with_what)


def show_care(workplace: Workplace, parts: list[Part], as_json: bool) -> None:
    """Prints the care of parts; as JSON one part is an object, several are a list."""
    book = workplace.book
    if as_json:
        print_json(parts_json(parts, book.records.bins))
        return
    for part in parts:
        click.echo(
            f"{part.code}  {step_letters(part)}  {part.said}: {care_words(part, book.now())}"
        )


def show_cautions(workplace: Workplace, parts: list[Part], step: str, with_what: str) -> None:
    """Prints the cautions for a step, shortly those acknowledged for the machine."""
    machine = workplace.book.records.machines.get(parts[0].machine)
    seen = machine.cautions_seen if machine is not None else ()
    lines = caution_lines(cautions_for_all(parts, step, with_what), seen)
    for line in lines:
        click.echo(f"  ! {line}")


@click.command("soak")
@click.argument("codes", nargs=-1, required=True, metavar="CODE...")
@click.option("--hours", type=float, help="How long it should stay in.")
@click.option("--tray", default="", help="Which tray.")
@click.option("--with", "with_what", default="", help="What it soaks in.")
@click.option("--since", default="", help="Since when, e.g. 18:30 or “2 h ago”; else now.")
@click.option("--out", is_flag=True, help="Take it out, degreased.")
@click.option("--dirty", is_flag=True, help="With --out: it is not clean yet.")
@book_command
def soak_command(
    workplace: Workplace,
    codes: tuple[str, ...],
    hours: float | None,
    tray: str,
    with_what: str,
    since: str,
    out: bool,
    dirty: bool,
    as_json: bool,
) -> None:
    """Put parts to soak, or take them out again."""
    book = workplace.book
    wanted = codes_meant(workplace, codes)
    if dirty and not out:
        raise BadInput("--dirty goes with --out.")
    if out:
        parts = end_soak(book, wanted, clean=not dirty)
    else:
        start = parse_moment(since, book.now())
        parts = soak(book, wanted, hours=hours, tray=tray, with_what=with_what, since=start)
    show_care(workplace, parts, as_json)
    if not out and not as_json:
        show_cautions(workplace, parts, "soak", with_what)


@click.command(epilog=f"LIST is one of {', '.join(FILTERS)}.")
@click.argument("name", default="all", metavar="[LIST]")
@machine_option
@book_command
def care(workplace: Workplace, name: str, mark: str, as_json: bool) -> None:
    """List parts by the care they need."""
    book = workplace.book
    name = " ".join(name.casefold().replace("-", " ").split())
    if name not in FILTERS:
        raise BadInput(f"There is no list “{name}”; choose one of: {', '.join(FILTERS)}.")
    parts = book.records.parts_of(machine_meant(book.records, mark).mark)
    chosen = filtered(parts, name, book.records)
    wanted = waiting_codes(book.records)
    if as_json:
        places = book.records.bins
        print_json([{**part_json(p, places), "next": next_step(p, wanted)} for p in chosen])
        return
    counts = count_by_filter(parts, book.records)
    click.echo("   ".join(f"{one} {count}" for one, count in counts.items()))
    for part in chosen:
        step = next_step(part, wanted)
        said = f"  → {step}" if step else ""
        words = care_words(part, book.now())
        click.echo(f"{part.code}  {step_letters(part)}  {part.said}: {words}{said}")
