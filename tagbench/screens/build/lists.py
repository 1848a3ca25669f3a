"""The lists of the build screen: worked out once for each state of the book."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field
from datetime import date

from tagbench.records import Part, Tables
from tagbench.rules.rebuild.held_up import Reason
from tagbench.rules.rebuild.overview import Build, build
from tagbench.rules.rebuild.tonight import tonight_with
from tagbench.screens.shared.grouped import Heading, grouped
from tagbench.screens.widgets.views import View

READY, TONIGHT, HELD_UP, ON, ORDER = "Ready", "Tonight", "Held up", "On", "Order"
SAYS = {
    READY: "Nothing stands in the way: these can go on now.",
    TONIGHT: "With what is here these can go on tonight, one after the other.",
    HELD_UP: "These wait; every reason is beneath. Enter shows what fitting would cost.",
    ON: "On the machine. What is still open about one stands beneath.",
    ORDER: "The whole rebuild in order, deepest first.",
}
"""List → what it is, in a sentence."""
NO_ASSEMBLY = "No assembly"

Row = str | Heading
"""A code, or the heading of an assembly."""


@dataclass(frozen=True, eq=False)
class Lists:
    """Every list of one machine, as codes; a snapshot of the book."""

    now: Build
    """Where the rebuild stands."""
    revision: int
    """State of the book it was made from."""
    reasons: dict[str, tuple[Reason, ...]]
    """Code → why the part is held up."""
    codes: dict[str, list[str]]
    """List → its codes in rebuild order."""
    problems: list[str]
    """What is wrong with the links, in sentences."""
    places: dict[str, dict[str, int]] = field(default_factory=dict)
    """List → code → its place in the list, counted from 1; made when first asked for."""

    def part(self, code: str) -> Part:
        """The part as it was when the lists were made."""
        return self.now.links.part(code)

    @property
    def views(self) -> list[View]:
        """The lists with their counts."""
        return [View(name, len(codes)) for name, codes in self.codes.items()]

    def says(self, view: str) -> str:
        """What a list is; and the first thing that is wrong with the links."""
        more = f" (and {len(self.problems) - 1} more)" if len(self.problems) > 1 else ""
        return SAYS[view] + "".join(f"\n✗ {words}{more}" for words in self.problems[:1])

    def place(self, view: str, code: str) -> int:
        """Place of a code in a list, counted from 1."""
        if view not in self.places:
            self.places[view] = {one: at for at, one in enumerate(self.codes[view], 1)}
        return self.places[view][code]

    def rows(self, view: str, by_assembly: bool, folded: Collection[str]) -> list[Row]:
        """The rows of a list, under headings when it is wanted by assembly."""
        codes = self.codes[view]
        return grouped(codes, self.assembly, folded) if by_assembly else list(codes)

    def assembly(self, code: str) -> str:
        """The assembly of a part, as a heading."""
        return self.part(code).assembly or NO_ASSEMBLY


def lists_of(tables: Tables, mark: str, revision: int, today: date) -> Lists:
    """Works the lists out in one pass over parts and links."""
    now = build(tables, mark, today)
    codes = {
        READY: now.ready,
        TONIGHT: tonight_with(tables, now.links),
        HELD_UP: [one.code for one in now.held_up],
        ON: [*now.snug, *now.fitted],
        ORDER: now.order,
    }
    reasons = {one.code: one.reasons for one in now.held_up}
    return Lists(now, revision, reasons, codes, now.problems)
