"""A line of fasteners as it is parsed: tokens sorted by what they are, not by what they mean."""

from __future__ import annotations

import msgspec

from tagbench.records import Torque
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.thread_words import ThreadFound
from tagbench.trade.fasteners.tokens import Token
from tagbench.trade.fasteners.vocabulary import fold


class LockingDevice(msgspec.Struct):
    """What keeps the fastener from coming loose, or sits on it, with its size as typed."""

    name: str
    size: str = ""
    token: Token | None = None
    """Where it is named."""
    sized: Token | None = None
    """Where its size stands."""
    metal: str = ""
    words: list[str] = msgspec.field(default_factory=list)
    tool: str = ""
    place: str = ""
    """Which sort it is: thick washers."""
    listed: bool = False
    """It stands behind a comma, and may be one for all: 2 nuts M8, gasket."""
    counted: bool = False
    """It was said how many there are on each."""

    def made_of(self, metal: str) -> None:
        """Takes the metal: `brass nut`."""
        self.metal = metal
        self.name = f"{metal} {self.name.removeprefix('plain ')}"

    @property
    def shown(self) -> str:
        """`split pin 3.2x32`: the person's own word for it, unless it is the standard one."""
        said = self.token is not None and not self.metal
        own = self.token.name or self.token.text if said and self.token else self.name
        usual = fold(own) in (fold(self.name), fold(f"{self.name}s"))
        return f"{self.name if usual else own} {self.size}".strip()


class Figure(msgspec.Struct, frozen=True):
    """A size or a lone number in a line, with where it stands."""

    token: Token
    adjacent: bool
    """Directly behind the thread."""
    behind_kind: bool
    """Behind the word that says what it is."""
    last: bool
    """The last thing of its line."""
    unsure: bool = False
    """An unread word stands behind it, which it may belong to: 60 apart."""


class ParsedLine(msgspec.Struct):
    """What the tokens of one line say so far."""

    text: str
    start: int
    end: int
    piece_at: int = 0
    """Where `text` stands in the note, when it was read as a piece of it."""
    count: int | None = None
    kind: str = ""
    kind_words: str = ""
    kind_token: Token | None = None
    """Where it is named."""
    head: str = ""
    drive: str = ""
    material: list[str] = msgspec.field(default_factory=list)
    locks: list[LockingDevice] = msgspec.field(default_factory=list)
    thread: ThreadFound | None = None
    thread_text: str = ""
    figures: list[Figure] = msgspec.field(default_factory=list)
    gauge: Token | None = None
    bearing: str = ""
    standard: str = ""
    tools: list[str] = msgspec.field(default_factory=list)
    grade: str = ""
    tpi: Token | None = None
    place: list[str] = msgspec.field(default_factory=list)
    bracketed: bool = False
    """The place stood in parentheses, so that it is one for certain."""
    words: list[str] = msgspec.field(default_factory=list)
    described: list[str] = msgspec.field(default_factory=list)
    """Words that stood where a place would and name none: how it looks, what it was put by in."""
    notes: list[str] = msgspec.field(default_factory=list)
    torque: Torque | None = None
    single_use: bool | None = None
    handed: list[tuple[Token, bool]] = msgspec.field(default_factory=list)
    """Words that may say a left-hand thread, and whether they stand right behind it."""
    total: bool = False
    """Its count is the sum of the lines behind it: `3 circlips: 1 x 15, 2 x 14`."""
    header: bool = False
    """It names with a colon what the list behind it holds: `copper washers: two 10mm, one 14mm`."""
    per_side: tuple[str, int] | None = None
    """`2 each side`: the words as typed, and how many there are on one side."""
    asked: tuple[str, tuple[int, ...]] | None = None
    """Words that leave open how many there are, and the counts that may be meant."""
    listed: bool = False
    """It is one of a list of sizes that began in the line before it."""
    counted_first: bool = False
    """The count stood before the name: 2 oil seals 20x35x7 and 25x40x7."""
    paired: bool = False
    """It shares count and thread with the line before it: nuts and bolts M6."""
    ditto: bool = False
    """What it does not say is as in the line before it."""
    for_all: bool = False
    """What it says holds for all lines: `M10x120, M10x95, all with nylocs`."""
    kind_with: bool = False
    """Its kind stood behind a with: 1 w/ dowel."""
    apart: bool = False
    """It stands right behind an and; what stood before it is something else."""
    sits_on: int = 0
    """It is a nut, washer or ring on the fastener of the line before it, so many on each."""
    on_each: bool = False
    """It was said how many are on each: `with 2 washers each`, `with washers`."""
    rest: bool = False
    """It is what is left of all that was counted: `2 M8x45, rest M8x35`."""
    thing_named: bool = False
    """It is a thing that is no fastener, such as cups, and shares no kind with the others."""

    @property
    def core(self) -> bool:
        """Whether it says anything besides how many."""
        return bool(
            self.kind or self.thread or self.figures or self.gauge or self.bearing or self.head
            or self.standard or self.place or self.words or self.drive or self.material
            or self.ditto or self.for_all or self.described
        )  # fmt: skip

    @property
    def thing(self) -> bool:
        """Whether it names a thing, and not only where it sat."""
        return bool(
            self.kind or self.thread or self.figures or self.gauge or self.bearing or self.head
            or self.standard or self.drive
        )  # fmt: skip

    @property
    def plural(self) -> bool:
        """Whether the person's own word for it is a plural."""
        noun = fold(self.kind_words).removesuffix(" pop")
        ends = len(noun) > 3 and noun.endswith(("s", "en", "ern", "x"))
        return ends or self.surely_plural

    @property
    def surely_plural(self) -> bool:
        """Whether there are several, so that a count is missing when none was said."""
        return is_plural(self.kind_words, self.text)


def line_text(line: ParsedLine) -> str:
    """The line as it was typed."""
    return line.text[line.start : line.end].strip(" ,;+&.")
