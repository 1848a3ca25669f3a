"""The lines around the body of every screen: title, notice, keys."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import cache
from itertools import accumulate

from rich.cells import cell_len, set_cell_size
from textual.content import Content
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Static

from tagbench.records.text import shortened
from tagbench.screens.frame.actions import Action


class TitleLine(Widget):
    """Drawn like the end of a hanging tag: the eyelet, then the name of the screen."""

    def __init__(self, title: str) -> None:
        super().__init__()
        self._title = f" ◯  {title.upper()} "
        self._machine = ""
        self._tags = ""
        self._phone = ""

    def show_phone(self, words: str) -> None:
        """Says whether phones are answered."""
        self._say(self._machine, self._tags, f"{words}   " if words else "")

    def tell(self, machine: str, waiting: int) -> None:
        """Names the machine and the number of tags that wait to be printed."""
        tags = f"{waiting} tag{'s' * (waiting != 1)} to print " if waiting else ""
        self._say(machine, tags, self._phone)

    def _say(self, machine: str, tags: str, phone: str) -> None:
        if (machine, tags, phone) != (self._machine, self._tags, self._phone):
            self._machine, self._tags, self._phone = machine, tags, phone
            self.refresh()

    def render(self) -> Content:
        right = self._phone + self._tags
        left = self.size.width - cell_len(self._title) - cell_len(right)
        return Content.assemble(
            (self._title, "bold $on-primary on $primary"),
            set_cell_size(f"  {self._machine}", max(0, left)),
            (right, "bold"),
        )


class Notice(Static):
    """One sentence. A refusal begins with a mark, so that its colour is not needed."""

    def __init__(self) -> None:
        super().__init__("", markup=False)

    def tell(self, sentence: str, way_back: str = "") -> None:
        """Says what was done, and behind it `way_back`: which key takes that back."""
        self._say(sentence, "", wrong=False, way_back=way_back)

    def refuse(self, sentence: str) -> None:
        """Says why something was not done and what to do instead."""
        self._refused = Message().time
        self._say(shortened(sentence), "✗ ", wrong=True)

    def caution(self, lines: Iterable[str]) -> None:
        """Shows the usual cautions for the work at hand."""
        self._say("\n".join(lines), "! ", wrong=False)
        self.remove_class("-said")
        self.add_class("-caution")

    def clear(self) -> None:
        """Says nothing; where nothing is said the screen is not laid out anew."""
        if self._sentence:
            self._say("", "", wrong=False)

    def forget_refusal(self, changed: float) -> None:
        """Takes a refusal away, since what it was about has `changed` at that time.

        One that was made because of that very change stays. Times are those of Textual's messages.
        """
        if self.has_class("-wrong") and self._refused < changed:
            self.clear()

    @property
    def sentence(self) -> str:
        """What is being said, without the mark and the way back."""
        return self._sentence

    _sentence = ""
    way_back = ""
    """Which key takes back what was done, in words; empty where nothing was."""
    _refused = 0.0
    """When something was refused last."""

    def _say(self, sentence: str, mark: str, *, wrong: bool, way_back: str = "") -> None:
        self._sentence = sentence
        self.way_back = way_back
        self.remove_class("-caution")
        self.set_class(wrong, "-wrong")
        self.set_class(bool(sentence) and not wrong, "-said")
        self.update(f"{mark}{sentence} {way_back}".rstrip() if sentence else "")


GAP = 2
KEY = "[bold]$key[/] $words"
OFFERED = "[bold $on-primary on $primary]$key $words[/]"


class KeyBar(Widget):
    """One line of actions: the key in bold, then its words, wide gaps between; or two lines.

    Where the line is too short the actions before the last one give way; the help has them all.
    """

    def __init__(self, actions: Iterable[Action], *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._actions = [action for action in actions if action.show]
        self._offer: Action | None = None

    def offer(self, action: Action | None) -> None:
        """Puts an action before the others while it can be done; None takes it away."""
        if action != self._offer:
            self._offer = action
            self.refresh()

    def render(self) -> Content:
        offered = [self._offer] if self._offer else []
        large = self.size.height > 1
        shown = fitting([*offered, *self._actions], self.size.width, large=large)
        if not large:
            entries = [_entry(action, OFFERED if action in offered else KEY) for action in shown]
            return Content(" " * GAP).join(entries)
        keys = [_entry(_padded(action), "[bold $primary]$key[/]") for action in shown]
        words = [_entry(_padded(action), "$words") for action in shown]
        return Content("\n").join(Content(" " * GAP).join(line) for line in (keys, words))


def fitting(actions: list[Action], width: int, *, large: bool = False) -> list[Action]:
    """The actions for which there is room in `width` cells, in their order.

    The last one and the way out are there in any case, and before them the first ones.
    `large`: key and words stand under each other instead of side by side.
    """
    if not actions:
        return []
    kept = [action for action in actions[:-1] if action.first_key == "escape"]
    left = width - sum(_width(action, large) + GAP for action in kept) - _width(actions[-1], large)
    others = [action for action in actions[:-1] if action not in kept]
    taken = accumulate(_width(action, large) + GAP for action in others)
    shown = [action for action, cells in zip(others, taken, strict=True) if cells <= left]
    return [action for action in actions if action in (*shown, *kept, actions[-1])]


def _width(action: Action, large: bool) -> int:
    key, words = len(action.key_words), len(action.description)
    return max(key, words) if large else key + 1 + words


def _padded(action: Action) -> Action:
    """The action with key and words as wide as each other, so that both lines are one target."""
    width = _width(action, large=True)
    key = action.key_words.ljust(width)
    return replace(action, key_display=key, description=action.description.ljust(width))


@cache
def _entry(action: Action, markup: str) -> Content:
    if do := action.action:
        do = do if "." in do.split("(", 1)[0] else f"screen.{do}"
        markup = f'[@click="{do}"]{markup}[/]'
    return Content.from_markup(
        markup, key=action.key_display or action.key_words, words=action.description
    )
