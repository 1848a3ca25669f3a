"""What a person types while fitting: torques and missing fasteners, line by line."""

from __future__ import annotations

from collections.abc import Iterable

from tagbench.errors import BadInput
from tagbench.records import Fastener, Part
from tagbench.rules.describe.fasteners import unit_given_in
from tagbench.rules.describe.phrases import named
from tagbench.trade.fasteners.spelling import spell
from tagbench.trade.quantities.typed import parse_torque
from tagbench.trade.quantities.units import convert


def read_torques(part: Part, texts: Iterable[str], unit: str) -> dict[int, float]:
    """Line → torque in the unit of its range, from `50 N·m` or `2=50 N·m`.

    Without a number it is for the lines that want a torque, or else the only line there is.
    `unit` is taken when none is typed. Raises BadInput with the lines to choose from.
    """
    torqued: dict[int, float] = {}
    for text in texts:
        number, value = _split(text)
        given = parse_torque(value, unit)
        if not given.single:
            raise BadInput(f"“{value}” is a range; give the torque that was reached, as 50 N·m.")
        for line in [number] if number else _torque_lines(part):
            wanted = unit_given_in(_line(part, line))
            torqued[line] = float(convert(given.low, given.unit, wanted))
    return torqued


def read_shorts(part: Part, texts: Iterable[str]) -> dict[int, int]:
    """Line → how many are missing, from `1` (the only line) or `2=1`. Raises BadInput."""
    short: dict[int, int] = {}
    for text in texts:
        number, value = _split(text)
        if not value.isdecimal():
            raise BadInput(f"“{text}” is not understood; say how many are missing, as 1 or 2=1.")
        line = number or _only_line(part, "how many are missing")
        _line(part, line)
        short[line] = int(value)
    return short


def numbered_lines(part: Part) -> str:
    """The part's lines with their numbers, to choose from: `1: 4x M5x0.8x12; 2: …`."""
    spelled = (f"{number}: {spell(line)}" for number, line in enumerate(part.fasteners, 1))
    return "; ".join(spelled)


def _split(text: str) -> tuple[int, str]:
    before, equals, after = text.partition("=")
    if not equals:
        return 0, text.strip()
    if not before.strip().isdecimal() or int(before) < 1:
        raise BadInput(f"“{text}” is not understood; before = stands a line's number, as 2=…")
    return int(before), after.strip()


def _torque_lines(part: Part) -> list[int]:
    wanting = [number for number, line in enumerate(part.fasteners, 1) if line.torque]
    ranges = {(line.torque.low, line.torque.high) for line in part.fasteners if line.torque}
    if wanting and len(ranges) == 1:
        return wanting
    return [_only_line(part, "which torque")]


def _only_line(part: Part, what: str) -> int:
    if len(part.fasteners) == 1:
        return 1
    if not part.fasteners:
        raise BadInput(f"{named(part)} has no fasteners in the book.")
    raise BadInput(f"Say for which line {what}, as 2=…; there is {numbered_lines(part)}.")


def _line(part: Part, number: int) -> Fastener:
    if number > len(part.fasteners):
        there = numbered_lines(part) or "none"
        raise BadInput(f"{named(part)} has no line {number}; there is {there}.")
    return part.fasteners[number - 1]
