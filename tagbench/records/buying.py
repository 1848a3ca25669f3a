"""Part numbers, wants and what is in stock."""

from datetime import date
from typing import Annotated, Literal

import msgspec

from tagbench.records.base import Code, Mark, Name, Natural, Record, Tally


class PartNumber(Record, frozen=True, kw_only=True):
    """A part number and what became of it."""

    number: Name
    """The number as it is printed."""
    status: Literal["original", "superseded", "obsolete", "substitute"] = "original"
    """original: as in the parts list; the others as the trade uses the words."""
    superseded_by: str = ""
    """The number that takes its place."""
    differs: str = ""
    """What is different about a substitute."""


class WrongItem(Record, frozen=True, kw_only=True):
    """An item that came and was not the one that was ordered."""

    came: date
    """Day it came."""
    what: str = ""
    """What is wrong about it: `left-hand one`, `4712`."""
    sent_back: date | None = None
    """Day it was sent back."""
    settled: Literal["", "refunded", "replaced"] = ""
    """What came of it; empty while nothing has."""


class Want(Record, frozen=True, kw_only=True):
    """Something to buy, and where it stands."""

    id: Natural
    """Number of the want in the book."""
    machine: Mark
    """Mark of the machine it is for."""
    what: Name
    """What is wanted."""
    parts: tuple[Code, ...] = ()
    """The parts that wait for it; empty for general supplies."""
    number: str = ""
    """Part number to order."""
    ordered_as: str = ""
    """The number that it was ordered by; the number that is shown from then on."""
    quantity: Natural = 1
    """How many."""
    supplier: str = ""
    """Who sells it."""
    price: Annotated[str, msgspec.Meta(pattern=r"^([0-9]+(\.[0-9]+)?)?$")] = ""
    """Price of one, decimal figure as text; empty when unknown."""
    currency: str = ""
    """Currency by its three-letter code (ISO 4217)."""
    deposit: Annotated[str, msgspec.Meta(pattern=r"^([0-9]+(\.[0-9]+)?)?$")] = ""
    """Deposit on the exchange piece, for all of it, decimal figure as text; empty without one."""
    deposit_back: date | None = None
    """Day the deposit came back."""
    ordered: date | None = None
    """Day it was ordered."""
    due: date | None = None
    """Day it should arrive."""
    arrived: date | None = None
    """Day it arrived."""
    wrong: tuple[WrongItem, ...] = ()
    """The wrong items that came for it, oldest first."""
    note: str = ""
    """Anything else."""


class StockItem(Record, frozen=True, kw_only=True):
    """Supplies in the drawer: new cotter pins, washers, gaskets."""

    id: Natural
    """Number of the stock line in the book."""
    what: Name
    """The item in its standard spelling, e.g. `cotter pin 3.2x32`."""
    quantity: Tally = 0
    """How many are there."""
    note: str = ""
    """Anything else."""
