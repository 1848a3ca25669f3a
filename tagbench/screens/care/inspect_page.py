"""What the inspect screen says about a part."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from textual.content import Content

from tagbench.records import Part, Reading, Tables
from tagbench.rules.buying.gaskets import cut_list
from tagbench.rules.care.inspecting import kind_of
from tagbench.rules.care.lines import done_to
from tagbench.rules.care.proposal import proposal, reading_says
from tagbench.rules.care.readings import figures_words, limit_words, usual_readings
from tagbench.screens.shared.part_words import numbers_lines
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.sections import Section

ELSE = Reading(what="measure something else")
"""The last row, which is no reading yet."""
UNKNOWN_KIND = "Nothing is known of this kind of part; K names a kind that is like it."
ROOMY = 100
"""From so many columns on the uncertainty of the tool has room."""


def heading(part: Part, now: datetime) -> Content:
    """Code, name, kind; where from; what was done."""
    count = f"{part.quantity} × " if part.quantity > 1 else ""
    kind = kind_of(part)
    return Content.from_markup(
        "[bold $primary]$code[/]   [bold]$name[/]   [$quiet]$kind[/]\n$from_where\n$done",
        code=part.code,
        name=count + part.name,
        kind=kind.name if kind is not None else "kind not known",
        from_where=", ".join(filter(None, [part.assembly, part.position])) or "no assembly",
        done=done_to(part, now),
    )


def look_for(part: Part) -> Iterator[Section]:
    """What to look for, by kind of part."""
    kind = kind_of(part)
    lines = list(kind.look_for) if kind is not None else [UNKNOWN_KIND]
    if kind is not None and kind.lube:
        lines.append(f"usually lubed with {kind.lube}")
    if kind is not None and kind.renew:
        lines.append("usually renewed at every rebuild")
    yield "Look for (common practice; the maker's manual first)", lines


def reading_rows(part: Part) -> list[Reading]:
    """The readings it has, those usual for its kind, and a row for something else."""
    return [*part.readings, *usual_readings(part), ELSE]


def draw_reading(part: Part, reading: Reading, width: int) -> list[str]:
    """One line: what, the figures, the limit, what that means."""
    if reading is ELSE:
        return [f"+ {reading.what}"]
    roomy = width > ROOMY
    figures = figures_words(reading).partition(" (")[0]
    limit = limit_words(reading) or "no limit known"
    says = reading_says(part, reading).rstrip(".") if reading.values else ""
    if not roomy:
        figures, says = figures.partition(" ±")[0], says.removesuffix(" the limit")
    sizes = (26, 16, 30) if roomy else (15, 14, 19)
    cells = zip((figures, limit, says), sizes, strict=True)
    return [columns(width, (reading.what, 0), *cells, gap=2)]


def proposal_words(part: Part) -> str:
    """What the readings propose, and who decides."""
    said = proposal(part)
    why = "; ".join(why.rstrip(".") for why in said.why)
    if said.verdict == "undecided":
        return f"No proposal ({why}); you decide."
    return f"Proposed: {said.verdict} ({why}); you decide."


def further(part: Part, tables: Tables) -> Iterator[Section]:
    """Part numbers, the gasket to make, pictures: the sections with something in them."""
    if part.part_numbers:
        yield "Part numbers", numbers_lines(part, tables)
    if part.make is not None:
        yield "To make", cut_list(part.make, part.quantity)
    if part.photos:
        moments = [photo.moment or "undated" for photo in part.photos]
        counts = ", ".join(f"{moments.count(one)} {one}" for one in dict.fromkeys(moments))
        yield "Pictures", [counts]
    if part.note:
        yield "Note", part.note.splitlines()
