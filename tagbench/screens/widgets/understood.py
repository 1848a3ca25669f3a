"""Lines beneath a field, in the room there is: what does not fit is counted, and turned to by keys.

The first question stays in sight, with how many come after it; and so does what belongs to the
cursor of the field.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget

LEAST_ROOM = 5
"""So many rows there are in any case: a question of three, a line, and how much more there is."""
HANGING = 2
"""Columns by which the second row of an entry is set in."""


@dataclass(frozen=True, slots=True)
class UnderstoodEntry:
    """Something that is said beneath the field, of one row or more."""

    words: Content
    asks: bool = False
    """Whether it asks something: the first one that does is never hidden."""
    here: bool = False
    """Whether it is of what the cursor of the field stands in."""


class _Wrapped(NamedTuple):
    """An entry in the rows that it takes."""

    rows: Sequence[Content]
    asks: bool
    here: bool


class _Row(NamedTuple):
    """One row of an entry."""

    words: Content
    begins: bool
    """Whether the entry begins with it."""
    here: bool


@dataclass(frozen=True, slots=True)
class _View:
    """What is drawn where not all fits: what stays, and a window into the others."""

    stays: Sequence[Content]
    others: Sequence[_Row] = ()
    shown: int = 0
    """How many of the others are in sight at a time."""

    def clamped(self, first: int) -> int:
        return max(0, min(first, len(self.others) - self.shown))

    def following(self, first: int) -> int:
        """The nearest place to `first` with the rows of the cursor in sight."""
        here = [at for at, row in enumerate(self.others) if row.here]
        if here:
            first = min(max(first, here[-1] + 1 - self.shown), here[0])
        first = self.clamped(first)
        if first == 0 or (here and first == here[0]):
            return first
        return self._begins(range(first, here[0] if here else len(self.others)), first)

    def turned(self, first: int, by: int) -> int:
        """The next window (1) or the one before (-1); both begin with an entry."""
        to = self.clamped(first + by * self.shown)
        if to == 0:
            return 0
        return self._begins(range(to, first) if by < 0 else range(to, first, -1), to)

    def _begins(self, places: Iterable[int], otherwise: int) -> int:
        return next((at for at in places if self.others[at].begins), otherwise)

    def below(self, first: int) -> int:
        return max(0, len(self.others) - first - self.shown)

    def rows(self, first: int, *, in_use: bool) -> list[Content]:
        if not self.others:
            return list(self.stays)
        window = [row.words for row in self.others[first : first + self.shown]]
        more = more_words(first, self.below(first), in_use=in_use)
        return [*self.stays, *window, Content.styled(more, "bold $primary")]


class Understood(Widget):
    """Entries under each other; `turn` goes through them where there is no room for all."""

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - Textual's own name for it
        super().__init__(id=id)
        self._entries: Sequence[UnderstoodEntry] = ()
        self._room = LEAST_ROOM
        self._first = 0
        self._turned = False
        """Whether the person turned to where it is now; else it follows the cursor."""
        self._least = 0
        """Rows that it keeps, so that what is below does not move with every letter."""
        self._lets_go = True
        self._in_use = False

    def show(self, entries: Sequence[UnderstoodEntry], *, in_use: bool) -> None:
        """Shows other entries; `in_use`: the keys of the field turn to what is hidden."""
        self._in_use = in_use
        self._least = 0 if self._lets_go else max(self._least, self.size.height)
        self._lets_go = False
        if entries != self._entries:
            self._entries, self._turned = entries, False
        self.refresh(layout=True)

    def let_go(self) -> None:
        """Takes no more room than it needs for what is shown next."""
        self._lets_go = True

    @property
    def room(self) -> int:
        """Most rows that it may take."""
        return self._room

    @room.setter
    def room(self, rows: int) -> None:
        rows = max(rows, LEAST_ROOM)
        if rows != self._room:
            self._room = rows
            self.refresh(layout=True)

    def is_hidden(self, by: int) -> bool:
        """Whether there is more below (1) or above (-1) what is in sight."""
        view = self._view()
        first = self._first_of(view)
        return bool(view.below(first) if by > 0 else first)

    def turn(self, by: int) -> None:
        """Shows the next rows (1) or those before (-1)."""
        view = self._view()
        self._first = view.turned(self._first_of(view), by)
        self._turned = True
        self.refresh()

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return self._height(list(self._wrapped(width)))

    def _height(self, entries: Iterable[_Wrapped]) -> int:
        return min(max(sum(len(entry.rows) for entry in entries), self._least), self._room)

    def render(self) -> Content:
        view = self._view()
        self._first = self._first_of(view)
        return Content("\n").join(view.rows(self._first, in_use=self._in_use))

    def _first_of(self, view: _View) -> int:
        """Where the window begins: where the person turned to, else at the cursor."""
        return view.clamped(self._first) if self._turned else view.following(self._first)

    def _wrapped(self, width: int) -> Iterator[_Wrapped]:
        for entry in self._entries:
            rows = [row for line in entry.words.split("\n") for row in _wrap(line, width)]
            yield _Wrapped(rows, entry.asks, entry.here)

    def _view(self) -> _View:
        entries = list(self._wrapped(self.content_size.width))
        height = self._height(entries)  # keys may come before it is laid out as high as that
        if sum(len(entry.rows) for entry in entries) <= height:
            return _View([row for entry in entries for row in entry.rows])
        room = max(1, height - 1)  # the last row says how many more there are
        question = next((entry for entry in entries if entry.asks), None)
        if question is None:
            return _View([], _rows(entries), room)
        others = [entry for entry in entries if entry is not question]
        if len(question.rows) >= room:  # the window begins with it, and goes through the rest of it
            away = [entry._replace(here=False) for entry in others]
            return _View([], _rows([question._replace(here=True), *away]), room)
        stays = list(question.rows)
        then = sum(entry.asks for entry in others)
        if then and len(stays) + 1 < room:
            stays.append(Content.styled(then_words(then), "$warning"))
        return _View(stays, _rows(others), room - len(stays))


def _rows(entries: Iterable[_Wrapped]) -> list[_Row]:
    return [
        _Row(row, at == 0, entry.here) for entry in entries for at, row in enumerate(entry.rows)
    ]


def _wrap(line: Content, width: int) -> list[Content]:
    if line.cell_length <= width or width <= HANGING:
        return [line]
    first, *rest = line.wrap(width - HANGING)
    return [first, *(Content(" " * HANGING) + row for row in rest)]


def then_words(many: int) -> str:
    """How much more is asked behind the first question."""
    return f"? then {many} more question{'s' * (many != 1)}"


def more_words(above: int, below: int, *, in_use: bool) -> str:
    """How many lines are hidden, and the key that shows them."""
    many = above + below
    lines, them = ("line", "it") if many == 1 else ("lines", "them")
    if not in_use:
        return f"… and {many} more {lines}: ↑ ↓ in the field"
    if above and below:
        return f"… more lines: ↑ {above} above, ↓ {below} below"
    if above:
        return f"… and {many} more {lines} above: ↑ shows {them}"
    return f"… and {many} more {lines}: ↓ shows {them}"
