"""A list under headings that fold, where many rows are selected at once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from rich.text import Text
from textual.geometry import Region

from tagbench.screens.frame.messages import Moved
from tagbench.screens.widgets.rows import RowLines, Rows

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


class GroupRows(Rows[T | GroupHeading]):
    """Rows under headings that fold. Space on a heading selects all that stand under it.

    `group_of` names the heading that an item stands under; empty for an item with none. Groups and
    items come in the order in which they are first met. `heading` draws a heading otherwise than in
    its own words. A group of more than `fold_over` items is folded when it is first shown.

    When a row goes away the cursor stays at its place, so that one goes on down the list.
    """

    def __init__(
        self,
        draw: Callable[[T, int], RowLines],
        key: Callable[[T], str],
        group_of: Callable[[T], str],
        *,
        heading: Callable[[GroupHeading, int], str] = lambda heading, _width: heading.words,
        fold_over: int | None = None,
        empty: str = "",
        selectable: bool = False,
        id: str | None = None,  # noqa: A002 - Textual's own name for it
    ) -> None:
        super().__init__(self._draw_row, self._row_key, empty=empty, selectable=selectable, id=id)
        self._draw_item = draw
        self._item_key = key
        self._group_of = group_of
        self._draw_heading = heading
        self._fold_over = fold_over
        self._known: set[str] = set()
        self._all: Sequence[T] = ()
        self.folded: set[str] = set()
        """Names of the groups that are folded."""

    def _draw_row(self, row: T | GroupHeading, width: int) -> RowLines:
        if isinstance(row, GroupHeading):
            return [Text(self._draw_heading(row, width), style="bold")]
        return self._draw_item(row, width)

    def _row_key(self, row: T | GroupHeading) -> str:
        return row.key if isinstance(row, GroupHeading) else self._item_key(row)

    @property
    def shown(self) -> list[T]:
        """The items that are not folded away."""
        return [row for row in self.items if not isinstance(row, GroupHeading)]

    @property
    def here(self) -> T | None:
        """The item under the cursor; None on a heading."""
        return None if isinstance(self.current, GroupHeading) else self.current

    def show_items(self, items: Sequence[T], *, first: bool = False) -> None:
        """Shows other items; with `first`, or when there were none, from the first one on."""
        self._all = items
        groups: dict[str, list[T]] = {}
        for item in items:
            groups.setdefault(self._group_of(item), []).append(item)
        rows: list[T | GroupHeading] = []
        for name, members in groups.items():
            if name and name not in self._known and self._is_long(members):
                self.folded.add(name)
            self._known.add(name)
            if name:
                rows.append(GroupHeading(name, len(members), name in self.folded))
            rows += () if name in self.folded else members
        if first or not self.items:
            self.show_first(rows)
        else:
            self.show(rows)

    def _is_long(self, members: Sequence[T]) -> bool:
        return self._fold_over is not None and len(members) > self._fold_over

    def action_open(self) -> None:
        """Announces that an item was opened; folds or unfolds a heading."""
        if isinstance(self.current, GroupHeading):
            self.folded ^= {self.current.name}
            self.show_items(self._all)
        else:
            super().action_open()

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
