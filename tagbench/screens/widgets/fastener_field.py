"""The field for fasteners in short form, with what was understood beneath it as one types."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import ClassVar, NamedTuple

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Input, Static

from tagbench.errors import BadInput
from tagbench.records import Fastener
from tagbench.rules.count.mixed_threads import mixed_threads, mixed_with
from tagbench.rules.open_questions import open_question
from tagbench.screens.widgets.field import Field
from tagbench.trade.fasteners.reading import WordChoice, read_fasteners, typed_lines
from tagbench.trade.fasteners.sizes_from import keep_measured
from tagbench.trade.fasteners.spelling import is_threaded, spell, standard_words
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
MEASURE = "Ctrl+R measures a thread"
APART, BEHIND = " ;(", " ;x,)"
"""What may stand before and behind a text that is put in, without a blank between."""


class TypedFastener(NamedTuple):
    """One fastener as it was typed, and what it was understood as."""

    text: str
    """As it was typed."""
    fastener: Fastener
    """What it was understood as; `words` holds what was not."""
    choices: tuple[WordChoice, ...] = ()
    """Its words with two readings."""


def read_lines(text: str, picks: Mapping[str, str] | None = None) -> list[TypedFastener]:
    """The fasteners typed in one field. BadInput for control characters."""
    return [line for piece in typed_lines(text) for line in _read(piece, picks or {})]


def _read(piece: str, picks: Mapping[str, str]) -> Iterator[TypedFastener]:
    reading = read_fasteners(piece, picks)
    for at, fastener in enumerate(reading.lines):
        choices = tuple(choice for choice in reading.choices if choice.line == at)
        yield TypedFastener(piece, fastener, choices)


def has_size(text: str) -> bool:
    """Whether the last fastener of a text has its thread or diameter already."""
    lines = read_lines(text)
    return bool(lines) and bool(lines[-1].fastener.thread or lines[-1].fastener.diameter)


class FastenerField(Vertical):
    """Fasteners of one part, taken however they are typed; what has two readings is offered."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+y", "next_reading", "Reading", tooltip="Takes the next reading of a word.")
    ]

    def __init__(self, id: str = "fasteners") -> None:  # noqa: A002 - Textual's own name
        super().__init__(id=f"{id}-group")
        self.field = Field("Fasteners", id=id, example=HINT, takes_list=True)
        self._kept: dict[str, list[Fastener]] = {}
        self._picks: dict[str, str] = {}
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

    def add(self, fasteners: tuple[Fastener, ...]) -> None:
        """Puts fasteners behind what stands there; they come out as they went in, while their
        spelling is not touched."""
        for fastener in fasteners:
            self._kept.setdefault(spell(fastener), []).append(fastener)
        typed = [text for text in (self.field.value.rstrip("; "),) if text]
        self.field.value = "; ".join([*typed, *map(spell, fasteners)])
        self.field.input.cursor_position = len(self.field.value)
        self.field.input.focus()

    def read(self) -> tuple[Fastener, ...]:
        """The fasteners. BadInput only for control characters."""
        given = [one for fasteners in self._kept.values() for one in fasteners]
        return keep_measured(given, (line.fastener for line in self._lines()))

    def note(self, before: str) -> str:
        """The note of the part; what says that it has no fasteners stands behind it."""
        said = read_fasteners(self.field.value).note(before)
        return before if said == before.strip() else said

    def action_next_reading(self) -> None:
        """Goes on to the next reading of the first word in doubt, or else of the last."""
        choices = [choice for line in self._lines() for choice in line.choices]
        if not choices:
            return
        choice = next((one for one in choices if not one.taken), choices[-1])
        meanings = [*(option.meaning for option in choice.options), "words"]
        at = meanings.index(choice.taken) + 1 if choice.taken else 0
        self._picks[choice.token] = meanings[at]
        self.show_understood()

    def _lines(self) -> list[TypedFastener]:
        """The lines typed; those that were filled in are the records they came from."""
        kept = {text: list(fasteners) for text, fasteners in self._kept.items()}
        found: list[TypedFastener] = []
        for piece in typed_lines(self.field.value):
            if kept.get(piece):
                found.append(TypedFastener(piece, kept[piece].pop(0)))
            else:
                found += _read(piece, self._picks)
        return found

    @property
    def mix_ups(self) -> list[str]:
        """What the fasteners typed so far are mistaken for, a sentence each."""
        return self.hints.mix_ups(line.fastener for line in self._lines())

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
        try:
            lines = self._lines()
        except BadInput as error:
            fault = Content.from_markup("[$error]✗ $fault[/]", fault=str(error))
            self.query_one("#understood", Static).update(fault)
            return
        here = len(typed_lines(typed.value[: typed.cursor_position])) or 1
        said = [self._say(line, at == here) for at, line in enumerate(lines, 1)]
        remarks = read_fasteners(typed.value).none
        said += [
            Content.styled(f"= no fastener: “{one}” goes to Note", "$quiet") for one in remarks
        ]
        quiet = Content.styled(MEASURE, "$quiet") if typed.has_focus else Content()
        self.query_one("#understood", Static).update(Content("\n").join(said) if said else quiet)

    def on_descendant_focus(self) -> None:
        self.show_understood()

    def on_descendant_blur(self) -> None:
        self.show_understood()

    def _say(self, line: TypedFastener, here: bool) -> Content:
        return say(line) + self.hints.words(line.fastener) if here else say(line)


def say(line: TypedFastener) -> Content:
    """What one fastener was understood as, what was not, and the readings that are offered."""
    fastener = line.fastener
    said = Content.from_markup("[$success]= $spelled[/]", spelled=spell(fastener))
    if standard := standard_words(fastener):
        said += Content.styled(f"  ({standard})", "$quiet")
    if question := open_question(fastener):
        said += Content.styled(f"  {question}", "$warning")
    for choice in line.choices:
        readings = " / ".join(
            f"[{option.says}]" if option.meaning == choice.taken else option.says
            for option in choice.options
        )
        said += Content.styled(f"\n? “{choice.token}” Ctrl+Y: {readings}", "$warning")
    return said
