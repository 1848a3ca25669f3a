"""The field for fasteners in short form, with what was understood beneath it as one types."""

from __future__ import annotations

from typing import NamedTuple

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Input, Static

from tagbench.errors import BadInput
from tagbench.records import Fastener
from tagbench.screens.widgets.field import Field
from tagbench.trade.fastener_spelling import spell
from tagbench.trade.fastener_text import as_note, parse_fastener, typed_lines

HINT = "4x M5x0.8x12 pan; cotter pin 3.2x32"


class Line(NamedTuple):
    """One fastener as it was typed, and what it was understood as."""

    text: str
    """As it was typed."""
    fastener: Fastener | None
    """What it was understood as; None when it was not."""
    fault: str = ""
    """Why it was not understood."""


def read_lines(text: str) -> list[Line]:
    """The fasteners typed in one field, separated by semicolons."""
    return [_read(line) for line in typed_lines(text)]


def _read(text: str) -> Line:
    try:
        return Line(text, parse_fastener(text))
    except BadInput as error:
        return Line(text, None, str(error))


class FastenerField(Vertical):
    """Fasteners of one part. Text that is not understood is refused once, then kept as a note."""

    def __init__(self, id: str = "fasteners") -> None:  # noqa: A002 - Textual's own name
        super().__init__(id=f"{id}-group")
        self.field = Field("Fasteners", id=id, hint=HINT)
        self._kept: dict[str, Fastener] = {}
        self._warned = ""

    def compose(self) -> ComposeResult:
        yield self.field
        yield Static("", id="understood")

    def fill(self, fasteners: tuple[Fastener, ...]) -> None:
        """Puts fasteners in; the ones whose spelling is not touched come out as they went in."""
        self._kept = {spell(fastener): fastener for fastener in fasteners}
        self.field.value = "; ".join(self._kept)

    def copy(self, fasteners: tuple[Fastener, ...]) -> None:
        """Puts in the same kinds of fasteners as on another part."""
        self.field.value = "; ".join(map(spell, fasteners))

    def read(self) -> tuple[Fastener, ...]:
        """The fasteners. Raises BadInput the first time something is not understood."""
        lines = [self._known(line) for line in read_lines(self.field.value)]
        unread = next((line for line in lines if line.fastener is None), None)
        if unread is not None and self._warned != self.field.value:
            self._warned = self.field.value
            raise BadInput(f"{unread.fault} Enter once more keeps “{unread.text}” as a note.")
        return tuple(line.fastener or as_note(line.text) for line in lines)

    def _known(self, line: Line) -> Line:
        kept = self._kept.get(line.text)
        return line if kept is None else Line(line.text, kept)

    @on(Input.Changed)
    def show_understood(self, message: Input.Changed) -> None:
        """Says beneath the field what was understood."""
        lines = [self._known(line) for line in read_lines(message.value)]
        self.query_one("#understood", Static).update(Content("\n").join(map(say, lines)))


def say(line: Line) -> Content:
    """What one fastener was understood as, or why it was not."""
    if line.fastener is None:
        # The way out follows the semicolon; it is said in full when the form is saved.
        return Content.from_markup("[$error]✗ $fault[/]", fault=line.fault.split("; ")[0])
    return Content.from_markup("[$success]= $spelled[/]", spelled=spell(line.fastener))
