"""A line of fasteners on a part: what holds it on, and how many came back."""

from datetime import datetime
from typing import Annotated, Literal

import msgspec

from tagbench.records.base import Natural, Record, Tally

Positive = Annotated[float, msgspec.Meta(gt=0)]


class Torque(Record, frozen=True, kw_only=True):
    """A tightening torque range as the source gives it."""

    low: Annotated[float, msgspec.Meta(ge=0)]
    """Low figure, in `unit`."""
    high: Annotated[float, msgspec.Meta(ge=0)]
    """High figure, in `unit`; equal to `low` for a single figure."""
    unit: str = "N·m"
    """N·m, lbf·ft, lbf·in, kgf·m or kgf·cm."""
    source: str = ""
    """Where the figure stands, e.g. a page of the maker's manual."""
    estimate: bool = False
    """True when the figure was estimated from size and class, not published by the maker."""
    typed: str = ""
    """The text as it was typed."""


class TorquePass(Record, frozen=True, kw_only=True):
    """Once over the fasteners of a line with the torque wrench."""

    given: Annotated[float, msgspec.Meta(ge=0)]
    """The torque given, in the unit of the line's own torque (N·m without one)."""
    at: datetime | None = None
    """When it was given."""


class Fastener(Record, frozen=True, kw_only=True):
    """One kind of fastener of a part; all of them alike in thread, length and head."""

    quantity: Natural = 1
    """How many of them the part has."""
    kind: str = "screw"
    """screw, bolt, stud, nut, castle nut, washer, cotter pin, circlip, …, other."""
    thread: str = ""
    """Standard spelling without the length, e.g. `M5x0.8`, `1/4-20 UNC`; empty if unthreaded."""
    diameter: Positive | None = None
    """Diameter of a pin, washer or circlip without a thread, or of a screw whose thread is not
    yet known, in `length_unit`; the width of a key."""
    length: Positive | None = None
    """Length under the head, in `length_unit`; the second size of what has no thread."""
    thickness: Positive | None = None
    """Third size, in `length_unit`: thickness of a ring, width of a bearing or seal, or height
    of a key."""
    length_unit: Literal["mm", "in"] = "mm"
    """Unit of `length` and `diameter`."""
    number: str = ""
    """What it goes by in the table of its own kind: `#8`, `7/0`, `404`, `6202-2RS`."""
    standard: str = ""
    """The standard that was named, e.g. `DIN 912`."""
    tool: str = ""
    """The tool that was said to fit: `spanner 13 mm`, `hex key 5 mm`, `T30`."""
    head: str = ""
    """hex, pan, cheese, countersunk, socket, …"""
    drive: str = ""
    """slot, cross, hex socket, … where the head does not say it."""
    grade: str = ""
    """Property class or grade, e.g. `8.8`, `grade 5`, `A2-70`."""
    material: str = ""
    """Material or finish, e.g. `brass`, `zinc`."""
    place: str = ""
    """Where it sat, e.g. `long one at 6 o'clock`."""
    locking: tuple[str, ...] = ()
    """What keeps it from coming loose: cotter pin, lock washer, thread lock, …"""
    single_use: bool = False
    """True when it is renewed at every rebuild."""
    renewed: bool = False
    """True when a single-use item has been renewed."""
    torque: Torque | None = None
    """The torque it wants, if known."""
    torqued: float | None = None
    """The torque it was given at the rebuild, in `torque.unit` (N·m without a torque)."""
    passes: tuple[TorquePass, ...] = ()
    """The passes up to `torqued`, first one first: a torque in stages. Empty for a single one."""
    back: Tally = 0
    """How many are back in the machine."""
    short: Tally = 0
    """How many are known to be missing."""
    away: Tally = 0
    """How many are with someone else."""
    note: str = ""
    """What else was said about it, or the text that could not be read as a fastener."""
    typed: str = ""
    """The text as it was typed."""
    called: str = ""
    """The person's own word for it where that is not the standard one, e.g. `nyloc`."""
    words: str = ""
    """The words that were not understood, as they were typed."""
    measured: str = ""
    """Where its sizes come from when not from a person: `measured from a picture: 25.1 ±0.2 mm
    long; …`."""
    chosen: tuple[str, ...] = ()
    """What was chosen where a word had two readings, e.g. `“x4”: 4 of them`."""
