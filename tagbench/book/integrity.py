"""Whether the records of a book agree with each other, said in plain sentences."""

from __future__ import annotations

from collections.abc import Iterator

from labels.code import parse_code
from labels.errors import CodeError
from tagbench.records import Tables
from tagbench.rules.bins import bins_around, kept_in_words, same_name
from tagbench.rules.describe.phrases import named
from tagbench.rules.rebuild.links import links_between, loop_words
from tagbench.rules.rebuild.loops import loops


def faults(tables: Tables) -> Iterator[str]:
    """Everything in the records that cannot be right, one sentence each."""
    yield from _codes(tables)
    yield from _tags(tables)
    yield from _machines(tables)
    yield from agreement_faults(tables)
    yield from _counters(tables)


def agreement_faults(tables: Tables) -> Iterator[str]:
    """Loops, names of what is not in the book, and bins that one path leads to both of."""
    yield from _links(tables)
    yield from _bins(tables)
    yield from _paths(tables)
    yield from _named(tables)
    yield from _twins(tables)


def _codes(tables: Tables) -> Iterator[str]:
    for code in {**tables.tags, **tables.parts, **tables.bins}:
        try:
            right = str(parse_code(code))
        except CodeError as error:
            yield f"The code {code} cannot be right: {error}"
        else:
            if right != code:
                yield f"The code {code} should be written {right}."


def _tags(tables: Tables) -> Iterator[str]:
    for kind, records in (("part", tables.parts), ("bin", tables.bins)):
        for code in records:
            tag = tables.tags.get(code)
            if tag is None:
                yield f"The {kind} {code} has no tag, so its code could be given out twice."
            elif tag.kind != kind:
                yield f"The {kind} {code} has a tag that says {tag.kind}."
    for tag in tables.tags.values():
        owners = {"part": tables.parts, "bin": tables.bins}.get(tag.kind)
        if owners is not None and tag.code not in owners:
            yield f"The tag {tag.code} says {tag.kind}, but no {tag.kind} has that code."


def _machines(tables: Tables) -> Iterator[str]:
    unknown = {part.machine for part in tables.parts.values()} - {*tables.machines}
    for mark in sorted(unknown):
        yield f"There are parts with the mark {mark}, but no machine has it."
    for kind, records in (("want", tables.wants), ("setting", tables.settings)):
        for key, record in records.items():
            if record.machine not in tables.machines:
                yield f"The {kind} {key} is for the machine {record.machine}, which is not there."
    if tables.desk.machine and tables.desk.machine not in tables.machines:
        yield f"The chosen machine {tables.desk.machine} is not there; choose another one."


def _links(tables: Tables) -> Iterator[str]:
    marks = sorted({part.machine for part in tables.parts.values()})
    for mark in marks:
        links = links_between(tables.parts_of(mark), tables.parts.__contains__)
        for odd in links.odd:
            words = odd.words
            yield words[:1].upper() + words[1:]
        for loop in loops(links):
            yield f"The parts lie behind each other in a loop: {loop_words(tables.parts, loop)}."


def _bins(tables: Tables) -> Iterator[str]:
    for part in tables.parts.values():
        if part.bin and part.bin not in tables.bins:
            yield f"The part {part.code} is kept in {part.bin}, which is not in the book."
        if part.new_bin and part.new_bin not in tables.bins:
            yield f"The new {named(part)} is kept in {part.new_bin}, which is not there."
    for bin_ in tables.bins.values():
        if bin_.kept_in and bin_.kept_in not in tables.bins:
            yield f"The bin {bin_.code} is kept in {bin_.kept_in}, which is not in the book."
        elif bin_.kept_in and bins_around(bin_.code, tables.bins)[-1].kept_in:
            yield from _bin_loop(tables, bin_.code)


def _bin_loop(tables: Tables, code: str) -> Iterator[str]:
    """A path that does not end runs into a loop; told once, at its first code."""
    loop = bins_around(code, tables.bins)
    last = loop[-1].kept_in
    codes = [bin_.code for bin_ in loop]
    if last in codes and code == min(codes[codes.index(last) :]):
        named = " in ".join([*codes[codes.index(code) :], code])
        yield f"The bins are kept in each other in a loop: {named}."


def _paths(tables: Tables) -> Iterator[str]:
    """Bins of one name right beside each other, in whatever case it is written."""
    seen: dict[tuple[str, str], str] = {}
    for bin_ in tables.bins.values():
        other = seen.setdefault((bin_.kept_in, same_name(bin_.name)), bin_.code)
        if other != bin_.code:
            where = kept_in_words(bin_.kept_in, tables.bins)
            yield f"Two bins called {bin_.name}, {other} and {bin_.code}, are kept {where}."


def _twins(tables: Tables) -> Iterator[str]:
    """Each of two twins names the other."""
    for part in tables.parts.values():
        if not part.twin:
            continue
        twin = tables.parts.get(part.twin)
        if twin is None:
            yield f"{named(part)} names the twin {part.twin}, which is not in the book."
        elif twin.twin != part.code:
            yield f"{named(part)} names {twin.code} as its twin, but not the reverse."


def _named(tables: Tables) -> Iterator[str]:
    naming = (
        ("want", tables.wants, "parts"),
        ("setting", tables.settings, "after"),
    )
    for kind, records, field in naming:
        for key, record in records.items():
            for code in getattr(record, field):
                if code not in tables.parts:
                    yield f"The {kind} {key} names {code}, which is not in the book."


def _counters(tables: Tables) -> Iterator[str]:
    highest: dict[str, int] = {}
    for code in tables.tags:
        mark, serial, _ = code.split("-")
        highest[mark] = max(highest.get(mark, 0), int(serial))
    for mark, last in highest.items():
        if tables.desk.serials.get(mark, 0) < last:
            yield f"The counter of {mark} is below {last}, so a code could be given out twice."
    for table in ("wants", "settings", "stock", "phones"):
        last = max(map(int, getattr(tables, table)), default=0)
        if tables.desk.ids.get(table, 0) < last:
            yield f"The counter of the {table} is below {last}, so a number could come up twice."
