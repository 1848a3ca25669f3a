"""`tagbench lost`, `stays`, `old`, `finish` and `leftover`: where things are, what was found."""

from __future__ import annotations

import click

from tagbench.book.operations import finishing, loose
from tagbench.book.operations.away import found_again, lose, never_off
from tagbench.book.operations.care import old_piece_gone
from tagbench.commands.away import code_and_line, show_parts
from tagbench.commands.base import Workplace, book_command, print_json
from tagbench.commands.chosen import codes_meant, machine_meant, machine_option, part_meant
from tagbench.errors import BadInput
from tagbench.records import Finish
from tagbench.reports.away_text import loose_lines
from tagbench.rules.days import parse_day
from tagbench.rules.describe.part import OLD_PIECE_WORDS
from tagbench.rules.describe.phrases import named
from tagbench.rules.whereabouts import OLD_PIECES, OldPiece


@click.command()
@click.argument("code")
@click.option("--last-seen", default="", help="Where it was last seen.")
@click.option("--want", is_flag=True, help="Replace it: it goes on the want list.")
@click.option("--found", is_flag=True, help="It turned up again.")
@book_command
def lost(
    workplace: Workplace, code: str, last_seen: str, want: bool, found: bool, as_json: bool
) -> None:
    """A part cannot be found, or was found again."""
    if found and (want or last_seen):
        raise BadInput("Use --found on its own.")
    code = part_meant(workplace.book.records, code).code
    if found:
        part = found_again(workplace.book, code)
    else:
        part, _ = lose(workplace.book, code, last_seen, want=want)
    show_parts(workplace, [part], as_json)


@click.command()
@click.argument("codes", nargs=-1, required=True, metavar="CODE...")
@book_command
def stays(workplace: Workplace, codes: tuple[str, ...], as_json: bool) -> None:
    """Parts that are written down but never taken off, such as the half of a case that stays."""
    wanted = codes_meant(workplace, codes)
    show_parts(workplace, never_off(workplace.book, wanted), as_json)


@click.command()
@click.argument("codes", nargs=-1, required=True, metavar="CODE...")
@click.argument("where", type=click.Choice(OLD_PIECES))
@book_command
def old(workplace: Workplace, codes: tuple[str, ...], where: OldPiece, as_json: bool) -> None:
    """Where the old piece of a replaced part is: thrown out (gone), a pattern, given back."""
    wanted = codes_meant(workplace, codes)
    parts = old_piece_gone(workplace.book, wanted, where)
    if as_json:
        show_parts(workplace, parts, as_json)
        return
    for part in parts:
        click.echo(f"the old {named(part)}: {OLD_PIECE_WORDS[part.old_piece]}")


@click.command()
@click.argument("codes", nargs=-1, required=True, metavar="CODE...")
@click.argument("what")
@click.option("--with", "with_what", default="", help="Colour or product.")
@click.option("--bare", default="", help="What must stay bare: threads, bores, earth points.")
@click.option("--plan", is_flag=True, help="It is still to be done.")
@click.option("--drop", is_flag=True, help="Take that finish off the list.")
@click.option("--on", "day", default="", help="Day it was done; else today.")
@book_command
def finish(
    workplace: Workplace,
    codes: tuple[str, ...],
    what: str,
    with_what: str,
    bare: str,
    plan: bool,
    drop: bool,
    day: str,
    as_json: bool,
) -> None:
    """Parts were blasted, painted, plated, polished, or are to be: WHAT, or a step by its name."""
    book = workplace.book
    wanted = codes_meant(workplace, codes)
    coat = Finish(what=what or "?", with_what=with_what, masked=bare)
    if plan and (drop or day):
        raise BadInput("--plan does not go with --drop or --on.")
    if drop:
        parts = finishing.no_finish(book, wanted, what)
    elif plan:
        parts = finishing.plan(book, wanted, coat)
    else:
        parts = finishing.finish(book, wanted, coat, parse_day(day, book.now().date()))
    if as_json:
        show_parts(workplace, parts, as_json)
        return
    from tagbench.rules.describe.finish import finish_fact

    for part in parts:
        said = "; ".join(finish_fact(one).boxed for one in part.finishes)
        click.echo(f"{part.code}  {part.said}: {said or 'no finish'}")


@click.command()
@click.argument("text", nargs=-1)
@click.option("--explain", type=int, metavar="ITEM", help="Say where an item belongs.")
@click.option("--why", default="", help="Where it belongs, or why it does not matter.")
@click.option("--to", "line", default="", metavar="CODE/LINE", help="The line that is missing it.")
@click.option("--all", "everything", is_flag=True, help="Those that are explained, too.")
@machine_option
@book_command
def leftover(
    workplace: Workplace,
    text: tuple[str, ...],
    explain: int | None,
    why: str,
    line: str,
    everything: bool,
    mark: str,
    as_json: bool,
) -> None:
    """What was found on the bench: TEXT as “M6 bolt 20 long, bench floor”; else the list.

    It stays on the count until it is explained: with --why, or with --to and the line that is
    missing it.
    """
    book = workplace.book
    if explain is not None:
        if bool(why) == bool(line):
            raise BadInput("Say --why in words, or --to which line it belongs.")
        if line:
            code, number = code_and_line(workplace, line)
            items = [loose.belongs_to(book, explain, code, number)[0]]
        else:
            items = [loose.explain(book, explain, why)]
    elif text:
        items = [loose.write_down(book, " ".join(text), mark.strip().upper())]
    else:
        machine = machine_meant(book.records, mark).mark
        mine = [one for one in book.records.loose.values() if one.machine == machine]
        items = [one for one in mine if everything or not one.explained]
    if as_json:
        print_json(items)
        return
    for words in loose_lines(book.records, items):
        click.echo(words)
    if not items:
        click.echo("Nothing was found that is not explained.")
