"""What is known, wrapped with a hanging indent: beside labels, or under headings."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from textwrap import wrap
from typing import Literal, NamedTuple

from textual.containers import VerticalScroll
from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget

LABEL = 14
"""Columns for the label."""
MORE = "… more with Enter"

Look = Literal["", "strong", "wrong", "quiet"]
_STYLES: dict[Look, str] = {"": "", "strong": "bold", "wrong": "bold $error", "quiet": "$quiet"}


class Labelled(NamedTuple):
    """One thing that is known."""

    label: str
    """What it is, in a word or two; empty to go on under the label before."""
    lines: Sequence[str]
    """The text, a line for each thing."""
    look: Look = ""
    """How much it stands out; never without words that say the same."""


class Facts(Widget):
    """Facts, each line wrapped with a hanging indent.

    `clipped` fills the room there is and says at its end when there is more.
    """

    def __init__(self, *, clipped: bool = False, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._clipped = clipped
        self._facts: list[Labelled] = []

    def show(self, facts: Iterable[Labelled]) -> None:
        """Shows other facts; those without lines are left out."""
        self._facts = [fact for fact in facts if any(fact.lines)]
        self.refresh(layout=True)

    def render(self) -> Content:
        lines = self._lines(self.content_size.width)
        room = self.content_size.height
        if self._clipped and len(lines) > room > 0:
            lines = [*lines[: room - 1], Content.styled(" " * LABEL + MORE, "$quiet")]
        return Content("\n").join(lines)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return len(self._lines(width))

    def _lines(self, width: int) -> list[Content]:
        return [line for fact in self._facts for line in drawn(fact, width)]


def drawn(fact: Labelled, width: int) -> list[Content]:
    """The lines of one fact in `width` columns."""
    room = max(20, width - LABEL)
    pieces = [piece for line in fact.lines if line for piece in _wrapped(line, room)]
    labels = [fact.label, *[""] * (len(pieces) - 1)]
    style = _STYLES[fact.look]
    return [
        Content.assemble((label.ljust(LABEL), style or "$quiet"), (piece, style))
        for label, piece in zip(labels, pieces, strict=True)
    ]


def _wrapped(line: str, room: int) -> list[str]:
    indent = " " * (len(line) - len(line.lstrip()))
    return wrap(line, room, subsequent_indent=indent + "  ") or [""]


Section = tuple[str, Sequence[str]]
"""Heading and lines."""
INDENT = "  "


class Sections(Widget):
    """Sections under each other, a blank line between."""

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002 - Textual's own name
        super().__init__(id=id)
        self._sections: list[Section] = []

    def show(self, sections: Iterable[Section]) -> None:
        """Shows other sections."""
        self._sections = list(sections)
        self.refresh(layout=True)

    def render(self) -> Content:
        return Content("\n").join(self._lines(self.content_size.width))

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return len(self._lines(width))

    def _lines(self, width: int) -> list[Content]:
        lines: list[Content] = []
        for heading, words in self._sections:
            lines += [Content.styled(heading, "bold $secondary"), *wrapped(words, width), Content()]
        return lines[:-1]


def wrapped(lines: Iterable[str], width: int) -> list[Content]:
    """Lines indented; what does not fit goes on in the next line, indented once more."""
    return [Content(piece) for line in lines for piece in _pieces(line, max(20, width))]


def _pieces(line: str, room: int) -> list[str]:
    """One line in pieces; those after the first hang under it, however far it is indented."""
    behind = 2 * INDENT + " " * (len(line) - len(line.lstrip()))
    return wrap(line, room, initial_indent=INDENT, subsequent_indent=behind) or [""]


LEAST = 4


class CardPage(VerticalScroll):
    """Scrolls when its text is longer than the terminal leaves room for.

    `around` is the number of lines that everything else on the card takes. A share of the terminal
    in the stylesheet would not do: a card that is as high as its text does not heed it.
    """

    def __init__(self, *, around: int, id: str, can_focus: bool = True) -> None:  # noqa: A002
        super().__init__(id=id, can_focus=can_focus)
        self._around = around

    def on_mount(self) -> None:
        self.styles.height = "auto"
        self.styles.max_height = max(LEAST, self.app.size.height - self._around)

    def turn(self, by: int) -> None:
        """Scrolls by so many screenfuls, while the focus stays in a field."""
        self.scroll_relative(y=by * self.size.height, animate=False)
