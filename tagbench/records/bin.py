"""A place that holds parts: bag in box on shelf."""

from tagbench.records.base import Code, Name, Record

BIN_MARK = "BIN"
"""The mark of all bin codes; no machine may have it."""

BIN_KINDS = ("bag", "box", "tray", "drawer", "shelf")
"""The usual kinds; others may be typed."""


class Bin(Record, frozen=True, kw_only=True):
    """A bag, box, tray, drawer or shelf."""

    code: Code
    """The code on its tag, `BIN-004-x`."""
    name: Name
    """What is written on it."""
    kind: str = "bag"
    """bag, box, tray, drawer, shelf, …"""
    kept_in: str = ""
    """Code of the bin that holds this one; empty when in none. Never in a loop."""
    note: str = ""
    """Anything else."""
