"""What was done to a part between the strip and the rebuild."""

from datetime import datetime
from typing import TYPE_CHECKING, Annotated, Literal

import msgspec

from tagbench.records.base import Name, Record
from tagbench.records.care_steps import CARE_STEPS

if TYPE_CHECKING:
    Step = str
else:
    Step = Literal[CARE_STEPS]  # msgspec refuses a step that the registry does not have


class CareStep(Record, frozen=True, kw_only=True):
    """One step of care, done."""

    step: Step
    """Its name in the registry of care steps: degreased, inspected, lubed."""
    with_what: str = ""
    """Degreaser, grease or oil that was used."""
    at: datetime | None = None
    """When, local time with offset."""
    new_one: bool = False
    """True when it was done to the new piece that takes the place of a replaced one."""


class Soak(Record, frozen=True, kw_only=True):
    """A part left to soak."""

    since: datetime
    """When it went in."""
    hours: Annotated[float, msgspec.Meta(gt=0)] | None = None
    """How long it should stay, hours; None for until it comes clean."""
    tray: str = ""
    """The tray, by name or bin code."""
    with_what: str = ""
    """What it soaks in."""
    new_one: bool = False
    """True when it is the new piece that soaks."""


class Reading(Record, frozen=True, kw_only=True):
    """A measurement against a wear limit; without values it is still to be measured."""

    what: Name
    """What is measured, e.g. `lining thickness`."""
    values: tuple[float, ...] = ()
    """The readings, in `unit`; several for out-of-round and taper."""
    unit: str = "mm"
    """Unit of the readings and limits."""
    low: float | None = None
    """Smallest allowed value, in `unit`."""
    high: float | None = None
    """Largest allowed value, in `unit`."""
    uncertainty: Annotated[float, msgspec.Meta(ge=0)] = 0.0
    """Uncertainty of the measuring tool, plus or minus, in `unit`."""
    source: str = ""
    """Where the limit comes from."""
    at: datetime | None = None
    """When it was measured."""
