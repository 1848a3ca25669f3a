"""The main job in text: take a part off, print its tag, read the tag back, find four screws."""

from __future__ import annotations

import shlex
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from demo.story import StillOn, story
from labels.errors import NoReaderError
from labels.scanning.reading import read_file
from labels.symbols.payload import payload
from tagbench.book import Book
from tagbench.book.operations.printing import print_tags
from tagbench.book.operations.strip import StripForm, last_from, strip_part
from tagbench.book.operations.tagging import queued
from tagbench.records import Part, Tables
from tagbench.reports.part_text import part_lines
from tagbench.rules.bins import kept_in_words
from tagbench.rules.describe.phrases import plural
from tagbench.rules.find.index import Index
from tagbench.rules.scan import open_tag
from tagbench.trade.fasteners.spelling import spell
from tagbench.trade.fasteners.text import parse_fasteners

Out = Callable[[str], object]

QUESTION = "four backing-plate screws"
STOCK = "a4-3x8-70x37"
SHEET = "tags.pdf"


def walk(folder: Path, out: Out) -> None:
    """Walks the main job on the demo book in `folder` and tells each step in plain lines.

    It uses what the commands use; the command that does the same stands above each step.
    Raises the errors of the steps: BookError, BadInput, and those of `labels`.
    """
    with Book(folder) as book:
        _tell_machine(book, out)
        part = _take_off(book, out)
        sheet = _print(book, out)
        _read_back(book.records, sheet, part, out)
        _find(book.records, book.now(), out)
    _heading(out, "Now it is your turn", "find kick spring")
    out("Without a command, in a terminal, the same opens the screens.")


def _heading(out: Out, words: str, *commands: str) -> None:
    out("")
    out(words)
    for command in commands:
        out(f"  $ tagbench --book DEMO {command}")


def _tell_machine(book: Book, out: Out) -> None:
    parts = book.records.parts_of(story().machine.mark)
    on = sum(part.fitted != "off" for part in parts)
    out(f"{story().machine.name}: an invented delivery three-wheeler, in pieces since the autumn.")
    out(f"{len(parts)} parts are written down; {on} are back on. The rebuild is about to begin.")
    out(f"DEMO below stands for {shlex.quote(str(book.folder))}")


def _take_off(book: Book, out: Out) -> Part:
    """The next thing that is still on the machine comes off and goes into a bag."""
    there = {part.name for part in book.records.parts_of(story().machine.mark)}
    told = next((one for one in story().still_on if one.name not in there), story().still_on[0])
    _heading(
        out,
        "1. A part comes off, goes into a bag and gets a code.",
        f"strip {_quoted(told.name)} --from {_quoted(told.assembly)}"
        f" --fasteners {_quoted(told.fasteners)} --bin {_quoted(told.bin)}",
    )
    part = strip_part(book, _form(book.records, told))
    held = ", ".join(spell(fastener) for fastener in part.fasteners)
    out(f"    {part.code}  {part.name}, held by {held}")
    out(f"    {kept_in_words(part.bin, book.records.bins)}")
    return part


def _form(tables: Tables, told: StillOn) -> StripForm:
    mark = story().machine.mark
    before = last_from(tables, mark, told.assembly)
    return StripForm(
        name=told.name,
        assembly=told.assembly,
        position=told.position,
        fasteners=tuple(parse_fasteners(told.fasteners)),
        sits_how=told.sits_how,
        bin=told.bin,
        behind=(before.code,) if before else (),
        part_number=told.number,
        mark=mark,
    )


def _quoted(text: str) -> str:
    return f'"{text}"' if " " in text else text


def _print(book: Book, out: Out) -> Path:
    """Everything in the print queue goes on a sheet of labels."""
    sheet = book.folder / SHEET
    _heading(
        out,
        "2. The tags that wait are printed, at true size, for a sheet of 24 labels.",
        f"tags --queued --stock {STOCK} -o {SHEET}",
    )
    codes = [tag.code for tag in queued(book.records)]
    printed = print_tags(book, codes, STOCK, target=sheet)
    out(f"    {printed.tags} tags on {plural(printed.pages, 'page')} in {sheet}")
    out(f"    symbols with modules of {printed.module_mm:.2f} mm, level {printed.level}")
    return sheet


def _read_back(tables: Tables, sheet: Path, part: Part, out: Out) -> None:
    """The symbols on the sheet are read as a camera would; the new part's tag is opened."""
    _heading(
        out,
        "3. Months later a scanner, or a phone, reads the tag on the bag.",
        f"scan {part.code}",
    )
    texts = _texts(sheet, payload(part.code, tables.desk.phone_address), out)
    opened = [open_tag(tables, text) for text in texts]
    mine = next(one for one in opened if one.code == part.code)
    out(f"    {mine.code} is the {mine.kind} {part.name}, from {part.assembly}")


def _texts(sheet: Path, printed: str, out: Out) -> list[str]:
    """What the symbols on the sheet say; where no reader is installed, what was `printed`."""
    try:
        texts = [seen.text for seen in read_file(sheet)]
    except NoReaderError as error:
        out(f"    ({error} Until then the text that the symbol holds is taken as read.)")
        return [printed]
    out(f"    {len(texts)} symbols read from the sheet: {', '.join(texts)}")
    return texts


def _find(tables: Tables, now: datetime, out: Out) -> None:
    """Where are the four backing-plate screws?"""
    _heading(out, f"4. Where are the {QUESTION}?", f"find {QUESTION}")
    found = Index(tables).find(QUESTION, limit=3)
    for one in found:
        held = "; ".join(spell(fastener) for fastener in one.part.fasteners)
        line = f"    {one.part.code}  {one.part.name}  ({one.part.assembly})"
        out(f"{line}  {held}" if held else line)
    best = found[0].part
    out(f"    The first one is meant, and it is {kept_in_words(best.bin, tables.bins)}.")
    _heading(out, "5. All that is known about them.", f"show {best.code}")
    for line in part_lines(tables, best, now):
        out(f"    {line}")
