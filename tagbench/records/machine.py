"""The machine in pieces, and its adjustments."""

from datetime import datetime
from typing import Annotated, Literal

import msgspec

from tagbench.records.base import Code, Mark, Name, Natural, Record

TorqueUnit = Literal["N·m", "lbf·ft", "lbf·in", "kgf·m", "kgf·cm"]
"""The units that torques are shown in."""


class Units(Record, frozen=True, kw_only=True):
    """The units the person thinks in."""

    length: Literal["mm", "in"] = "mm"
    """Lengths and diameters."""
    torque: TorqueUnit = "N·m"
    """Torques."""
    currency: str = "EUR"
    """Three-letter currency code offered for prices (ISO 4217)."""


class Machine(Record, frozen=True, kw_only=True):
    """The machine that is being stripped."""

    mark: Mark
    """One to three letters or digits that begin all its codes."""
    name: Name
    """What it is called."""
    maker: str = ""
    """Who made it."""
    model: str = ""
    """Model."""
    year: Annotated[int, msgspec.Meta(ge=1700, le=2200)] | None = None
    """Year built."""
    serial: str = ""
    """Frame or serial number."""
    note: str = ""
    """Anything else."""
    units: Units = Units()
    """Preferred units."""
    wrench_low: float | None = None
    """Bottom of the torque wrench's scale, in `units.torque`."""
    wrench_high: float | None = None
    """Top of the torque wrench's scale, in `units.torque`."""
    aside: datetime | None = None
    """When it was set aside, so that another one is worked on; None while it is worked on."""
    aside_why: str = ""
    """Why it was set aside: `waiting for the crankshaft`."""
    cautions_seen: tuple[str, ...] = ()
    """Ids of cautions acknowledged for this machine."""
    closed: datetime | None = None
    """When the rebuild was closed."""
    closed_with: dict[str, str] = {}
    """Open line → the written reason for closing all the same."""


class Setting(Record, frozen=True, kw_only=True):
    """An adjustment with a specified range."""

    id: Natural
    """Number of the setting in the book."""
    machine: Mark
    """Mark of its machine."""
    what: Name
    """What is adjusted, e.g. `chain slack`."""
    assembly: str = ""
    """Where, as a path like a part's."""
    low: float | None = None
    """Smallest allowed value, in `unit`."""
    high: float | None = None
    """Largest allowed value, in `unit`."""
    unit: str = "mm"
    """Unit of all figures."""
    source: str = ""
    """Where the range comes from."""
    typed: str = ""
    """The range as it was typed."""
    measured: float | None = None
    """Last measured value, in `unit`."""
    measured_at: datetime | None = None
    """When it was measured."""
    after: tuple[Code, ...] = ()
    """Parts whose fitting re-opens the setting."""
    recheck: str = ""
    """Why it must be measured again; empty when it need not be."""
    note: str = ""
    """Anything else."""
