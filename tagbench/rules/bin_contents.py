"""What lies in a bin now: parts, old and new pieces, fasteners; never what is on the machine."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal, NamedTuple

from tagbench.records import Bin, Part, Tables
from tagbench.rules.bins import codes_within
from tagbench.rules.care.pieces import is_new
from tagbench.rules.count.fastener_lines import in_bag
from tagbench.rules.describe.phrases import counted
from tagbench.rules.whereabouts import whereabouts

ContentKind = Literal["part", "old one", "new one", "fasteners"]


class Content(NamedTuple):
    """Something that lies in a bin."""

    part: Part
    """The part that it is, or belongs to."""
    piece: ContentKind
    """The part itself, its old or new piece, or only its fasteners."""

    @property
    def words(self) -> str:
        """`Brake drum`, `old Drive chain`, `fasteners of Fork`, with how many and which side."""
        before = {"old one": "old ", "new one": "new ", "fasteners": "fasteners of "}
        return f"{before.get(self.piece, '')}{counted(self.part)}"


class Inside(NamedTuple):
    """What lies in a bin."""

    bins: tuple[Bin, ...]
    """Bins directly in it, by name."""
    contents: tuple[Content, ...]
    """What lies directly in it, in removal order."""
    deeper: int
    """How many parts, old and new pieces lie in the bins within it."""

    @property
    def pieces(self) -> int:
        """How many parts, old and new pieces lie directly in it; fasteners alone are none."""
        return sum(one.piece != "fasteners" for one in self.contents)

    @property
    def parts(self) -> tuple[Part, ...]:
        """The parts that something directly in it is of, each once."""
        return tuple({one.part.code: one.part for one in self.contents}.values())


def bin_of(part: Part) -> str:
    """Code of the bin that the piece at hand lies in; empty when it lies in none now.

    A part on the machine, with someone else or lost is in no bag, whatever bag it came from.
    """
    place = whereabouts(part)
    if place not in ("here", "to come"):
        return ""
    if is_new(part):
        return part.new_bin
    return "" if place == "to come" and part.old_piece in ("gone", "exchanged") else part.bin


def lies_where(part: Part) -> Iterator[tuple[str, ContentKind]]:
    """Each bin that something of the part lies in, and what that is."""
    here = whereabouts(part) in ("here", "to come")
    old = part.verdict == "replace" and part.old_piece in ("kept", "pattern")
    if old:
        yield part.bin, "old one"
    elif here and part.verdict != "replace":
        yield part.bin, "part"
    if here and is_new(part):
        yield part.new_bin, "new one"
    if (old or not here or part.verdict == "replace") and any(map(in_bag, part.fasteners)):
        yield part.bin, "fasteners"


def inside(code: str, tables: Tables) -> Inside:
    """What lies in a bin: bins and parts directly in it, and how much deeper."""
    within = codes_within(code, tables.bins)
    direct: list[Content] = []
    deeper = 0
    for part in tables.parts.values():
        if not part.bin and not part.new_bin:
            continue
        for bin_, piece in lies_where(part):
            if bin_ == code:
                direct.append(Content(part, piece))
            elif bin_ in within:
                deeper += piece != "fasteners"
    return Inside(
        bins=tuple(
            sorted((b for b in tables.bins.values() if b.kept_in == code), key=lambda b: b.name)
        ),
        contents=tuple(sorted(direct, key=lambda one: (one.part.order, one.part.code))),
        deeper=deeper,
    )
