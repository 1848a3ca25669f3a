"""The lists of the buy screen: worked out once for each state of the book."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from tagbench.records import Tables, Want
from tagbench.rules.buying.holding import hold_ups
from tagbench.rules.buying.single_use import Needed, needed
from tagbench.rules.buying.wants import Total, standing, totals
from tagbench.screens.widgets.views import View

OPEN, TO_ORDER, ORDERED, OVERDUE, ARRIVED = "Open", "To order", "Ordered", "Overdue", "Arrived"
LISTS = (OPEN, TO_ORDER, ORDERED, OVERDUE, ARRIVED)


@dataclass(frozen=True)
class Lists:
    """The wants of one machine by where they stand."""

    wants: dict[str, list[Want]] = field(default_factory=lambda: {name: [] for name in LISTS})
    """List → wants, what holds up most first; arrived ones the latest first."""
    held: dict[int, list[str]] = field(default_factory=dict)
    """Number of a want → codes of the parts it holds up."""
    totals: list[Total] = field(default_factory=list)
    """What the open wants cost, by supplier."""
    single_use: list[Needed] = field(default_factory=list)
    """Single-use items that are to be bought and are not wanted yet."""

    @property
    def views(self) -> list[View]:
        """The lists with their counts."""
        return [View(name, len(self.wants[name])) for name in LISTS]


def lists_of(tables: Tables, mark: str, today: date) -> Lists:
    """Works the lists out for one machine."""
    held = hold_ups(tables, mark)
    mine = [want for want in tables.wants.values() if want.machine == mark]
    mine.sort(key=lambda want: (-len(held.get(want.id, ())), want.id))
    stands = {want.id: standing(want, today) for want in mine}
    here = [want for want in mine if stands[want.id] == "arrived"]
    coming = [want for want in mine if stands[want.id] != "arrived"]
    wants = {
        OPEN: coming,
        TO_ORDER: [want for want in coming if stands[want.id] == "to order"],
        ORDERED: [want for want in coming if stands[want.id] != "to order"],
        OVERDUE: [want for want in coming if stands[want.id] == "overdue"],
        ARRIVED: sorted(here, key=lambda want: (want.arrived or today, want.id), reverse=True),
    }
    lacking = [row for row in needed(tables, mark) if row.to_buy]
    return Lists(wants, held, totals(coming), lacking)
