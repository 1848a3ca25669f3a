"""`tagbench show` and `scan`: looking up what a tag names."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from pathlib import Path
from typing import Any

import click

from tagbench.commands.base import Workplace, book_command, part_json, print_json
from tagbench.errors import BadInput
from tagbench.records import Bin, Part, Tables, to_json
from tagbench.rules.scan import Opened, look_up, open_tag, other_machine, typed_code

PICTURE_ENDINGS = frozenset({".png", ".jpg", ".jpeg", ".webp", ".bmp", ".tif", ".tiff", ".pdf"})
"""Endings by which a missing file is told from a scanned text."""


@click.command()
@click.argument("code")
@book_command
def show(workplace: Workplace, code: str, as_json: bool) -> None:
    """Show the whole record of a part or bin."""
    tables = workplace.book.records
    opened = look_up(tables, typed_code(tables, code))
    print_opened(tables, opened, workplace.book.now(), as_json, bare=True)


@click.command()
@click.argument("text_or_image", required=False, default="")
@click.option("--webcam", is_flag=True, help="Look through the camera instead.")
@book_command
def scan(workplace: Workplace, text_or_image: str, webcam: bool, as_json: bool) -> None:
    """Open what a tag names: scanned text, a picture or PDF with one or many tags."""
    tables = workplace.book.records
    texts, now = texts_from(text_or_image, webcam), workplace.book.now()
    if len(texts) == 1:
        print_opened(tables, open_tag(tables, texts[0]), now, as_json)
        return
    opened = [open_or_told(tables, text) for text in texts]
    if as_json:
        print_json([opened_json(tables, o) if isinstance(o, Opened) else o for o in opened])
        return
    for one in opened:
        if isinstance(one, Opened):
            print_opened(tables, one, now, as_json=False)
        else:
            click.echo(f"{one['text']}  {one['problem']}")


def texts_from(text: str, webcam: bool) -> list[str]:
    """What the tags in a picture, a PDF or before the camera say; else the text itself."""
    from labels.scanning.reading import read_camera, read_file
    from tagbench.commands.progress import long_work

    if webcam:
        return unique(seen.text for seen in read_camera())
    if not text.strip():
        raise BadInput("Say what was scanned: the text of a tag, a picture or a PDF.")
    path = Path(text)
    if looks_like_file(path):
        with long_work("Reading pages", worth=3) as told:
            return unique(seen.text for seen in read_file(path, told))
    return [text]


def looks_like_file(path: Path) -> bool:
    """Whether a text means a file: it is there, or it ends like a picture or a PDF."""
    try:
        return path.is_file() or path.suffix.casefold() in PICTURE_ENDINGS
    except (OSError, ValueError):
        return False


def unique(texts: Iterable[str]) -> list[str]:
    """Each text once, in the order in which it was seen."""
    return list(dict.fromkeys(texts))


def open_or_told(tables: Tables, text: str) -> Opened | dict[str, Any]:
    """The record behind one of many tags, or in words why there is none."""
    from labels.errors import LabelError
    from tagbench.errors import TagbenchError

    try:
        return open_tag(tables, text)
    except (LabelError, TagbenchError) as error:
        return {
            "code": None,
            "kind": "unknown",
            "record": None,
            "text": text,
            "problem": str(error),
        }


def opened_json(tables: Tables, opened: Opened) -> dict[str, Any]:
    """`{"code", "kind", "record", "other_machine"}`: the last names a machine not chosen."""
    return {
        "code": opened.code,
        "kind": opened.kind,
        "record": to_json(opened.record),
        "other_machine": other_machine(tables, opened.code),
    }


def print_opened(
    tables: Tables, opened: Opened, now: datetime, as_json: bool, bare: bool = False
) -> None:
    """Prints a record; `bare` leaves out the code and kind around it."""
    from tagbench.reports.part_text import bin_lines, part_lines

    record = opened.record
    if as_json and not bare:
        value = opened_json(tables, opened)
        if isinstance(record, Part):
            value["record"] = part_json(record, tables.bins)
        print_json(value)
    elif as_json:
        print_json(part_json(record, tables.bins) if isinstance(record, Part) else record)
    elif isinstance(record, Part):
        click.echo("\n".join(part_lines(tables, record, now)))
        if other := other_machine(tables, record.code):
            click.echo(f"  Beware: this tag belongs to another machine, {other}.")
    elif isinstance(record, Bin):
        click.echo("\n".join(bin_lines(tables, record)))
    else:
        click.echo(
            f"{opened.code}  spare tag; take a part off with: strip NAME --code {opened.code}"
        )
