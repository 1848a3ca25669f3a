"""Facts under each other: a label at the left, wrapped text at the right."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from textwrap import wrap
from typing import Literal, NamedTuple

from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget

LABEL = 12
"""Columns for the label."""
MORE = "… more with Enter"

Look = Literal["", "strong", "wrong", "quiet"]
_STYLES: dict[Look, str] = {"": "", "strong": "bold", "wrong": "bold $error", "quiet": "$quiet"}


class Fact(NamedTuple):
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
        self._facts: list[Fact] = []

    def show(self, facts: Iterable[Fact]) -> None:
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


def drawn(fact: Fact, width: int) -> list[Content]:
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
