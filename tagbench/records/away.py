"""Where a part can be besides its bag: with someone else, lost; and what is left over."""

from datetime import date, datetime
from typing import Annotated

import msgspec

from tagbench.records.base import Code, Mark, Name, Natural, Record, Tally
from tagbench.records.fastener import Fastener

Amount = Annotated[str, msgspec.Meta(pattern=r"^([0-9]+(\.[0-9]+)?)?$")]
"""A decimal figure as text; empty when unknown."""


class Errand(Record, frozen=True, kw_only=True):
    """A part's time with someone else: the plater, the machinist, the rewinder."""

    who: Name
    """Who has it."""
    what_for: str = ""
    """What is done to it there: `zinc plating`, `rebore`."""
    sent: date | None = None
    """Day it went."""
    due: date | None = None
    """Day it should be back."""
    price: Amount = ""
    """What it costs, decimal figure as text."""
    currency: str = ""
    """Three-letter currency code (ISO 4217)."""
    back: date | None = None
    """Day it came back; None while it is away."""
    batch: int = 0
    """Number of the batch it went in; 0 for none."""


class Lost(Record, frozen=True, kw_only=True):
    """A part that cannot be found."""

    since: datetime
    """When that was noticed."""
    last_seen: str = ""
    """Where it was last seen, in words."""
    new_one: bool = False
    """True when it is the new piece of a replaced part that is lost."""


class Finish(Record, frozen=True, kw_only=True):
    """A coat or surface: blasted, painted, plated, polished, or a step by its own name."""

    what: Name
    """What is done: `painted`."""
    with_what: str = ""
    """Colour or product."""
    masked: str = ""
    """What must stay bare: threads, bores, earth points."""
    at: datetime | None = None
    """When it was done; None while it is still to do."""


class BatchPiece(Record, frozen=True, kw_only=True):
    """What went into the bucket from one bag: fasteners of one line, or the part itself."""

    code: Code
    """The part."""
    line: Tally = 0
    """Its line of fasteners, counted from 1; 0 for the part itself."""
    quantity: Natural = 1
    """How many went."""
    sorted: Tally = 0
    """How many were put back into its bag."""


class Batch(Record, frozen=True, kw_only=True):
    """Fasteners and small parts of many bags that go to someone in one bucket."""

    id: Natural
    """Number of the batch in the book."""
    machine: Mark
    """Mark of the machine."""
    who: Name
    """Who has it."""
    what_for: str = ""
    """What is done to it there."""
    sent: date | None = None
    """Day it went."""
    due: date | None = None
    """Day it should be back."""
    price: Amount = ""
    """What all of it costs."""
    currency: str = ""
    """Three-letter currency code (ISO 4217)."""
    pieces: tuple[BatchPiece, ...] = ()
    """What is in it, bag by bag."""
    counted: dict[str, int] = {}
    """Size → how many came back, as they were counted out of the bucket."""
    closed: date | None = None
    """Day the last of it was sorted or given up; None until then."""
    note: str = ""
    """Anything else."""


class LooseItem(Record, frozen=True, kw_only=True):
    """A fastener or part found on the bench that no record was known to miss."""

    id: Natural
    """Number of the item in the book."""
    machine: Mark
    """Mark of the machine it may be from."""
    what: Name
    """What it is, as it was typed."""
    fastener: Fastener | None = None
    """The fastener, where the text was one."""
    where: str = ""
    """Where it lay: `bench floor`."""
    found: datetime | None = None
    """When."""
    explained: str = ""
    """Where it belongs or why it does not matter; it stays on the count while this is empty."""
