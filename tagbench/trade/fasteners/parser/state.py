"""Where the parser of bag notes stands: the tokens, the lines so far, what went before."""

from __future__ import annotations

import msgspec

from tagbench.trade.fasteners.parsed_line import LockingDevice, ParsedLine
from tagbench.trade.fasteners.tokens import Token
from tagbench.trade.fasteners.vocabulary import bench_words, fold

#: Joints behind which an item belongs to the fastener before it.
BELONGS = frozenset(
    ("+", "&", "with", "plus", "c/w", "w/", "w", "mit", "avec", "con", "incl", "including")
)


class Each(msgspec.Struct, frozen=True):
    """`2 each`, for the things listed before it or behind it."""

    count: int
    text: str
    line: int
    """The index of the line it was said in."""
    behind: bool
    """Said behind the things that it counts."""
    sets: bool = False
    """So many sets of all of them: no count when one of them has its own."""


class ParserState(msgspec.Struct):
    """The walk over the tokens of one text."""

    text: str
    tokens: list[Token]
    lines: list[ParsedLine] = msgspec.field(default_factory=list)
    join: str = ""
    """The comma, plus or small word since the last token; empty without one."""
    before: Token | None = None
    """The token before, in the same line."""
    lock: LockingDevice | None = None
    """What locks the line, as long as its size may still follow."""
    lock_token: Token | None = None
    repeat: int = 0
    """How many of the next thing that locks there are on each piece."""
    each: list[Each] = msgspec.field(default_factory=list)
    """Counts that hold for every thing of a list."""
    placed: bool = False
    """A heading said where all of it was: `carb: 4 screws`."""
    places_first: bool = False
    """The places stand before what sat there: front 2 M8x30 rear 2 M8x45."""

    @property
    def line(self) -> ParsedLine:
        """The line that is being put together."""
        return self.lines[-1]

    def new(self, start: int) -> ParsedLine:
        """Begins another line at that place of the text."""
        self.lines.append(ParsedLine(self.text, start, start))
        self.join, self.lock, self.repeat, self.before = "", None, 0, None
        return self.lines[-1]

    def line_of_lock(self) -> ParsedLine:
        """Begins a line of its own for what locks the line, with all that was said of it: the nut
        of `tab washer + nut M16x1.5` has the thread, the nuts of `stud 2, nuts brass 2` a count."""
        token, lock, line = self.lock_token, self.lock, self.line
        entry = token.entry if token is not None else None
        new = self.new(token.start if token is not None else line.end)
        if token is not None and entry is not None:
            new.kind, new.kind_words = entry.kind, token.text
            new.head, new.drive = entry.head, entry.drive
        if lock is not None:
            line.locks.remove(lock)
            metal = lock.metal or (entry.material if entry is not None else "")
            new.material = [metal] if metal else []
            new.words, new.tools = list(lock.words), [lock.tool] if lock.tool else []
            new.place = [lock.place] if lock.place else []
        return new

    def peek(self, at: int) -> Token | None:
        """The token at that place, None behind the last one."""
        return self.tokens[at] if at < len(self.tokens) else None


def tells_sort(token: Token) -> bool:
    """Words that tell one sort from another: 3 long, 1 short."""
    first, *_ = fold(token.text).split() or [""]
    return first in bench_words("sort")
