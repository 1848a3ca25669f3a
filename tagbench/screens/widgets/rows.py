"""A list that draws only the rows in sight, so that ten thousand cost no more than ten."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Generic, TypeVar

from rich.segment import Segment
from rich.style import Style
from rich.text import Text
from textual import events
from textual.geometry import Region, Size
from textual.reactive import var
from textual.scroll_view import ScrollView
from textual.strip import Strip

from tagbench.screens.frame.actions import IN_LISTS, bindings
from tagbench.screens.frame.messages import Moved, NoneToOpen, RowOpened, SelectionChanged

T = TypeVar("T")

RowLines = Sequence[str | Text]
"""The lines of one row, top first."""


class Rows(ScrollView, Generic[T], can_focus=True):
    """Rows of equal height with a cursor; `draw(item, width)` gives the lines of one row.

    The cursor is a mark at the left edge besides its colour; it is seen while the list has the
    focus, or always when it is `driven` from a field. `roomy` rows have a gap between them where
    the terminal is high. With `selectable`, Space selects rows; `selected_keys`
    holds their keys.
    """

    COMPONENT_CLASSES = {"rows--cursor", "rows--cursor-driven", "rows--quiet"}
    BINDINGS = bindings(IN_LISTS)

    cursor: var[int] = var(0)

    def __init__(
        self,
        draw: Callable[[T, int], RowLines],
        key: Callable[[T], str],
        *,
        height: int = 1,
        empty: str = "",
        selectable: bool = False,
        driven: bool = False,
        roomy: bool = False,
        id: str | None = None,  # noqa: A002 - Textual's own name for it
        classes: str | None = None,
    ) -> None:
        super().__init__(id=id, classes=classes)
        self._draw = draw
        self._key = key
        self._height = height
        self._empty = empty
        self._selectable = selectable
        self._driven = driven
        self._roomy = roomy
        self.items: Sequence[T] = ()
        self.selected_keys: set[str] = set()

    def show(self, items: Sequence[T]) -> None:
        """Shows other rows; the cursor stays on the same item where it is still there."""
        before = self._key(self.items[self.cursor]) if self.current is not None else ""
        self.items = items
        keys = (at for at, item in enumerate(items) if self._key(item) == before)
        at = next(keys, 0) if before else 0
        self.set_reactive(Rows.cursor, min(at, max(0, len(items) - 1)))
        if self.selected_keys:
            self.selected_keys &= {self._key(item) for item in items}
        self._resized()
        self._bring_in_sight()

    def show_first(self, items: Sequence[T]) -> None:
        """Shows other rows with the cursor on the first one."""
        self.items = items
        self.set_reactive(Rows.cursor, 0)
        self._resized()
        self.scroll_to(y=0, animate=False)

    def show_empty(self, words: str) -> None:
        """Says something else while the list is empty."""
        self._empty = words
        self.refresh()

    def show_at(self, items: Sequence[T], key: str) -> None:
        """Shows other rows with the cursor on the one with that key, else on the first."""
        self.show_first(items)
        self.cursor = next((at for at, item in enumerate(items) if self._key(item) == key), 0)

    @property
    def _step(self) -> int:
        """Lines from one row to the next."""
        return self._height + (self._roomy and self.screen.has_class("-high"))

    @property
    def current(self) -> T | None:
        """The item under the cursor."""
        return self.items[self.cursor] if self.cursor < len(self.items) else None

    def _resized(self) -> None:
        width = max(1, self.scrollable_content_region.width)
        self.virtual_size = Size(width, max(1, len(self.items) * self._step))
        self.refresh()

    def on_resize(self) -> None:
        self._resized()
        self._bring_in_sight()

    def validate_cursor(self, at: int) -> int:
        return max(0, min(at, len(self.items) - 1))

    def watch_cursor(self, before: int, after: int) -> None:
        if before == after or self.current is None:
            return
        self._bring_in_sight()
        self.refresh()
        self.post_message(Moved(self.current, self.id or ""))

    def _bring_in_sight(self) -> None:
        if not self.size.height:
            return  # nothing is in sight before it is laid out
        region = Region(0, self.cursor * self._step, 1, self._height)
        self.scroll_to_region(region, animate=False, force=True)

    def action_step(self, by: int) -> None:
        """Moves the cursor by some rows; up from the first one leaves the list."""
        if by < 0 and self.cursor == 0 and self.has_focus:
            self._leave_upwards()
        self.cursor += by

    def _leave_upwards(self) -> None:
        chain = self.screen.focus_chain
        at = chain.index(self)
        if at:
            chain[at - 1].focus()

    def action_page(self, by: int) -> None:
        """Moves the cursor by a screenful."""
        self.cursor += by * max(1, self.size.height // self._step - 1)

    def action_first(self) -> None:
        """Moves the cursor to the first row."""
        self.cursor = 0

    def action_last(self) -> None:
        """Moves the cursor to the last row."""
        self.cursor = len(self.items) - 1

    def action_open(self) -> None:
        """Announces that the row under the cursor was opened, or that there is none."""
        if self.current is not None:
            self.post_message(RowOpened(self.current, self.id or ""))
        elif self._empty:
            self.post_message(NoneToOpen(self._empty))

    def action_select(self) -> None:
        """Selects the row under the cursor, or not any more, and steps on."""
        if self._selectable and self.current is not None:
            self.selected_keys ^= {self._key(self.current)}
            self.cursor += 1
            self.refresh()
            self.post_message(SelectionChanged(self.id or ""))

    def on_key(self, event: events.Key) -> None:
        # Space is no binding: it would be offered to a field that a scanner types into.
        if event.key == "space" and self._selectable:
            event.stop()
            self.action_select()

    def on_click(self, event: events.Click) -> None:
        at = (event.y + self.scroll_offset.y) // self._step
        if at >= len(self.items):
            return
        again = at == self.cursor or event.chain > 1
        self.cursor = at
        if again:
            self.action_open()

    def render_line(self, y: int) -> Strip:
        row, line = divmod(y + self.scroll_offset.y, self._step)
        width = self.scrollable_content_region.width
        if not self.items and self._empty and y == 0:
            style = self.rich_style + self.get_component_rich_style("rows--quiet", partial=True)
            return self._strip(Text(self._empty), style, width)
        if row >= len(self.items) or line >= self._height:
            return Strip.blank(width, self.rich_style)
        return self._strip(self._line(row, line, width), self._style(row), width)

    def _line(self, row: int, line: int, width: int) -> Text:
        item = self.items[row]
        lines = self._draw(item, width - self._margin)
        body = lines[line] if line < len(lines) else ""
        text = Text(self._edge(row, item) if line == 0 else " " * self._margin)
        return text.append_text(body) if isinstance(body, Text) else text.append(body)

    @property
    def _margin(self) -> int:
        return 6 if self._selectable else 2

    def _edge(self, row: int, item: T) -> str:
        pointer = "▸ " if self._cursor_in(row) else "  "
        if not self._selectable:
            return pointer
        return pointer + ("[x] " if self._key(item) in self.selected_keys else "[ ] ")

    def _cursor_in(self, row: int) -> bool:
        return row == self.cursor and (self.has_focus or self._driven)

    def _style(self, row: int) -> Style:
        if not self._cursor_in(row):
            return self.rich_style
        name = "rows--cursor" if self.has_focus else "rows--cursor-driven"
        return self.rich_style + self.get_component_rich_style(name, partial=True)

    def _strip(self, text: Text, style: Style, width: int) -> Strip:
        text.no_wrap = True
        text.truncate(width, overflow="ellipsis")
        segments = [
            Segment(part.text, style + (part.style or Style()))
            for part in text.render(self.app.console)
        ]
        return Strip(segments).adjust_cell_length(width, style)
