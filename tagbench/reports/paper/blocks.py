"""What a sheet is made of, before anybody asks on which paper: headings, facts, tables, parts."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path


@dataclass(frozen=True, slots=True)
class TypeSizes:
    """Sizes of the letters in points."""

    body: float = 11.0
    name: float = 13.0
    """Names of parts and their codes."""
    heading: float = 13.0
    title: float = 17.0
    small: float = 9.0


NORMAL = TypeSizes()
LARGE = TypeSizes(body=14.0, name=18.0, heading=18.0, title=22.0, small=12.0)
"""For the wall, and for reading glasses left in the house."""


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading; what follows it stays with it."""

    text: str


@dataclass(frozen=True, slots=True)
class Line:
    """A sentence or a line of words; with a box to tick when `tick`."""

    text: str
    bold: bool = False
    tick: bool = False


@dataclass(frozen=True, slots=True)
class FactBlock:
    """A label and its lines; each line with a box to tick when `tick`."""

    label: str
    lines: tuple[str, ...]
    tick: bool = False


@dataclass(frozen=True, slots=True)
class Care:
    """Cautions, in a frame."""

    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under a head. Each row has a cell for every column; a cell may have several lines."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    shares: tuple[float, ...]
    """Share of the width that each column gets."""
    tick: bool = False
    """Whether every row begins with a box to tick."""
    right: frozenset[int] = frozenset()
    """Columns whose figures stand at the right."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A photograph and what stands below it."""

    file: Path
    caption: str = ""


@dataclass(frozen=True, slots=True)
class Entry:
    """One part or bin: its name and code, its facts, its pictures, its symbol."""

    name: str
    code: str = ""
    number: str = ""
    tick: bool = False
    facts: tuple[FactBlock, ...] = ()
    held: str = ""
    """Why it is held up, in a frame."""
    pictures: tuple[Picture, ...] = ()
    symbol: bool = True


@dataclass(frozen=True, slots=True)
class WholePage:
    """One part or bin on a page of its own: as an entry, its first picture as large as there is
    room for."""

    entry: Entry
    table: Table | None = None


@dataclass(frozen=True, slots=True)
class OrderCard:
    """One part on an order sheet."""

    number: int
    name: str
    code: str
    words: tuple[str, ...] = ()
    picture: Path | None = None
    covers: tuple[int, ...] = ()
    """Numbers of the cards that it covers; an arrow leads from each of them to it."""


@dataclass(frozen=True, slots=True)
class Order:
    """Cards one under the other in the order in which the parts go on."""

    cards: tuple[OrderCard, ...]


@dataclass(frozen=True, slots=True)
class Flags:
    """Strips that fold round a wire or hose, the same code at both ends."""

    items: tuple[tuple[str, str], ...]
    """Code and name of each."""
    around_mm: float
    """Diameter of the wire or hose."""


@dataclass(frozen=True, slots=True)
class NewPage:
    """What follows begins on a page of its own."""


Block = (
    Heading
    | Line
    | FactBlock
    | Care
    | Table
    | Picture
    | Entry
    | WholePage
    | Order
    | Flags
    | NewPage
)


@dataclass(frozen=True, slots=True)
class Sheet:
    """A report before it is laid out."""

    title: str
    about: str
    """What stands below the title: the day, how many."""
    blocks: Iterable[Block]
    sizes: TypeSizes = field(default=NORMAL)
    paper: str = ""
    """Paper that the report always has (`a6`); empty for the book's paper."""
    bare: bool = False
    """Whether the pages have no title and no foot, like inserts and flags."""


def facts(
    pairs: Iterable[tuple[str, Sequence[str] | str]], tick: Iterable[str] = ()
) -> list[FactBlock]:
    """Facts from labels and their lines, those without words left out."""
    boxed = frozenset(tick)
    found = []
    for label, lines in pairs:
        said = (lines,) if isinstance(lines, str) else tuple(lines)
        said = tuple(line for line in said if line)
        if said:
            found.append(FactBlock(label, said, label in boxed))
    return found
