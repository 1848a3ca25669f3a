"""Spells a fastener in its one standard way, which reads back to the same record."""

from __future__ import annotations

import re
from collections.abc import Iterable
from fractions import Fraction

from tagbench.records import Fastener, Torque
from tagbench.trade.fasteners.pieces import count_in_place
from tagbench.trade.fasteners.vocabulary import THREADED_KINDS, is_single_use
from tagbench.trade.quantities.shown import inch_fraction

#: Kinds that are named behind the size; all others are named first.
_NAMED_BEHIND = ("screw", "bolt", "stud", "set screw")
#: Kinds that go on a thread and are called by it: lock washer M8.
_CALLED_BY_THREAD = re.compile(r"washer$")
_METRIC_SIZES = (1.6, 2, 2.5, 3, 3.5, 4, 5, 6, 7, 8, 10, 12, 14, 16, 18, 20, 22, 24)


def spell(fastener: Fastener) -> str:
    """The standard spelling: `4x M5x0.8x12 pan`, `castle nut M12x1.25 + cotter pin`, …

    What it says reads back to the same record; how many came back is not part of it.
    """
    once = fastener.quantity == 1 and not count_in_place(fastener.place)
    count = "" if once else f"{fastener.quantity}x "
    place = f" ({' '.join(fastener.place.split())})" if fastener.place else ""
    if fastener.kind == "other":
        return f"{count}{place.strip()} note: {_one_line(fastener.note)}".strip()
    words = " ".join(word for word in _words(fastener) if word)
    locking = "".join(f" + {item}" for item in fastener.locking)
    torque = f", {spell_torque(fastener.torque)}" if fastener.torque else ""
    note = f", note: {_one_line(fastener.note)}" if fastener.note else ""
    return f"{count}{words}{locking}{torque}{place}{note}"


def spell_all(fasteners: Iterable[Fastener]) -> str:
    """Several fasteners in one line, separated with `; `."""
    return "; ".join(spell(fastener) for fastener in fasteners)


def spell_torque(torque: Torque) -> str:
    """`8-10 N·m`, `25 kgf·cm estimate [manual p. 12]`."""
    figures = _figure(torque.low)
    if torque.high != torque.low:
        figures = f"{figures}-{_figure(torque.high)}"
    estimate = " estimate" if torque.estimate else ""
    source = _one_line(torque.source).replace("[", "(").replace("]", ")")
    source = f" [{source}]" if source else ""
    return f"{figures} {torque.unit}{estimate}{source}"


def _figure(value: float) -> str:
    """Up to six decimals, no trailing zeros, never an exponent."""
    text = f"{value:.6f}"
    return text.rstrip("0").rstrip(".")


def _one_line(text: str) -> str:
    return " ".join(text.replace(";", ",").split())


def _words(fastener: Fastener) -> tuple[str, ...]:
    kind, size = fastener.kind, _size(fastener)
    head = (fastener.head, fastener.drive)
    tail = (fastener.grade, fastener.material, _once(fastener))
    if kind not in _NAMED_BEHIND:
        return (*head, kind, size, *tail)
    unsaid = kind == "screw" and (fastener.thread or any(head))
    return (size, *head, "" if unsaid else kind, *tail)


def _once(fastener: Fastener) -> str:
    usual = is_single_use(fastener.kind, fastener.material, fastener.locking)
    if fastener.single_use == usual:
        return ""
    return "single-use" if fastener.single_use else "reusable"


def _size(fastener: Fastener) -> str:
    if fastener.thread:
        return _threaded(fastener)
    sizes = [size for size in (fastener.diameter, fastener.length) if size is not None]
    if not sizes:
        return ""
    if fastener.length_unit == "in":
        return _inches(fastener, sizes)
    called = _CALLED_BY_THREAD.search(fastener.kind) and len(sizes) == 1
    thread = "M" if called and sizes[0] in _METRIC_SIZES else ""
    return thread + "x".join(_figure(size) for size in sizes)


def _inches(fastener: Fastener, sizes: list[float]) -> str:
    first = _number_size(fastener)
    shown = [first or _inch(sizes[0]), *(_inch(size) for size in sizes[1:])]
    return f"{' x '.join(shown)}" + ("" if first else " in")


def _number_size(fastener: Fastener) -> str:
    """`#8` of a wood or tapping screw: 0.060 + 0.013 n in."""
    if fastener.kind not in ("wood screw", "self-tapping screw") or fastener.diameter is None:
        return ""
    number = round((fastener.diameter * 1000 - 60) / 13)
    return f"#{number}" if float(Fraction(60 + 13 * number, 1000)) == fastener.diameter else ""


def _threaded(fastener: Fastener) -> str:
    metric = fastener.thread.startswith("M")
    if fastener.length is None:
        return fastener.thread
    if fastener.length_unit == "mm":
        join = "x" if metric and not fastener.thread.endswith("LH") else " x "
        unit = "" if metric else " mm"
        return f"{fastener.thread}{join}{_figure(fastener.length)}{unit}"
    fraction = inch_fraction(Fraction(fastener.length))
    plain = not metric and fraction and not fastener.thread.endswith("BA")
    return f"{fastener.thread} x {_inch(fastener.length)}{'' if plain else ' in'}"


def _inch(value: float) -> str:
    return inch_fraction(Fraction(value)) or _figure(value)


def is_threaded(fastener: Fastener) -> bool:
    """True when the fastener has a thread of its own, and so can be mixed up with another."""
    return bool(fastener.thread) and fastener.kind in THREADED_KINDS
