"""The field for fasteners in short form, with what was understood beneath it as one types."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import ClassVar, NamedTuple, cast

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Input

from tagbench.errors import BadInput
from tagbench.records import Fastener
from tagbench.rules.count.mixed_threads import mixed_threads, mixed_with
from tagbench.rules.open_questions import open_question
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.understood import Understood, UnderstoodEntry
from tagbench.trade.fasteners.options import shared_words
from tagbench.trade.fasteners.reading import (
    FastenerReading,
    WordChoice,
    read_fasteners,
    typed_lines,
)
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
    piece: int = 1
    """Which piece of the text it stands in, from 1; one piece may hold several."""


def read_lines(text: str, picks: Mapping[str, str] | None = None) -> list[TypedFastener]:
    """The fasteners typed in one field. BadInput for control characters."""
    pieces = enumerate(typed_lines(text), 1)
    return [line for number, piece in pieces for line in _lines_of(piece, number, picks or {})]


def _lines_of(piece: str, number: int, picks: Mapping[str, str]) -> Iterator[TypedFastener]:
    reading = _reading_of(piece, picks)
    for at, fastener in enumerate(reading.lines):
        choices = tuple(choice for choice in reading.choices if choice.line == at)
        yield TypedFastener(piece, fastener, choices, number)


def _reading_of(piece: str, picks: Mapping[str, str]) -> FastenerReading:
    return _read(piece, tuple(picks.items()))


@lru_cache(maxsize=64)
def _read(piece: str, picks: tuple[tuple[str, str], ...]) -> FastenerReading:
    """Kept, since a letter changes one piece of a long note and leaves the others."""
    return read_fasteners(piece, dict(picks))


def has_size(text: str) -> bool:
    """Whether the last fastener of a text has its thread or diameter already."""
    lines = read_lines(text)
    return bool(lines) and bool(lines[-1].fastener.thread or lines[-1].fastener.diameter)


class FastenerField(Vertical):
    """Fasteners of one part, taken however they are typed; what has two readings is offered."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+y", "next_reading", "Reading", tooltip="Takes the next reading of a word."),
        Binding("down", "turn(1)", "Further", tooltip="Shows more of what was understood."),
        Binding("up", "turn(-1)", "Before", tooltip="Shows what was understood before that."),
    ]

    def __init__(self, id: str = "fasteners") -> None:  # noqa: A002 - Textual's own name
        super().__init__(id=f"{id}-group")
        self.field = Field("Fasteners", id=id, example=HINT, takes_list=True)
        self.understood = Understood(id="understood")
        self._kept: dict[str, list[Fastener]] = {}
        self._picks: dict[str, str] = {}
        self._shown = ""
        """The text of which is said what was understood."""
        self.hints = Hints()
        """What is known of the machine; the look-alikes in it are told as one types."""

    def compose(self) -> ComposeResult:
        yield self.field
        yield self.understood

    def on_mount(self) -> None:
        self.watch(self.field.input, "selection", self._cursor_moved, init=False)

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
        said = before
        for _, piece, kept in self._pieces():
            if kept is None:
                said = _reading_of(piece, self._picks).note(said)
        return before if said == before.strip() else said

    def action_next_reading(self) -> None:
        """Goes on to the next reading of the word that is asked about."""
        choice = asked_now(self._choices(), self._before_cursor)
        if choice is None:
            return
        meanings = [*(option.meaning for option in choice.options), "words"]
        at = meanings.index(choice.taken) + 1 if choice.taken else 0
        self._picks[choice.token] = meanings[at]
        self.show_understood()

    def action_turn(self, by: int) -> None:
        """Shows more of what was understood, further down or further up."""
        self.understood.turn(by)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """The arrows leave the field once there is nothing more to show that way."""
        if action == "turn":
            return self.understood.is_hidden(cast("int", parameters[0]))
        return super().check_action(action, parameters)

    def _lines(self) -> list[TypedFastener]:
        """The lines typed; those that were filled in are the records they came from."""
        found: list[TypedFastener] = []
        for number, piece, kept in self._pieces():
            if kept is not None:
                found.append(TypedFastener(piece, kept, piece=number))
            else:
                found += _lines_of(piece, number, self._picks)
        return found

    def _pieces(self) -> Iterator[tuple[int, str, Fastener | None]]:
        """Each piece of the text with its number, and the record that it was filled in from."""
        kept = {text: list(fasteners) for text, fasteners in self._kept.items()}
        for number, piece in enumerate(typed_lines(self.field.value), 1):
            yield number, piece, kept[piece].pop(0) if kept.get(piece) else None

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
        self._shown = typed.value
        if not typed.value:
            self.understood.let_go()
        try:
            entries = self._entries()
        except BadInput as error:
            fault = Content.from_markup("[$error]✗ $fault[/]", fault=str(error))
            entries = [UnderstoodEntry(fault, asks=True)]
        if not entries and typed.has_focus:
            entries = [UnderstoodEntry(Content.styled(MEASURE, "$quiet"))]
        self.understood.show(entries, in_use=typed.has_focus)

    def on_descendant_focus(self) -> None:
        self.understood.let_go()
        self.show_understood()

    def on_descendant_blur(self) -> None:
        self.show_understood()

    def _cursor_moved(self) -> None:
        """What is typed comes as a change of its own."""
        if self.field.input.value == self._shown:
            self.show_understood()

    @property
    def _before_cursor(self) -> str:
        return self.field.input.value[: self.field.input.cursor_position]

    def _entries(self) -> list[UnderstoodEntry]:
        """What was understood, piece by piece: each fastener, beneath it what is asked of it."""
        here = len(typed_lines(self._before_cursor)) or 1
        lines = self._lines()
        asked = asked_now(self._choices(), self._before_cursor)
        entries: list[UnderstoodEntry] = []
        for number, piece, kept in self._pieces():
            is_here = number == here
            for line in lines:
                if line.piece == number:
                    more = self.hints.words(line.fastener) if is_here else Content()
                    entries.append(UnderstoodEntry(say(line.fastener) + more, here=is_here))
                    entries += [
                        UnderstoodEntry(ask(one, now=one == asked), not one.taken, is_here)
                        for one in line.choices
                    ]
            if kept is None:
                entries += self._of_remarks(piece, asked, here=is_here)
        return entries

    def _of_remarks(
        self, piece: str, asked: WordChoice | None, *, here: bool
    ) -> Iterator[UnderstoodEntry]:
        """What goes to Note, and the choice that sent it there, to be made otherwise."""
        reading = _reading_of(piece, self._picks)
        for words in reading.none:
            yield UnderstoodEntry(no_fastener(words), here=here)
        for choice in reading.choices:
            if choice.line >= len(reading.lines):
                yield UnderstoodEntry(ask(choice, now=choice == asked), not choice.taken, here)

    def _choices(self) -> list[WordChoice]:
        """The words with two readings, in the order in which they stand."""
        pieces = [piece for _, piece, kept in self._pieces() if kept is None]
        return [one for piece in pieces for one in _reading_of(piece, self._picks).choices]


def asked_now(choices: Sequence[WordChoice], before: str) -> WordChoice | None:
    """The choice that the key acts on: the first open one; once all are made, the last whose word
    stands in the text before the cursor, or else the first. None without any."""
    if still_open := [choice for choice in choices if not choice.taken]:
        return still_open[0]
    passed = [choice for choice in choices if _run_together(choice.token) in _run_together(before)]
    return next(iter([*passed[-1:], *choices]), None)


def _run_together(words: str) -> str:
    return "".join(words.split()).casefold()


def say(fastener: Fastener) -> Content:
    """What one fastener was understood as, and what is not known of it."""
    said = Content.from_markup("[$success]= $spelled[/]", spelled=spell(fastener))
    if standard := standard_words(fastener):
        said += Content.styled(f"  ({standard})", "$quiet")
    if question := open_question(fastener):
        said += Content.styled(f"  {question}", "$warning")
    return said


def no_fastener(words: str) -> Content:
    """Where words go that name no fastener."""
    return Content.styled(f"= no fastener: “{words}” goes to Note", "$quiet")


def ask(choice: WordChoice, *, now: bool) -> Content:
    """The readings of a word, the one that was taken in brackets; `now`: the key acts on it."""
    shared = shared_words(choice.options)
    each = [
        f"[{says}]" if option.meaning == choice.taken else says
        for option, says in zip(choice.options, shared.each, strict=True)
    ]
    style = "$quiet" if choice.taken else "$warning"
    key = Content.styled(" Ctrl+Y", f"bold {style}") if now else Content()
    readings_said = f": {shared.before}{' / '.join(each)}{shared.behind}"
    return Content.styled(f"? “{choice.token}”", style) + key + Content.styled(readings_said, style)
