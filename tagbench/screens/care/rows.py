"""The rows of the clean screen: parts under the headings of their assemblies, a line each."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from tagbench.records import Part, Tables
from tagbench.rules.bins import kept_in_words
from tagbench.rules.care.lines import by_assembly
from tagbench.rules.care.proposal import proposal
from tagbench.rules.care.words import marks
from tagbench.screens.shared.part_words import named
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.grouped import Heading

NO_ASSEMBLY = "No assembly"
ROOMY = 90
"""From so many columns on a row also says where the part is kept."""
STANDING, WHERE = 26, 26
"""Columns for where the part stands in its care, and for where it is kept."""

Row = Part | Heading


def row_key(row: Row) -> str:
    """The code, or the key of the heading."""
    return row.key if isinstance(row, Heading) else row.code


def under_headings(parts: Iterable[Part], folded: Collection[str]) -> list[Row]:
    """The parts under the headings of their assemblies; those of folded ones left out."""
    rows: list[Row] = []
    for group in by_assembly(parts):
        name = group.assembly or NO_ASSEMBLY
        rows.append(Heading(name, len(group.parts), name in folded))
        rows += () if name in folded else group.parts
    return rows


def clean_counts(parts: Iterable[Part]) -> dict[str, str]:
    """Heading → how many parts of the assembly are clean, in words."""
    return {
        group.assembly or NO_ASSEMBLY: f"{group.clean} of {len(group.parts)} clean"
        for group in by_assembly(parts)
    }


def draw_heading(heading: Heading, clean: str, width: int) -> str:
    """The heading, and above the column of the parts how many are clean."""
    more = [("", WHERE)] if width > ROOMY else []
    return columns(width, (heading.words, 0), (clean, STANDING), *more, gap=2)


def draw_part(part: Part, standing: str, aside: str, width: int) -> str:
    """Code, marks, what, where it stands; `aside` only when there is room."""
    cells = [(part.code, 9), (marks(part), 5), (what(part), 0), (standing, STANDING)]
    if width > ROOMY:
        cells.append((aside, WHERE))
    return columns(width, *cells, gap=2)


def what(part: Part) -> str:
    """`2 × brake shoe, left`."""
    count = f"{part.quantity} × " if part.quantity > 1 else ""
    return count + part.name + (f", {part.position}" if part.position else "")


def where(part: Part, tables: Tables) -> str:
    """The bag or box it is in, without what holds that; nothing on the machine or in no bin."""
    if not part.bin or part.fitted != "off":
        return ""
    return kept_in_words(part.bin, tables.bins).split(", ")[0]


def marked_words(parts: Sequence[Part], what: str, with_what: str) -> str:
    """What was marked, and what the person may want to know about it."""
    words = f"{what.capitalize()}: {named(parts)}"
    if with_what:
        words += f", with {with_what}"
    if what == "replace" and any(part.replacement == "wanted" for part in parts):
        words += "; on the want list" if all(part.make is None for part in parts) else ""
    doubtful = [part for part in parts if proposal(part).verdict == "replace"]
    if what == "reuse" and doubtful:
        words += f"; but {named(doubtful)} is proposed for replacing"
        words += f" ({proposal(doubtful[0]).why[0].rstrip('.')})" if len(doubtful) == 1 else ""
    return f"{words}."
