"""What is to be said on a tag, before anybody asks how much of it fits."""

from dataclasses import dataclass
from typing import Literal

TagKind = Literal["part", "bin", "spare"]


@dataclass(frozen=True, slots=True)
class TagLine:
    """One line of words under the name, such as where a part came from."""

    name: str
    """What the line says, for the report of what was cut ("came from")."""
    text: str
    bold: bool = False
    """Whether it should catch the eye, like fasteners."""
    side: str = ""
    """A short word set white on black in this line, such as "left"; "right" and "lower" stand at
    the line's end, so that twins differ in their looks and not only in a word."""


@dataclass(frozen=True, slots=True)
class TagText:
    """What goes on one tag. Empty texts take no room."""

    code: str
    """The canonical code, printed largest."""
    title: str = ""
    """What it is: the part's or the bin's name."""
    lines: tuple[TagLine, ...] = ()
    """The rest, most important first."""
    kind: TagKind = "part"
    heading: str = ""
    """A bin's kind ("box", "shelf"), shown white on black."""
    payload: str = ""
    """What the symbol holds; the bare code when empty."""
