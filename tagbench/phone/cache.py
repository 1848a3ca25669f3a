"""What follows from the records as they are now, worked out once a change for all phones."""

from __future__ import annotations

from datetime import date

from tagbench.records import Part, Tables
from tagbench.rules.find.index import Found, Index
from tagbench.rules.rebuild.held_up import Obstacles, Reason, obstacles
from tagbench.rules.rebuild.links import links_of

PAGES_KEPT = 400
"""So many finished pages are kept, some 10 kB each, until the records change."""


class Snapshot:
    """What follows from one snapshot of the records; worked out in the thread that reads."""

    def __init__(self, tables: Tables, today: date | None = None) -> None:
        self.tables = tables
        self.today = today
        self._pages: dict[str, str] = {}
        self._machines: dict[str, Obstacles] = {}

    def machine(self, mark: str) -> Obstacles:
        """What stands in the way of each part of a machine."""
        if mark not in self._machines:
            self._machines[mark] = obstacles(self.tables, links_of(self.tables, mark), self.today)
        return self._machines[mark]

    def page(self, key: str) -> str:
        """The page kept under that key; empty when there is none."""
        return self._pages.get(key, "")

    def keep(self, key: str, page: str) -> None:
        """Keeps a page as long as the records stand."""
        if len(self._pages) >= PAGES_KEPT:
            self._pages.clear()
        self._pages[key] = page

    def goes_on_after(self, part: Part) -> list[Part]:
        """The parts that must be on before this one, straight links only, latest off first."""
        links = self.machine(part.machine).links
        return [links.parts[place] for place in sorted(links.deeper[links.at(part.code)])][::-1]

    def goes_on_before(self, part: Part) -> list[Part]:
        """The parts that go on over this one, straight links only."""
        links = self.machine(part.machine).links
        return [links.parts[place] for place in sorted(links.outer[links.at(part.code)])][::-1]

    def reasons(self, part: Part) -> list[Reason]:
        """Why the part cannot go on yet; empty when it is ready."""
        machine = self.machine(part.machine)
        return machine.reasons(machine.links.at(part.code))


class Cache:
    """Keeps the newest snapshot that was asked about, and the index over its parts.

    `over` is called in the thread that makes pages, `find` in the one that finds.
    """

    def __init__(self) -> None:
        self._snapshot = Snapshot(Tables())
        self._index = Index()
        self._indexed = Tables()

    def over(self, tables: Tables, today: date | None = None) -> Snapshot:
        """The snapshot of these records on a day, which tells what is overdue."""
        if self._snapshot.tables is not tables or self._snapshot.today != today:
            self._snapshot = Snapshot(tables, today)
        return self._snapshot

    def page(self, tables: Tables, key: str) -> str:
        """The page kept for these very records, or nothing; from any thread."""
        snapshot = self._snapshot
        return snapshot.page(key) if snapshot.tables is tables else ""

    def find(self, tables: Tables, words: str, limit: int) -> list[Found]:
        """The parts that answer best, best first, of all machines."""
        return self._up_to_date(tables).find(words, limit)

    def unknown_code(self, tables: Tables, words: str) -> str:
        """A sentence about the code that was typed when no part has it; else empty."""
        return self._up_to_date(tables).unknown_code(words)

    def _up_to_date(self, tables: Tables) -> Index:
        if self._indexed is not tables:
            self._index.refresh(tables)
            self._indexed = tables
        return self._index
