"""The whole book of a machine: every part with all that is known about it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from tagbench.records import Part
from tagbench.reports.asked import Asked, Row
from tagbench.reports.page import render
from tagbench.reports.part_text import WIDTH, care_words, part_facts, verdict_words
from tagbench.rules.bins import path_words
from tagbench.rules.rebuild.links import Links, links_of
from tagbench.trade.fasteners.spelling import spell_all

COLUMNS = (
    *("code", "name", "quantity", "assembly", "position", "order", "removed", "kept_in"),
    *("fasteners", "sits_how", "behind", "care", "verdict", "readings", "part_numbers"),
    *("fitted", "fitted_at", "photos", "note"),
)
"""The columns of the book as CSV; `export` writes the columns that `import` reads."""


def text(asked: Asked) -> Iterator[str]:
    """Every part in plain lines, in removal order."""
    machine = asked.machine
    yield f"The book of {machine.name} ({machine.mark}), {asked.printed:%Y-%m-%d}"
    for part, facts in parts_with_facts(asked):
        yield ""
        yield f"{part.code}  {part.name}" + (f"  × {part.quantity}" if part.quantity > 1 else "")
        yield from (f"  {label:{WIDTH}}{words}" for label, words in facts)


def rows(asked: Asked) -> Iterator[Row]:
    """Every part as a line of CSV."""
    yield COLUMNS
    for part in asked.parts:
        yield (
            *(part.code, part.name, part.quantity, part.assembly, part.position, part.order),
            *(_moment(part.removed), path_words(part.bin, asked.tables.bins)),
            *(spell_all(part.fasteners), part.sits_how, "; ".join(part.behind)),
            *(care_words(part), verdict_words(part), _readings(part)),
            "; ".join(number.number for number in part.part_numbers),
            *(part.fitted, _moment(part.fitted_at)),
            *("; ".join(photo.file for photo in part.photos), part.note),
        )


def page(asked: Asked) -> str:
    """Every part as a page to print, with its symbol and, when wanted, its pictures."""
    return render("book.html", asked, parts=parts_with_facts(asked), count=len(asked.parts))


def parts_with_facts(asked: Asked) -> Iterator[tuple[Part, list[tuple[str, str]]]]:
    """Each part with what is to be said about it; reports each as it is reached."""
    links = links_of(asked.tables, asked.machine.mark)
    for number, part in enumerate(links.parts, 1):
        facts = part_facts(asked.tables, part, _behind_it(links, number - 1))
        yield part, [(label, words) for label, words in facts if words]
        asked.progress(number, len(links.parts))


def _behind_it(links: Links, place: int) -> tuple[str, ...]:
    return tuple(links.codes(links.deeper[place]))


def _readings(part: Part) -> str:
    return "; ".join(
        f"{one.what} {', '.join(f'{value:g}' for value in one.values)} {one.unit}"
        for one in part.readings
        if one.values
    )


def _moment(when: datetime | None) -> str:
    return when.isoformat() if when else ""
