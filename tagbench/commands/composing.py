"""`tagbench twin`, `stack`, `together`, `apart`, `wires`: what a part is made of."""

from __future__ import annotations

import click

from tagbench.book.operations import composing
from tagbench.commands.away import show_parts
from tagbench.commands.base import Workplace, book_command, print_json
from tagbench.commands.chosen import machine_meant, machine_option, part_meant
from tagbench.commands.strip import tell_part
from tagbench.errors import BadInput
from tagbench.rules.describe.phrases import named
from tagbench.rules.kept_together import together_words
from tagbench.rules.new_bins import new_bin_words
from tagbench.rules.stacks import going_on_lines, stack_words
from tagbench.rules.twins import twin_of
from tagbench.rules.wiring import pin_rows, pin_words, spell_pins, wired_parts


@click.command()
@click.argument("code")
@click.argument("other", default="")
@click.option("--new", is_flag=True, help="The other side came off: same again, words mirrored.")
@click.option("--bin", "bin_text", default="", help="With --new: the bag it went into.")
@click.option("--apart", is_flag=True, help="They are not twins.")
@book_command
def twin(
    workplace: Workplace,
    code: str,
    other: str,
    new: bool,
    bin_text: str,
    apart: bool,
    as_json: bool,
) -> None:
    """Left and right of the same thing: link CODE with OTHER, or write the other side down anew."""
    book = workplace.book
    part = part_meant(book.records, code)
    if sum([bool(other), new, apart]) > 1 or (bin_text and not new):
        raise BadInput("Choose one: the code of the other one, --new or --apart.")
    if new:
        bins = book.records.bins
        twin_part = composing.strip_twin(book, part.code, bin_text)
        new_bin = new_bin_words(twin_part.bin, bins, book.records.bins)
        tell_part(book.records, twin_part, as_json, new_bin=new_bin)
    elif other:
        both = composing.link_twins(book, part.code, part_meant(book.records, other).code)
        show_parts(workplace, list(both), as_json)
    elif apart:
        show_parts(workplace, [composing.part_twins(book, part.code)], as_json)
    else:
        there = twin_of(book.records, part)
        if as_json:
            print_json({"code": part.code, "twin": part.twin})
        else:
            click.echo(named(there) if there else f"{named(part)} has no twin.")


@click.command()
@click.argument("code")
@click.argument("text", default="")
@click.option("--drop", is_flag=True, help="Take the stack out.")
@book_command
def stack(workplace: Workplace, code: str, text: str, drop: bool, as_json: bool) -> None:
    """Shims, washers, plates in their order: “from the nut: shim 0.3; 2x plate 3; 24 rollers”.

    Without a TEXT, in the order in which they go on, with the measured sum.
    """
    book = workplace.book
    part = part_meant(book.records, code)
    if text and drop:
        raise BadInput("Use --drop on its own.")
    if text or drop:
        part = composing.write_stack(book, part.code, text)
    if as_json:
        show_parts(workplace, [part], as_json)
        return
    click.echo(f"{part.code}  {part.said}: {stack_words(part.stack) if part.stack else 'no stack'}")
    for line in going_on_lines(part):
        click.echo(f"  {line}")


@click.command()
@click.argument("code")
@click.option("--parts", "own_parts", default="", help="What it is made of: “bowl: 4x M4; float”.")
@click.option("--no", "single", is_flag=True, help="It is one thing, no sub-assembly.")
@book_command
def together(workplace: Workplace, code: str, own_parts: str, single: bool, as_json: bool) -> None:
    """A sub-assembly stays in one piece, in one bag, under one tag."""
    book = workplace.book
    part = part_meant(book.records, code)
    if single and own_parts:
        raise BadInput("Use --no on its own.")
    if single:
        part = composing.no_sub_assembly(book, part.code)
    else:
        part = composing.keep_in_one(book, part.code, own_parts)
    if as_json:
        show_parts(workplace, [part], as_json)
    else:
        click.echo(f"{part.code}  {part.said}: {together_words(part) or 'one part'}")


@click.command()
@click.argument("code")
@click.argument("names", nargs=-1)
@click.option("--parts", "own_parts", default="", help="More of it: “bowl: 4x M4; float”.")
@book_command
def apart(
    workplace: Workplace, code: str, names: tuple[str, ...], own_parts: str, as_json: bool
) -> None:
    """Take a sub-assembly apart: all its own parts get codes, or those of these NAMES."""
    part = part_meant(workplace.book.records, code)
    _, parts = composing.take_apart(workplace.book, part.code, names, own_parts)
    if as_json:
        show_parts(workplace, parts, as_json)
        return
    for one in parts:
        tell_part(workplace.book.records, one, as_json)


@click.command()
@click.argument("code", default="")
@click.argument("pins", default="")
@click.option("--routing", default=None, help="How it runs: clips, grommets, what it passes.")
@click.option("--diagram", default=None, help="Which diagram the drawn colours are from.")
@click.option("--drop", is_flag=True, help="Take pins and routing out.")
@machine_option
@book_command
def wires(
    workplace: Workplace,
    code: str,
    pins: str,
    routing: str | None,
    diagram: str | None,
    drop: bool,
    mark: str,
    as_json: bool,
) -> None:
    """Pins of a connector or cable: “1 BN tail lamp; 2 BUYE horn (diagram GN)”; else the table.

    Colours by the two letters of IEC 60757, or in words; base colour first, then the stripe.
    """
    book = workplace.book
    if not code:
        parts = wired_parts(book.records, machine_meant(book.records, mark).mark)
    else:
        part = part_meant(book.records, code)
        if drop:
            part = composing.write_pins(book, part.code, "")
        elif pins or routing is not None or diagram is not None:
            had = part.wiring
            part = composing.write_pins(
                book,
                part.code,
                pins or (spell_pins(had.pins) if had else ""),
                (had.routing if had else "") if routing is None else routing,
                (had.diagram if had else "") if diagram is None else diagram,
            )
        parts = [part]
    if as_json:
        show_parts(workplace, parts, as_json)
        return
    for one in parts:
        click.echo(f"{one.code}  {one.said}")
        if one.wiring is not None:
            for row in pin_rows(one.wiring):
                click.echo(f"  {pin_words(row)}")
            if one.wiring.routing:
                click.echo(f"  routing: {one.wiring.routing}")
    if not parts:
        click.echo("No pins are written down yet; add some with: wires CODE “1 BN tail lamp”")
