"""Records made from the notes of the story."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from demo.calendar import moment
from demo.story import FastenerNote, PartNote, ReadingNote
from tagbench.records import Fastener, Part, PartNumber, Reading, replace
from tagbench.rules.kept_together import keep_together, read_own_parts
from tagbench.rules.stacks import with_stack
from tagbench.rules.wiring import written
from tagbench.trade.fasteners.text import parse_fasteners

INVENTED = " (invented)"
"""Stands behind every source of a figure."""


def part_record(
    note: PartNote, assembly: str, code: str, order: int, codes: Mapping[str, str], now: datetime
) -> Part:
    """The part as it was written down on the evening it came off; `codes` by key."""
    part = Part(
        code=code,
        name=note.name,
        assembly=assembly,
        position=note.position,
        quantity=note.quantity,
        order=order,
        removed=moment(note.off, now),
        fasteners=tuple(line for told in note.fasteners for line in fastener_lines(told)),
        sits_how=note.sits_how,
        bin=codes[note.bin],
        behind=tuple(codes[key] for key in note.behind),
        readings=tuple(_reading(reading) for reading in note.readings),
        kind=note.kind,
        part_numbers=_numbers(note),
        make=note.make,
        note=note.note,
    )
    if note.together is not None:
        part = keep_together(part, read_own_parts(note.together))
    return with_stack(written(part, note.pins, note.routing, note.diagram), note.stack)


def fastener_lines(told: str | FastenerNote) -> tuple[Fastener, ...]:
    """The lines of a short form, with the source of the torque where there is one."""
    if isinstance(told, str):
        return parse_fasteners(told)
    (line,) = parse_fasteners(told.text)
    if line.torque is None:
        return (replace(line, short=told.short),)
    sourced = replace(line.torque, source=told.source + INVENTED)
    return (replace(line, short=told.short, torque=sourced),)


def _reading(note: ReadingNote) -> Reading:
    """The limit, still to be measured."""
    return Reading(
        what=note.what,
        unit=note.unit,
        low=note.low,
        high=note.high,
        uncertainty=note.uncertainty,
        source=note.source + INVENTED,
    )


def _numbers(note: PartNote) -> tuple[PartNumber, ...]:
    numbers = [
        PartNumber(
            number=one.number,
            status=one.status,
            superseded_by=one.superseded_by,
            differs=one.differs,
        )
        for one in note.numbers
    ]
    if note.number and note.substitute:
        numbers.append(PartNumber(number=note.number, status="obsolete"))
        numbers.append(
            PartNumber(number=note.substitute, status="substitute", differs=note.differs)
        )
    elif note.number:
        numbers.append(PartNumber(number=note.number))
    return tuple(numbers)
