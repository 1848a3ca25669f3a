"""`tagbench strip`: records a part that came off."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from tagbench.book.operations.strip import StripForm, last_from, strip_part
from tagbench.commands.base import Workplace, book_command, part_json, print_json
from tagbench.commands.chosen import machine_option
from tagbench.errors import BadInput
from tagbench.records import Part, Tables
from tagbench.rules.bins import kept_in_words
from tagbench.rules.new_bins import new_bin_words
from tagbench.rules.paths import spell_path
from tagbench.rules.scan import free_code, typed_part

if TYPE_CHECKING:
    from tagbench.trade.fasteners.reading import FastenerReading


@click.command("strip")
@click.argument("name")
@click.option("--from", "assembly", default="", help="Assembly, e.g. “Front wheel / Brake”.")
@click.option("--position", default="", help="Side or position.")
@click.option("--quantity", default=1, help="How many alike.")
@click.option("--fasteners", default="", help="e.g. “4x M5x0.8x12 pan; cotter pin 3.2x32”.")
@click.option(
    "--behind", multiple=True, help="Code that had to come off first; `last` for the last."
)
@click.option("--sits-how", default="", help="Which way round, witness marks.")
@click.option("--bin", "bin_text", default="", help="Bag or box: code, name or path.")
@click.option("--part-number", default="", help="Part number.")
@click.option("--kind", default="", help="Kind of part for the inspection list.")
@click.option("--note", default="", help="Anything else.")
@click.option("--photo", multiple=True, type=click.Path(path_type=Path), help="Picture to copy in.")
@click.option("--code", default="", help="Code of the spare tag that is on the bag.")
@machine_option
@book_command
def strip_command(
    workplace: Workplace,
    name: str,
    assembly: str,
    position: str,
    quantity: int,
    fasteners: str,
    behind: tuple[str, ...],
    sits_how: str,
    bin_text: str,
    part_number: str,
    kind: str,
    note: str,
    photo: tuple[Path, ...],
    code: str,
    mark: str,
    as_json: bool,
) -> None:
    """Record a part that came off and print its code."""
    book = workplace.book
    reading = _reading_of(fasteners)
    form = StripForm(
        name=name,
        assembly=spell_path(assembly),
        position=position,
        quantity=quantity,
        fasteners=reading.lines if reading else (),
        sits_how=sits_how,
        bin=bin_text,
        behind=read_behinds(book.records, behind, assembly, mark),
        part_number=part_number,
        note=reading.note(note) if reading else note,
        kind=kind,
        photos=photo,
        mark=mark.strip().upper(),
    )
    before = book.records.bins
    part = strip_part(book, form, free_code(book.records, code) if code else "")
    said = new_bin_words(part.bin, before, book.records.bins)
    tell_part(book.records, part, as_json, reading.answer() if reading else (), said)


def _reading_of(text: str) -> FastenerReading | None:
    """How the fasteners that were typed are understood; None for an empty text."""
    if not text.strip():
        return None
    from tagbench.trade.fasteners.reading import read_fasteners

    return read_fasteners(text)


def tell_part(
    tables: Tables, part: Part, as_json: bool, read: Sequence[str] = (), new_bin: str = ""
) -> None:
    """Prints a part that was written down, with a warning of threads that are mixed up.

    `read` says what of its fasteners was kept as words or taken one of two ways, `new_bin` that a
    bin was made which may be a slip of the pen.
    """
    warnings = [*filter(None, [new_bin]), *_warnings(tables, part)]
    if as_json:
        plain = part_json(part, tables.bins)
        print_json({**plain, "warnings": warnings, "read": list(read)})
        return
    click.echo(f"{part.code}  {part.said}")
    if part.fasteners:
        from tagbench.trade.fasteners.spelling import spell

        for fastener in part.fasteners:
            click.echo(f"  {spell(fastener)}")
    if part.bin:
        click.echo(f"  {kept_in_words(part.bin, tables.bins)}")
    for sentence in read:
        click.echo(f"  {sentence}")
    for warning in warnings:
        click.echo(f"  Beware: {warning}")


def _warnings(tables: Tables, part: Part) -> list[str]:
    """Threads that the part's fasteners mix up; without a thread there are none."""
    if not any(fastener.thread for fastener in part.fasteners):
        return []
    from tagbench.rules.count.mixed_threads import new_mix_ups

    return new_mix_ups(tables, part)


def read_behinds(
    tables: Tables, texts: tuple[str, ...], assembly: str, mark: str
) -> tuple[str, ...]:
    """Codes as typed, several in one text apart by `;` or `,`."""
    each = [one.strip() for text in texts for one in re.split("[;,]", text)]
    return tuple(read_behind(tables, one, assembly, mark) for one in each if one)


def read_behind(tables: Tables, text: str, assembly: str, mark: str) -> str:
    """A code, or `last` for the last part that came off in the same assembly."""
    if text.strip().casefold() != "last":
        return typed_part(tables, text)
    last = last_from(tables, mark.strip().upper() or tables.desk.machine, assembly)
    if last is None:
        raise BadInput(
            f"Nothing has come off “{assembly}” yet, so nothing can be last there; give a code."
        )
    return last.code
