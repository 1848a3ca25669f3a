"""One thing that is known: a label, the words, the figures behind them, and a state."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from types import MappingProxyType
from typing import Literal, NamedTuple

from tagbench.records import Part

State = Literal["", "open", "begun", "done", "wrong"]
"""Empty for a plain fact; open, begun and done for what can be ticked; wrong: against a limit."""

BOXES: Mapping[State, str] = MappingProxyType(
    {"": "", "open": "[ ]", "begun": "[~]", "done": "[x]", "wrong": "[!]"}
)
"""State → its box in plain text and on the screens."""

PART_STATES: Mapping[str, State] = MappingProxyType(
    {"off": "open", "snug": "begun", "fitted": "done"}
)
"""`Part.fitted` → the state of the part in the rebuild."""


class Fact(NamedTuple):
    """One thing that is known."""

    label: str
    """What it is, in a word or two; the same on every front end."""
    words: str
    """All of it in words, figures and unit in them; empty when there is nothing to say."""
    state: State = ""
    """Where it stands."""
    figures: tuple[float, ...] = ()
    """The figures in the words, in `unit`."""
    unit: str = ""
    """Unit of the figures; empty for a plain number."""

    @property
    def boxed(self) -> str:
        """The words behind the box of their state: `[x] degreased with kerosene`."""
        return f"{BOXES[self.state]} {self.words}".strip()


class PartName(NamedTuple):
    """A part that something is said about, to be shown as a link where that is possible."""

    code: str
    """Its code."""
    name: str
    """What it is."""
    state: State
    """open while it is off, begun when it is snug, done when it is fitted."""

    @property
    def words(self) -> str:
        """`Backing plate TP-016-9`, as `phrases.named` has it."""
        return f"{self.name} {self.code}"

    @property
    def boxed(self) -> str:
        """`[x] Backing plate TP-016-9`."""
        return f"{BOXES[self.state]} {self.words}"


def part_name(part: Part) -> PartName:
    """A part by code and name."""
    return PartName(part.code, part.said, PART_STATES[part.fitted])


def labelled(facts: Iterable[Fact]) -> Iterator[tuple[str, Fact]]:
    """Facts with the label to print before each: empty where the one above has the same."""
    above = ""
    for fact in facts:
        yield ("" if fact.label == above else fact.label), fact
        above = fact.label
