"""What follows from the records as they are now, worked out once for all phones that ask."""

from __future__ import annotations

from datetime import date

from tagbench.records import Part, Tables
from tagbench.rules.find.index import Found, Index
from tagbench.rules.rebuild.held_up import Obstacles, Reason, obstacles
from tagbench.rules.rebuild.links import links_of
from tagbench.rules.scan import Opened

PAGES_KEPT = 400
"""So many finished pages are kept, some 10 kB each, until the records change."""


class Outlook:
    """Over one snapshot of the records; worked out in the thread that reads for the phones."""

    def __init__(self, tables: Tables, today: date | None = None) -> None:
        self.tables = tables
        self.today = today
        self.pages: dict[str, tuple[Opened, str]] = {}
        self._machines: dict[str, Obstacles] = {}

    def _machine(self, mark: str) -> Obstacles:
        if mark not in self._machines:
            self._machines[mark] = obstacles(self.tables, links_of(self.tables, mark), self.today)
        return self._machines[mark]

    def keep(self, typed: str, opened: Opened, text: str) -> None:
        """Keeps the page of a tag, by the code as it was typed, as long as the records stand."""
        if len(self.pages) >= PAGES_KEPT:
            self.pages.clear()
        self.pages[typed] = opened, text

    def goes_on_after(self, part: Part) -> list[Part]:
        """The parts that must be on before this one, straight links only, latest off first."""
        links = self._machine(part.machine).links
        return [links.parts[place] for place in sorted(links.deeper[links.at(part.code)])][::-1]

    def goes_on_before(self, part: Part) -> list[Part]:
        """The parts that go on over this one, straight links only."""
        links = self._machine(part.machine).links
        return [links.parts[place] for place in sorted(links.outer[links.at(part.code)])][::-1]

    def reasons(self, part: Part) -> list[Reason]:
        """Why the part cannot go on yet; empty when it is ready."""
        machine = self._machine(part.machine)
        return machine.reasons(machine.links.at(part.code))


class Lookout:
    """Keeps the outlook and the index of the newest snapshot that was asked about."""

    def __init__(self) -> None:
        self._outlook = Outlook(Tables())
        self._index = Index()
        self._indexed = Tables()

    def over(self, tables: Tables, today: date | None = None) -> Outlook:
        """The outlook over these records on a day, which tells what is overdue."""
        if self._outlook.tables is not tables or self._outlook.today != today:
            self._outlook = Outlook(tables, today)
        return self._outlook

    def kept(self, tables: Tables, typed: str) -> tuple[Opened, str] | None:
        """The page of a tag when it was made for these very records; from any thread."""
        outlook = self._outlook
        return outlook.pages.get(typed) if outlook.tables is tables else None

    def find(self, tables: Tables, words: str, limit: int) -> list[Found]:
        """The parts that answer best, best first, of all machines."""
        if self._indexed is not tables:
            self._index.refresh(tables)
            self._indexed = tables
        return self._index.find(words, limit)
