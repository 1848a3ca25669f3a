"""What a part is made of: a stack in its order, parts that stay together, pins and wires."""

from __future__ import annotations

from typing import Literal

from tagbench.records.base import Name, Natural, Record
from tagbench.records.fastener import Fastener, Positive


class StackPiece(Record, frozen=True, kw_only=True):
    """One thing of a stack: shim, washer, plate; or several alike that lie together."""

    what: Name
    """What it is: `friction plate`."""
    quantity: Natural = 1
    """How many lie on one another (or side by side, for rollers and balls)."""
    thickness_mm: Positive | None = None
    """Thickness of one, mm; None while it was not measured."""


class Stack(Record, frozen=True, kw_only=True):
    """Shims, washers, plates, rollers in the order in which they sit on one shaft or stud."""

    side: Name
    """The side that the order is named from: `nut`, `flywheel side`."""
    pieces: tuple[StackPiece, ...]
    """From that side inwards."""
    first_on: Literal["last", "first"] = "last"
    """Which end goes on first: `last` where the named side is the outside, `first` where it is the
    innermost one."""


class OwnPart(Record, frozen=True, kw_only=True):
    """A part of a sub-assembly that is not taken apart now."""

    name: Name
    """What it is."""
    quantity: Natural = 1
    """How many alike."""
    fasteners: tuple[Fastener, ...] = ()
    """What holds it in the sub-assembly."""
    sits_how: str = ""
    """Orientation and witness marks."""


class Pin(Record, frozen=True, kw_only=True):
    """A pin of a connector, or a wire of a cable."""

    pin: Name
    """Number or name of the pin or terminal."""
    colour: str = ""
    """Colour of the wire as found: two-letter codes of IEC 60757, base colour first."""
    goes_to: str = ""
    """What the wire goes to."""
    drawn: str = ""
    """Colour as the wiring diagram says; empty when that was not looked up."""


class Wiring(Record, frozen=True, kw_only=True):
    """A connector or cable: its pins, and how it runs."""

    pins: tuple[Pin, ...] = ()
    """Pins in the order of the connector."""
    routing: str = ""
    """How it runs, in words: clips, grommets, what it passes over."""
    diagram: str = ""
    """Which diagram `drawn` is from."""
