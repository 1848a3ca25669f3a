"""Records for the tests of the rules, of the invented Tarnbrook Packman."""

from __future__ import annotations

from typing import Any

from labels.code import make_code
from tagbench.records import Bin, Fastener, Part, Tables


def code(serial: int, mark: str = "TP") -> str:
    """`TP-017-7` for 17."""
    return make_code(mark, serial)


def bin_code(serial: int) -> str:
    """`BIN-004-…` for 4."""
    return make_code("BIN", serial)


def part(serial: int, name: str = "part", **more: Any) -> Part:
    """A part with that serial, which is its removal order too."""
    return Part(code=code(serial), name=name, **({"order": serial} | more))


def screws(quantity: int = 4, thread: str = "M5x0.8", **more: Any) -> Fastener:
    """A line of pan head screws, 12 mm long."""
    plain: dict[str, Any] = {"kind": "screw", "length": 12.0, "head": "pan"}
    return Fastener(quantity=quantity, thread=thread, **(plain | more))


def tables(*parts: Part, bins: tuple[Bin, ...] = (), **more: Any) -> Tables:
    """Tables with these parts and bins."""
    return Tables(parts={p.code: p for p in parts}, bins={b.code: b for b in bins}, **more)
