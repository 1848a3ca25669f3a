"""`tagbench photos`: the pictures of a part, and a folder of them by the time they were taken."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import click

from tagbench.book.operations.photos import (
    Folder,
    attach,
    describe_photo,
    drop_photo,
    look_through,
    propose,
)
from tagbench.commands.base import Workplace, book_command, part_json, print_json
from tagbench.commands.chosen import machine_meant, machine_option, part_meant
from tagbench.errors import BadInput
from tagbench.records import Part, Tables, to_json
from tagbench.rules.describe.phrases import moment, plural
from tagbench.rules.photos_by_time import Match, clock_guesses, parse_ahead, spell_ahead

MOMENTS = click.Choice(["before", "after"])


@click.group()
def photos() -> None:
    """Pictures of parts: added, captioned, taken off, matched by time."""


@photos.command("add")
@click.argument("code")
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--caption", default="", help="What they show.")
@click.option("--moment", type=MOMENTS, help="As it came off, or as it went back.")
@book_command
def add(
    workplace: Workplace,
    code: str,
    files: tuple[Path, ...],
    caption: str,
    moment: Any,
    as_json: bool,
) -> None:
    """Put pictures on a part; the files are copied."""
    part = part_meant(workplace.book.records, code)
    chosen = [(file, part.code) for file in files]
    parts = attach(workplace.book, chosen, moment=moment or "", caption=caption)
    show(workplace, parts[0], as_json)


@photos.command("list")
@click.argument("code")
@book_command
def list_photos(workplace: Workplace, code: str, as_json: bool) -> None:
    """The pictures of a part."""
    part = part_meant(workplace.book.records, code)
    if as_json:
        print_json([to_json(photo) for photo in part.photos])
        return
    show(workplace, part, as_json)


@photos.command("describe")
@click.argument("code")
@click.argument("file")
@click.option("--caption", help="What it shows.")
@click.option("--moment", type=MOMENTS, help="As it came off, or as it went back.")
@book_command
def describe(
    workplace: Workplace, code: str, file: str, caption: str | None, moment: Any, as_json: bool
) -> None:
    """Change the caption of a picture (by its file name or number), or when it was taken."""
    part = part_meant(workplace.book.records, code)
    part = describe_photo(workplace.book, part.code, file, caption=caption, moment=moment)
    show(workplace, part, as_json)


@photos.command("drop")
@click.argument("code")
@click.argument("file")
@book_command
def drop(workplace: Workplace, code: str, file: str, as_json: bool) -> None:
    """Take a picture off a part; undo brings it back."""
    part = part_meant(workplace.book.records, code)
    show(workplace, drop_photo(workplace.book, part.code, file), as_json)


def show(workplace: Workplace, part: Part, as_json: bool) -> None:
    """Prints the pictures of a part."""
    if as_json:
        print_json(part_json(part, workplace.book.records.bins))
        return
    click.echo(f"{part.code}  {part.said}: {plural(len(part.photos), 'photo')}")
    for number, photo in enumerate(part.photos, 1):
        words = [f"{number:>3}  {photo.file}", photo.moment, photo.caption]
        words.append(moment(photo.taken) if photo.taken else "")
        click.echo("  ".join(word for word in words if word))


@photos.command("folder")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--ahead", default="", help="How far the camera's clock is ahead: 1:00 or -0:30.")
@click.option("--sure", is_flag=True, help="Attach only those that are sure, without asking.")
@click.option("--yes", is_flag=True, help="Attach all that are offered, without asking.")
@click.option("--moment", type=MOMENTS, help="As it came off, or as it went back.")
@machine_option
@book_command
def folder(
    workplace: Workplace,
    folder: Path,
    ahead: str,
    sure: bool,
    yes: bool,
    moment: Any,
    mark: str,
    as_json: bool,
) -> None:
    """Offer the pictures of a FOLDER for the parts that came off when they were taken.

    Without --sure or --yes each is asked for; with --json alone nothing is attached.
    """
    book = workplace.book
    machine = machine_meant(book.records, mark).mark
    found = look_through(book, folder)
    matches = propose(book, found, machine, parse_ahead(ahead))
    chosen = [m for m in matches if m.code and (yes or (sure and m.sure))]
    if not (sure or yes or as_json):
        chosen = [m for m in matches if m.code and asked(book.records, m)]
    if chosen:
        attach(book, [(Path(m.picture), m.code) for m in chosen], moment=moment or "")
    if as_json:
        print_json([match_json(m, m in chosen) for m in matches])
        return
    for match in matches:
        if match not in chosen:
            click.echo(f"not attached: {Path(match.picture).name}  ({match.words})")
    for sentence in found.unreadable:
        click.echo(sentence)
    click.echo(f"{len(chosen)} attached, {len(found.known)} were in the book already")
    if not ahead and len(chosen) < len(matches):
        say_clock(book.records.parts_of(machine), found, len(chosen))


def say_clock(parts: list[Part], found: Folder, attached: int) -> None:
    """Says when another setting of the camera's clock would find more parts."""
    times = {str(path): time for path, time in found.pictures}
    for ahead, hits in clock_guesses(times, parts)[:1]:
        if ahead and hits > attached:
            hours = spell_ahead(ahead)
            click.echo(f"With the clock {hours} ahead {hits} would find a part: --ahead {hours}")


def asked(tables: Tables, match: Match) -> bool:
    """Asks on the terminal whether a picture belongs to the part it is offered for."""
    if not sys.stdin.isatty():
        raise BadInput("Nobody is there to be asked; add --sure or --yes.")
    name = tables.parts[match.code].name
    question = f"{Path(match.picture).name}: {name} {match.code}, {match.words}?"
    return bool(click.confirm(question, default=match.sure))


def match_json(match: Match, attached: bool) -> dict[str, Any]:
    """A picture with the part it is offered for."""
    return {
        "picture": match.picture,
        "taken": match.taken.isoformat() if match.taken else None,
        "code": match.code,
        "sure": match.sure,
        "others": list(match.others),
        "words": match.words,
        "attached": attached,
    }
