"""A removed part and all that is known about it."""

from datetime import datetime
from typing import Annotated, Literal

import msgspec

from tagbench.records.away import Errand, Finish, Lost
from tagbench.records.base import Code, Name, Natural, Record, Tally
from tagbench.records.buying import PartNumber
from tagbench.records.care import CareStep, Reading, Soak
from tagbench.records.composition import OwnPart, Stack, Wiring
from tagbench.records.fastener import Fastener, Positive


class Photo(Record, frozen=True, kw_only=True):
    """A picture of a part, kept in the book's `photos` folder."""

    file: Name
    """File name inside `photos/`, never a path out of it."""
    caption: str = ""
    """What it shows."""
    moment: Literal["", "before", "after"] = ""
    """before: as it came off; after: as it went back."""
    taken: datetime | None = None
    """When the picture was taken, from the picture itself."""
    original: str = ""
    """Where the picture was copied from."""
    size: Tally = 0
    """Length of the file, bytes; 0 for one that was taken in before that was kept."""
    checksum: str = ""
    """BLAKE2b of the file, 16 bytes, hexadecimal; empty as `size` is 0."""


class GasketHole(Record, frozen=True, kw_only=True):
    """Holes of one size in a gasket."""

    quantity: Natural = 1
    """How many."""
    thread: str = ""
    """The bolt that passes through, standard spelling; empty for a plain hole."""
    diameter_mm: Positive | None = None
    """Diameter of a plain hole, mm."""


Corner = tuple[float, float, float]


class TracedHole(Record, frozen=True, kw_only=True):
    """A bolt hole found in a picture; from the lower left of the outline."""

    x_mm: float
    """Its middle, mm to the right."""
    y_mm: float
    """Its middle, mm up."""
    diameter_mm: Positive
    """Diameter, mm."""


class GasketOutline(Record, frozen=True, kw_only=True):
    """The outline of a gasket, traced from a picture.

    A path is a closed run of corners x, y (mm, right and up from the lower left of the outer edge)
    and bulge: the tangent of a quarter of the angle that the arc to the next corner turns through,
    above zero to the left, 0 for a straight line.
    """

    outer: tuple[Corner, ...]
    """The outer edge."""
    openings: tuple[tuple[Corner, ...], ...] = ()
    """Openings that are no bolt holes."""
    holes: tuple[TracedHole, ...] = ()
    """Bolt holes."""
    area_mm2: float = 0.0
    """Area within the outer edge, mm²; holes not taken off."""
    residual_mm: float = 0.0
    """How far the mat was from flat and true in the picture, mm; 0 for a scan."""
    source: Literal["mat", "scan"] = "mat"
    """Photographed on the mat, or scanned."""
    picture: str = ""
    """Name of the picture it was measured from."""
    adjusted: tuple[str, ...] = ()
    """What was changed by hand, in words."""


class Gasket(Record, frozen=True, kw_only=True):
    """A gasket to be cut by hand."""

    material: Name
    """Paper, cork, fibre, copper, …"""
    thickness_mm: Positive
    """Thickness, mm."""
    width_mm: Positive
    """Outside width, mm."""
    height_mm: Positive
    """Outside height, mm."""
    holes: tuple[GasketHole, ...] = ()
    """The holes."""
    outline: GasketOutline | None = None
    """Its outline, where it was traced from a picture."""
    made: bool = False
    """True once it has been cut: it lies there whatever becomes of the verdict."""


class Override(Record, frozen=True, kw_only=True):
    """A refusal that the person overruled; stays on the open list."""

    what: Literal["buried", "held up", "torque"]
    """Which refusal."""
    codes: tuple[Code, ...] = ()
    """The parts that were in the way or left out."""
    why: str = ""
    """The person's reason."""
    at: datetime | None = None
    """When."""


class Part(Record, frozen=True, kw_only=True):
    """A part that came off the machine (or goes on it), in the bag with this code."""

    code: Code
    """The code on the tag; the part's identity, never given out again."""
    name: Name
    """What it is."""
    assembly: str = ""
    """Where it came from, as a path: `Front wheel / Brake`."""
    position: str = ""
    """Side or position: left, right, upper, …"""
    quantity: Natural = 1
    """How many alike are under this code."""
    order: Tally = 0
    """Removal order in the machine, 1 for the first one off."""
    removed: datetime | None = None
    """When it came off."""
    fasteners: tuple[Fastener, ...] = ()
    """What held it on."""
    sits_how: str = ""
    """Orientation and witness marks."""
    photos: tuple[Photo, ...] = ()
    """Pictures, oldest first."""
    bin: Annotated[str, msgspec.Meta(pattern=r"^(BIN-[0-9]{3,}-[0-9A-Z])?$")] = ""
    """Code of the bag, box, tray, … it is kept in; empty when in none."""
    behind: tuple[Code, ...] = ()
    """Codes of the parts that must come off before this one."""
    care: tuple[CareStep, ...] = ()
    """Care steps done, oldest first."""
    soak: Soak | None = None
    """Set while the part soaks."""
    readings: tuple[Reading, ...] = ()
    """Measurements against wear limits."""
    kind: str = ""
    """Kind of part for the inspection list (brake shoe, felt seal, chain, …)."""
    verdict: Literal["undecided", "reuse", "replace"] = "undecided"
    """Used again or replaced."""
    replacement: Literal["", "wanted", "here"] = ""
    """Whether the replacement is still wanted or is here; empty when none is needed."""
    old_piece: Literal["", "kept", "gone", "pattern", "exchanged"] = ""
    """Where the replaced piece is: still about, thrown out, kept as a pattern, or given back as an
    exchange piece; empty when nothing was replaced."""
    new_bin: Annotated[str, msgspec.Meta(pattern=r"^(BIN-[0-9]{3,}-[0-9A-Z])?$")] = ""
    """Code of the bin that the new piece is kept in; empty when in none (`bin` has the old one)."""
    part_numbers: tuple[PartNumber, ...] = ()
    """Part numbers, original first."""
    make: Gasket | None = None
    """Set when the part is to be made by hand."""
    fitted: Literal["off", "snug", "fitted"] = "off"
    """Off the machine, fitted finger tight, or fitted and done."""
    fitted_at: datetime | None = None
    """When it was fitted or snugged."""
    stays_on: bool = False
    """True for a part that was never taken off: fitted, and part of the order all the same."""
    away: Errand | None = None
    """Set while it is with someone else."""
    errands: tuple[Errand, ...] = ()
    """Its times with someone else that are over, oldest first."""
    lost: Lost | None = None
    """Set while it cannot be found."""
    finishes: tuple[Finish, ...] = ()
    """Its finish, done and to do, in the order of the work."""
    dry_fits: tuple[datetime, ...] = ()
    """When it was fitted for a trial and came off again; no dry fit is the last one."""
    twin: str = ""
    """Code of the same thing on the other side; each of the two names the other."""
    stack: Stack | None = None
    """Shims, washers, plates, rollers in their order."""
    together: bool = False
    """True for a sub-assembly that stays in one piece, in one bag, under one tag."""
    own_parts: tuple[OwnPart, ...] = ()
    """What is known of the parts of a sub-assembly; none of them has come off yet."""
    wiring: Wiring | None = None
    """Pins and routing of a connector or cable."""
    overrides: tuple[Override, ...] = ()
    """Refusals that were overruled for this part."""
    note: str = ""
    """Anything else."""

    @property
    def machine(self) -> str:
        """The mark of the machine, from the code."""
        return self.code.split("-", 1)[0]

    @property
    def said(self) -> str:
        """The name in a sentence; one of twins with its side: `Wheel cylinder, left`."""
        return f"{self.name}, {self.position}" if self.twin and self.position else self.name
