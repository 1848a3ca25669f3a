"""The field for fasteners in short form, with what was understood beneath it as one types."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Input, Static

from tagbench.errors import BadInput
from tagbench.records import Fastener
from tagbench.rules.count.mixed_threads import mixed_threads, mixed_with
from tagbench.screens.widgets.field import Field
from tagbench.trade.fasteners.spelling import is_threaded, spell
from tagbench.trade.fasteners.text import as_note, parse_fastener, typed_lines
from tagbench.trade.threads import lookalikes
from tagbench.trade.tools.bench import Tool, tools_for

TURNING = ("spanner", "hex key", "screwdriver", "six-lobe driver")
"""The tools that turn a fastener; those for its locking are told on the rebuild."""


@dataclass(frozen=True, slots=True)
class Hints:
    """What is known of the machine that the fastener belongs to."""

    year: int | None = None
    """Year of the machine, which decides the likeliest hexagon."""
    threads: Mapping[str, str] = field(default_factory=dict)
    """The threads it has already, each with the code of a part."""

    def words(self, fastener: Fastener) -> Content:
        """The tool, then the thread of this machine that it is mistaken for, else any other."""
        tools = ", ".join(tool_words(fastener, self.year))
        said = [Content.styled(f"   {tools}", "$quiet")] if tools else []
        mixed = mixed_with(fastener.thread, self.threads) if is_threaded(fastener) else []
        said += [Content.styled(f"\n! {one.words}", "$warning") for one in mixed]
        if not mixed and (alike := lookalike(fastener)):
            said.append(Content.styled(f"   look-alike {alike}", "$quiet"))
        return Content("").join(said)

    def mix_ups(self, fasteners: Iterable[Fastener]) -> list[str]:
        """A sentence for each pair that the fasteners make with the machine or among themselves."""
        threads = [one.thread for one in fasteners if is_threaded(one)]
        found = (one for thread in threads for one in mixed_with(thread, self.threads))
        told = [f"{one.sentence} It is on {one.code}." for one in found]
        return list(dict.fromkeys([*told, *mixed_threads(threads)]))


def tool_words(fastener: Fastener, year: int | None) -> list[str]:
    """`spanner 8 mm`, `2 × spanner 13 mm`, `slot 1.2 mm`; nothing where no table holds it."""
    found = [tool for tool in tools_for(fastener, year) if tool.tool in TURNING and tool.size]
    return [f"{_many(tool)}{_name(tool)}{tool.size}" for tool in found]


def _many(tool: Tool) -> str:
    return f"{tool.pieces} × " if tool.pieces > 1 else ""


def _name(tool: Tool) -> str:
    """The size of a screwdriver says already what it is."""
    return "" if tool.tool == "screwdriver" else f"{tool.tool} "


def lookalike(fastener: Fastener) -> str:
    """The thread that it is likeliest mistaken for, of those that start in each other's holes."""
    if not is_threaded(fastener) or not fastener.thread:
        return ""
    try:
        first = next(iter(lookalikes(fastener.thread)), None)
    except BadInput:
        return ""
    return first.designation if first and first.starts else ""


HINT = "4x M5x0.8x12 pan; cotter pin 3.2x32"
MEASURE = "Ctrl+N measures a thread"
APART, BEHIND = " ;(", " ;x,)"
"""What may stand before and behind a text that is put in, without a blank between."""


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


def has_size(text: str) -> bool:
    """Whether the last fastener of a text has its thread or diameter already."""
    *_, last = [None, *(line.fastener for line in read_lines(text))]
    return last is not None and bool(last.thread or last.diameter)


class FastenerField(Vertical):
    """Fasteners of one part. Text that is not understood is refused once, then kept as a note."""

    def __init__(self, id: str = "fasteners") -> None:  # noqa: A002 - Textual's own name
        super().__init__(id=f"{id}-group")
        self.field = Field("Fasteners", id=id, hint=HINT, takes_list=True)
        self._kept: dict[str, list[Fastener]] = {}
        self._warned = ""
        self.hints = Hints()
        """What is known of the machine; the look-alikes in it are told as one types."""

    def compose(self) -> ComposeResult:
        yield self.field
        yield Static("", id="understood")

    def fill(self, fasteners: tuple[Fastener, ...]) -> None:
        """Puts fasteners in; the ones whose spelling is not touched come out as they went in."""
        self._kept = {}
        for fastener in fasteners:
            self._kept.setdefault(spell(fastener), []).append(fastener)
        self.field.value = "; ".join(map(spell, fasteners))

    def copy(self, fasteners: tuple[Fastener, ...]) -> None:
        """Puts in the same kinds of fasteners as on another part."""
        self.field.value = "; ".join(map(spell, fasteners))

    def read(self) -> tuple[Fastener, ...]:
        """The fasteners. Raises BadInput the first time something is not understood."""
        lines = self._lines()
        unread = next((line for line in lines if line.fastener is None), None)
        if unread is not None and self._warned != self.field.value:
            self._warned = self.field.value
            raise BadInput(f"{unread.fault} Enter once more keeps “{unread.text}” as a note.")
        return tuple(line.fastener or as_note(line.text) for line in lines)

    def _lines(self) -> list[Line]:
        """The lines typed; those that were filled in are the records they came from."""
        kept = {text: list(fasteners) for text, fasteners in self._kept.items()}
        return [
            Line(line.text, kept[line.text].pop(0)) if kept.get(line.text) else line
            for line in read_lines(self.field.value)
        ]

    @property
    def mix_ups(self) -> list[str]:
        """What the fasteners typed so far are mistaken for, a sentence each."""
        return self.hints.mix_ups(line.fastener for line in self._lines() if line.fastener)

    def insert(self, thread: str) -> None:
        """Puts a thread where the cursor is: into the fastener there, or as the next one.

        A fastener that has its size already is left as it is, and a semicolon put behind it.
        """
        typed, at = self.field.input.value, self.field.input.cursor_position
        before, behind = typed[:at], typed[at:]
        head = "" if not before or before[-1] in APART else "; " if has_size(before) else " "
        tail = " " if behind and behind[0] not in BEHIND else ""
        self.field.input.value = f"{before}{head}{thread}{tail}{behind}"
        self.field.input.cursor_position = at + len(head) + len(thread)
        self.field.input.focus()

    @on(Input.Changed)
    def show_understood(self) -> None:
        """Says beneath the field what was understood, and more of the one at the cursor."""
        typed = self.field.input
        lines = self._lines()
        here = len(typed_lines(typed.value[: typed.cursor_position])) or 1
        said = [self._say(line, at == here) for at, line in enumerate(lines, 1)]
        quiet = Content.styled(MEASURE, "$quiet") if typed.has_focus else Content()
        self.query_one("#understood", Static).update(Content("\n").join(said) if said else quiet)

    def on_descendant_focus(self) -> None:
        self.show_understood()

    def on_descendant_blur(self) -> None:
        self.show_understood()

    def _say(self, line: Line, here: bool) -> Content:
        if here and line.fastener is not None:
            return say(line) + self.hints.words(line.fastener)
        return say(line)


def say(line: Line) -> Content:
    """What one fastener was understood as, or why it was not."""
    if line.fastener is None:
        # The way out follows the semicolon; it is said in full when the form is saved.
        return Content.from_markup("[$error]✗ $fault[/]", fault=line.fault.split("; ")[0])
    return Content.from_markup("[$success]= $spelled[/]", spelled=spell(line.fastener))
