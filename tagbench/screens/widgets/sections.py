"""Headings with lines under them, wrapped with a hanging indent."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from textwrap import wrap

from textual.content import Content
from textual.geometry import Size
from textual.widget import Widget

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
