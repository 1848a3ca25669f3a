"""What the bench itself remembers: tags, sheets, printers, phones, the chosen machine."""

from datetime import datetime
from typing import Literal

from tagbench.records.base import Code, Name, Natural, Record, Tally

ANY_MARK = ""
"""Stands among the serials for marks that nothing is known of, after a book was lost."""


class Tag(Record, frozen=True, kw_only=True):
    """A code that has been given out, and the tag printed for it."""

    code: Code
    """The code; once given out it is never given out again."""
    kind: Literal["part", "bin", "spare", "gone"] = "part"
    """spare: printed ahead, not yet used; gone: its record was taken away."""
    queued: datetime | None = None
    """Set while the tag waits to be printed."""
    printed: datetime | None = None
    """When it was last printed."""
    times: Tally = 0
    """How often it was printed."""
    address: str = ""
    """The phone address in its symbol; empty for the bare code."""


class PrinterFit(Record, frozen=True, kw_only=True):
    """How a printer is off, measured with the ruler page."""

    offset_x_mm: float = 0.0
    """Shift to the right that corrects it, mm."""
    offset_y_mm: float = 0.0
    """Shift down that corrects it, mm."""
    scale_x: float = 1.0
    """Factor on widths that corrects it."""
    scale_y: float = 1.0
    """Factor on heights that corrects it."""


class Phone(Record, frozen=True, kw_only=True):
    """A phone that has been paired."""

    id: Natural
    """Number of the phone in the book."""
    name: Name
    """What the person calls it."""
    token_hash: Name
    """SHA-256 of its token, hexadecimal; the token itself is not kept."""
    paired: datetime
    """When it was paired."""
    seen: datetime | None = None
    """When it last opened a page."""


class Desk(Record, frozen=True, kw_only=True):
    """One a book: counters and what is remembered between evenings."""

    machine: str = ""
    """Mark of the chosen machine."""
    serials: dict[str, int] = {}
    """Mark → last serial given out; `ANY_MARK` for marks that are not named."""
    ids: dict[str, int] = {}
    """Table → last number given out."""
    sheets: dict[str, int] = {}
    """Stock → first free label of the half-used sheet, counted from 1."""
    stock: str = "a4-3x8-70x37"
    """Label stock last used."""
    paper: Literal["", "a4", "letter"] = ""
    """Paper of reports; empty follows the label stock."""
    printers: dict[str, PrinterFit] = {}
    """Printer → its correction; the empty name stands for PDF files."""
    printer: str = ""
    """Printer last used."""
    phone_host: str = ""
    """Host the phone page is bound to; empty for this computer only."""
    phone_port: int = 8017
    """Port of the phone page."""
    phone_address: str = ""
    """host:port printed in the symbols; empty prints bare codes."""
    used_with: dict[str, tuple[str, ...]] = {}
    """Care step → what it was done with, latest first."""
    suppliers: tuple[str, ...] = ()
    """Suppliers, latest first."""
    theme: Literal["dark", "light"] = "dark"
    """Dark or light screens."""
    large: bool = False
    """Whether keys and codes are drawn large where the terminal is high."""
