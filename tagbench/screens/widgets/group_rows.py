"""A list under headings that fold, where many rows are selected at once."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from textual.geometry import Region

from tagbench.screens.frame.messages import Moved
from tagbench.screens.widgets.rows import Rows

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class GroupHeading:
    """The heading of a group."""

    name: str
    """Its name."""
    count: int
    """How many rows stand under it."""
    folded: bool
    """Whether they are hidden."""

    @property
    def key(self) -> str:
        """Its key among the rows; no code looks like it."""
        return f"/{self.name}"

    @property
    def words(self) -> str:
        """`- Front wheel / Brake   (7)`: a plus where there is something folded away."""
        return f"{'+' if self.folded else '-'} {self.name}   ({self.count})"


def under_headings(
    items: Iterable[T], group_of: Callable[[T], str], folded: Collection[str] = ()
) -> list[GroupHeading | T]:
    """The items under headings, groups and items in the order in which they first come."""
    groups: dict[str, list[T]] = {}
    for item in items:
        groups.setdefault(group_of(item), []).append(item)
    rows: list[GroupHeading | T] = []
    for name, members in groups.items():
        rows.append(GroupHeading(name, len(members), name in folded))
        if name not in folded:
            rows += members
    return rows


class GroupRows(Rows[T | GroupHeading]):
    """Rows under headings. Space on a heading selects all that stand under it.

    When a row goes away the cursor stays at its place, so that one goes on down the list.
    """

    def show(self, items: Sequence[T | GroupHeading]) -> None:
        """Shows other rows, the cursor on the same row or, when it is gone, on the next one."""
        at, before = self.cursor, self.current
        super().show(items)
        if before is None:
            self.move_to(0)
        elif self._key(before) not in map(self._key, items):
            self.move_to(at)

    def show_first(self, items: Sequence[T | GroupHeading]) -> None:
        """Shows other rows with the cursor on the first one that is no heading."""
        super().show_first(items)
        self.move_to(0)

    def move_to(self, at: int) -> None:
        """Puts the cursor on a place, or beneath it when a heading stands there."""
        at = min(at, max(0, len(self.items) - 1))
        while at + 1 < len(self.items) and isinstance(self.items[at], GroupHeading):
            at += 1
        self.cursor = at

    def find(self, key: str) -> bool:
        """Puts the cursor on the row with that key; False when it is not in the list."""
        at = next((n for n, item in enumerate(self.items) if self._key(item) == key), None)
        if at is None:
            return False
        self.cursor = at
        return True

    def on_resize(self) -> None:
        super().on_resize()
        self._bring_in_sight()

    def _bring_in_sight(self) -> None:
        """The row under the cursor, with the headings that stand right above it."""
        if not self.size.height:
            return
        first = self.cursor
        while first and isinstance(self.items[first - 1], GroupHeading):
            first -= 1
        first = max(first, self.cursor + 1 - self.size.height // self._step)
        rows = self.cursor - first + 1
        region = Region(0, first * self._step, 1, rows * self._step)
        self.scroll_to_region(region, animate=False, force=True)

    def _under(self, heading: GroupHeading) -> list[str]:
        """The keys of the rows under a heading."""
        at = self.items.index(heading) + 1
        keys = []
        while at < len(self.items) and not isinstance(self.items[at], GroupHeading):
            keys.append(self._key(self.items[at]))
            at += 1
        return keys

    def action_select(self) -> None:
        """Selects the row under the cursor, or all under a heading; again none of them."""
        heading = self.current
        if isinstance(heading, GroupHeading):
            self._toggle(self._under(heading))
            return
        super().action_select()
        self._announce()

    def select_all(self) -> None:
        """Selects every row; again none of them."""
        self._toggle([self._key(item) for item in self.items if not isinstance(item, GroupHeading)])

    def _toggle(self, keys: list[str]) -> None:
        if self.selected_keys.issuperset(keys):
            self.selected_keys.difference_update(keys)
        else:
            self.selected_keys.update(keys)
        self.refresh()
        self._announce()

    def _announce(self) -> None:
        """Another selection counts like another row: what is said about the choice changes."""
        if self.current is not None:
            self.post_message(Moved(self.current, self.id or ""))

    def _edge(self, row: int, item: T | GroupHeading) -> str:
        if not isinstance(item, GroupHeading) or not self._selectable:
            return super()._edge(row, item)
        pointer = "▸ " if self._cursor_in(row) else "  "
        keys = self._under(item)
        every = bool(keys) and self.selected_keys.issuperset(keys)
        return pointer + ("[x] " if every else "    ")
