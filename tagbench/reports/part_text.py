"""Everything about one part, or one bin, as plain lines of text."""

from __future__ import annotations

from collections.abc import Iterator

from tagbench.records import Bin, Part, Tables
from tagbench.rules.bins import inside, path_words
from tagbench.rules.care.pieces import care_of, is_new
from tagbench.rules.rebuild.new_piece import kept_lines
from tagbench.trade.fasteners.spelling import spell

WIDTH = 16
"""Wide enough for the longest label and two blanks."""


def part_lines(tables: Tables, part: Part) -> list[str]:
    """The part's record in the words of the trade, one fact a line, empty facts left out."""
    lines = [f"{part.code}  {part.name}" + (f"  × {part.quantity}" if part.quantity > 1 else "")]
    lines += [f"  {label:{WIDTH}}{text}" for label, text in part_facts(tables, part) if text]
    return lines


def part_facts(
    tables: Tables, part: Part, behind_it: tuple[str, ...] | None = None
) -> Iterator[tuple[str, str]]:
    """Label and text of each fact, in the order in which a person asks for them.

    `behind_it`: the parts that came off behind this one, where they are known already.
    """
    yield "came from", part.assembly
    yield "position", part.position
    for place, words in enumerate(kept_lines(tables, part)):
        yield ("kept" if place == 0 else ""), words
    for line, fastener in enumerate(part.fasteners):
        yield ("fasteners" if line == 0 else ""), spell(fastener)
    yield "sits how", part.sits_how
    yield "behind", listed(tables, part.behind)
    if behind_it is None:
        others = tables.parts.values()
        behind_it = tuple(other.code for other in others if part.code in other.behind)
    yield "comes before", listed(tables, behind_it)
    yield "care", care_words(part)
    yield "verdict", verdict_words(part)
    for reading in part.readings:
        values = ", ".join(f"{value:g}" for value in reading.values) or "not yet measured"
        yield "reading", f"{reading.what}: {values} {reading.unit}"
    for number in part.part_numbers:
        yield "part number", number_words(number.number, number.status, number.superseded_by)
    yield "on the machine", {"off": "", "snug": "snug", "fitted": "fitted"}[part.fitted]
    yield "photos", ", ".join(photo.file for photo in part.photos)
    yield "note", part.note


def listed(tables: Tables, codes: tuple[str, ...]) -> str:
    """Codes with the names of their parts."""
    named = (tables.parts.get(code) for code in codes)
    return ", ".join(
        f"{code} {part.name}" if part else code for code, part in zip(codes, named, strict=True)
    )


def care_words(part: Part) -> str:
    """`degreased with kerosene, inspected`; `still dirty` when nothing was done."""
    done = care_of(part)
    steps = [f"{s.step} with {s.with_what}" if s.with_what else s.step for s in done]
    return ", ".join(steps) or ("new" if is_new(part) else "still dirty")


def verdict_words(part: Part) -> str:
    """The verdict, and whether the replacement is here."""
    if part.verdict != "replace":
        return part.verdict
    return {"": "replace", "wanted": "replace, wanted", "here": "replace, new one here"}[
        part.replacement
    ]


def number_words(number: str, status: str, superseded_by: str) -> str:
    """A part number and what became of it."""
    told = "" if status == "original" else f" ({status})"
    return number + told + (f" → {superseded_by}" if superseded_by else "")


def bin_lines(tables: Tables, one: Bin) -> list[str]:
    """A bin: where it is and what is inside."""
    lines = [f"{one.code}  {path_words(one.code, tables.bins)}"]
    held = inside(one.code, tables)
    lines += [f"  {other.code}  {other.name}" for other in held.bins]
    lines += [f"  {part.code}  {part.name}" for part in held.parts]
    return lines if len(lines) > 1 else [*lines, "  empty"]
