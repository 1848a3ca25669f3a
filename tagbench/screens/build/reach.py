"""Getting back to a part: what must come off again, in order, and what that undoes."""

from __future__ import annotations

from collections.abc import Iterator

from textual.app import ComposeResult

from tagbench.book.operations.building import take_off_again
from tagbench.book.operations.strip import part_by_code
from tagbench.records import Part, Tables
from tagbench.reports.fit_text import STATES, undone_lines
from tagbench.rules.describe.phrases import named
from tagbench.rules.describe.where import where_fact
from tagbench.rules.rebuild.held_up import on_machine
from tagbench.rules.rebuild.links import links_of
from tagbench.rules.rebuild.reach import Undoing, in_front, reach_part, undoing
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.facts import CardPage, Facts, Labelled


class ReachDialog(TagbenchDialog[str]):
    """The way back to a part; gives words that say what came off."""

    CSS_PATH = stylesheets("card", "rebuild")
    AUTO_FOCUS = "#reach"
    actions = (
        Action(
            "o",
            "with_it",
            "All came off",
            "What is in the way came off, and the part too.",
            writes=True,
        ),
        Action(
            "w",
            "way",
            "Way is clear",
            "What is in the way came off; the part stays as it is.",
            writes=True,
        ),
    )

    def __init__(self, code: str) -> None:
        super().__init__()
        self.heading = f"Getting back to {code}"
        self._code = code

    def body(self) -> ComposeResult:
        with CardPage(around=9, id="reach"):
            yield Facts()

    def on_mount(self) -> None:
        with self.refusing():
            part = part_by_code(self.tables, self._code)
            self.query_one(Facts).show(reach_facts(self.tables, part))

    def action_way(self) -> None:
        self._take_off(itself=False)

    def action_with_it(self) -> None:
        self._take_off(itself=True)

    def _take_off(self, *, itself: bool) -> None:
        with self.refusing():
            taken = take_off_again(self.book, self._code, with_outer=True, itself=itself)
            self.dismiss(f"Off again: {', '.join(part.said for part in taken)}.")


def reach_facts(tables: Tables, part: Part) -> Iterator[Labelled]:
    """What comes off in which order, and what that undoes."""
    way = reach_part(tables, part.code)
    yield Labelled("part", [f"{named(part)}: {STATES[part.fitted]}"], "strong")
    yield Labelled("where", [] if on_machine(part) else [where_fact(tables, part).words])
    if way.take_off:
        yield Labelled("take off", list(numbered(tables, way.take_off)), "strong")
    else:
        free = "it" if on_machine(part) else "its place"
        yield Labelled("take off", [f"nothing: {free} can be got at as it is"])
    yield from undone_facts(tables, all_off(tables, part))


def all_off(tables: Tables, part: Part) -> Undoing:
    """What is undone when the part comes off with all that is in its way."""
    links = links_of(tables, part.machine)
    here = links.at(part.code)
    return undoing(tables, links, in_front(links, [here]) | ({here} if on_machine(part) else set()))


def undone_facts(tables: Tables, undone: Undoing) -> Iterator[Labelled]:
    """What becomes unfitted, unsnugged and unsettled, and what is to be done again."""
    yield Labelled("unfitted", [tables.parts[code].name for code in undone.unfitted])
    yield Labelled("unsnugged", [tables.parts[code].name for code in undone.unsnugged])
    yield Labelled("then", [line.strip() for line in undone_lines(undone)])


def numbered(tables: Tables, codes: list[str]) -> Iterator[str]:
    """`1. Chain guard TP-051-3`."""
    for number, code in enumerate(codes, 1):
        yield f"{number}. {tables.parts[code].said} {code}"
