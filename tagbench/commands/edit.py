"""`tagbench edit` and `remove`: mending what was written about a part."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import click

from tagbench.book.operations.strip import edit, part_by_code, remove
from tagbench.commands.base import Workplace, book_command, part_json, print_answer
from tagbench.commands.strip import read_behinds, tell_part
from tagbench.errors import BadInput
from tagbench.rules.describe.phrases import named
from tagbench.rules.new_bins import new_bin_words
from tagbench.rules.rebuild.corrected_lines import Changed
from tagbench.rules.scan import typed_part
from tagbench.trade.fasteners.reading import read_fasteners


@click.command("edit")
@click.argument("code")
@click.option("--name", default=None, help="What it is.")
@click.option("--from", "assembly", default=None, help="Assembly.")
@click.option("--position", default=None, help="Side or position.")
@click.option("--quantity", default=None, type=int, help="How many alike.")
@click.option("--fasteners", default=None, help="All fasteners afresh, in short form.")
@click.option(
    "--lines",
    type=click.Choice(("same", "others")),
    help="Lines that read as another fastener now: the same ones, their text put right, or others.",
)
@click.option(
    "--measured",
    multiple=True,
    metavar="LINE=THREAD",
    help="A thread or size that was not yet known: 1=M6, 2=3.2x32.",
)
@click.option("--behind", multiple=True, help="All codes that come off first; “none” for none.")
@click.option("--sits-how", default=None, help="Which way round, witness marks.")
@click.option("--bin", "bin_text", default=None, help="Bag or box; “” takes it out.")
@click.option("--new-bin", default=None, help="Where the new one of a replaced part is kept.")
@click.option("--kind", default=None, help="Kind of part for the inspection list.")
@click.option("--note", default=None, help="Anything else.")
@book_command
def edit_command(
    workplace: Workplace,
    /,
    code: str,
    fasteners: str | None,
    lines: Changed | None,
    measured: tuple[str, ...],
    behind: tuple[str, ...],
    bin_text: str | None,
    as_json: bool,
    **about: Any,
) -> None:
    """Change what is written about a part; what is not named stays."""
    book = workplace.book
    part = part_by_code(book.records, typed_part(book.records, code))
    fields = {name: value for name, value in about.items() if value is not None}
    reading = read_fasteners(fasteners or "")
    if fasteners is not None:
        fields["fasteners"] = reading.lines
        if reading.none:
            fields["note"] = reading.note(fields.get("note", part.note))
    if bin_text is not None:
        fields["bin"] = bin_text
    if behind:
        none = [text.strip().casefold() for text in behind] == ["none"]
        fields["behind"] = () if none else read_behinds(book.records, behind, part.assembly, "")
    found = read_measured(measured)
    if not (fields or found):
        raise BadInput("Say what to change, for example: edit CODE --name “Brake drum”.")
    before, bins = book.revision, book.records.bins
    after = edit(book, part.code, lines=lines or "", measured=found, **fields)
    said = () if book.revision != before else ("That is what it says already; nothing changed.",)
    new_bin = " ".join(
        new_bin_words(one, bins, book.records.bins) for one in (after.bin, after.new_bin)
    )
    tell_part(book.records, after, as_json, [*reading.answer(), *said], new_bin.strip())


def read_measured(texts: Sequence[str]) -> dict[int, str]:
    """`1=M6` and `2=3.2x32` as number and text; BadInput for another form, a line twice."""
    found: dict[int, str] = {}
    for text in texts:
        line, _, measured = text.partition("=")
        if not (line.strip().isdecimal() and measured.strip()):
            raise BadInput(f"“{text}” is not a measured line: write number, = and M6 or 3.2x32.")
        if int(line) in found:
            raise BadInput(f"Line {int(line)} is measured twice; give it once.")
        found[int(line)] = measured.strip()
    return found


@click.command("remove")
@click.argument("code")
@book_command
def remove_command(workplace: Workplace, code: str, as_json: bool) -> None:
    """Take a part's record away (undo brings it back); its code is never given out again."""
    book = workplace.book
    part = remove(book, typed_part(book.records, code))
    print_answer(as_json, part_json(part, {}), [f"took away the record of {named(part)}"])
