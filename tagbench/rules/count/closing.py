"""Closing the machine: a clean count, or a written reason for every line that is open."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from tagbench.errors import BadInput, Refused
from tagbench.records import Part
from tagbench.rules.count.fastener_lines import (
    count_away,
    count_lost,
    in_bag,
    left_over,
    renewed_items,
)
from tagbench.rules.count.identity import Count
from tagbench.rules.describe.phrases import named
from tagbench.rules.rebuild.held_up import on_machine
from tagbench.rules.rebuild.overrides import overruled_words
from tagbench.rules.whereabouts import elsewhere_words
from tagbench.trade.torque.passes import torqued_words


class OpenLine(NamedTuple):
    """One thing that stands in the way of closing."""

    key: str
    """Its name, by which a reason is given: `off:TP-017-K`, `lost:TP-017-K/1`, `setting:3`."""
    words: str
    """What is open, as a person reads it."""


def open_lines(count: Count) -> list[OpenLine]:
    """Everything that is open, each thing once; empty when the count is clean.

    What needs a decision comes first, then what is merely off, by assembly. The fasteners in the
    bag of a part that is off are not lines of their own: the part is.
    """
    decide = [OpenLine(key, words) for key, words in _lines(count)]
    return [*decide, *(line for group in off_by_assembly(count).values() for line in group)]


def off_by_assembly(count: Count) -> dict[str, list[OpenLine]]:
    """Assembly → a line for each part that is merely off, the assembly begun first coming first."""
    groups: dict[str, list[OpenLine]] = {}
    for part in count.parts_off:
        if part.code not in count.left_out:
            words = f"{named(part)} is {elsewhere_words(part) or 'off the machine'}"
            line = OpenLine(f"off:{part.code}", words)
            groups.setdefault(part.assembly, []).append(line)
    return groups


def unexplained(lines: list[OpenLine], reasons: Mapping[str, str]) -> list[OpenLine]:
    """The open lines without a written reason."""
    return [line for line in lines if not reasons.get(line.key, "").strip()]


def check_closing(count: Count, reasons: Mapping[str, str]) -> dict[str, str]:
    """The reasons to be written down when the machine is closed, one for each open line.

    Raises Refused and names the lines that are open without a reason, BadInput for a reason
    whose line is not open.
    """
    lines = open_lines(count)
    keys = {line.key for line in lines}
    stray = sorted(reasons.keys() - keys)
    if stray:
        raise BadInput(f"Nothing called {', '.join(stray)} is open; the count names the lines.")
    left = unexplained(lines, reasons)
    if left:
        told = "; ".join(f"{line.words} [{line.key}]" for line in left[:5])
        more = f"; and {len(left) - 5} more" if len(left) > 5 else ""
        many = "1 open line is" if len(left) == 1 else f"{len(left)} open lines are"
        raise Refused(
            f"{many} in the way of closing: {told}{more}. "
            f"Settle what is open, or write a reason for each line."
        )
    return {key: reasons[key].strip() for key in reasons}


def _lines(count: Count) -> Iterator[tuple[str, str]]:
    yield from _left_out(count)
    yield from _fastener_lines(count)
    for part in count.snug:
        yield f"snug:{part.code}", f"{named(part)} is only snug"
    for line in count.untorqued:
        stage = torqued_words(line.fastener)
        if stage:
            yield f"torque:{line.key}", f"{line.part.said}, {line.named}: {stage}"
        elif line.part.fitted == "fitted":
            yield f"torque:{line.key}", f"{line.part.said}: no torque noted for {line.spelled}"
    for line in count.single_use:
        if on_machine(line.part):
            items = ", ".join(renewed_items(line))
            yield f"renew:{line.key}", f"{line.part.said}: not renewed, {items}"
    for state in count.settings:
        yield f"setting:{state.setting.id}", f"{state.setting.what}: {state.words}"
    for over in count.overrides:
        words = f"{over.part.said} {over.words}{overruled_words(over.override)}"
        yield f"override:{over.part.code}/{over.number}", words
    yield from _what_is_about(count)


def _what_is_about(count: Count) -> Iterator[tuple[str, str]]:
    """Old pieces that are not gone, and what was found and belongs nowhere yet."""
    for part in count.old_pieces:
        yield f"old:{part.code}", f"the old {named(part)} is still about"
    for item in count.loose:
        where = f", {item.where}" if item.where else ""
        yield f"found:{item.id}", f"found and not explained: {item.what}{where}"


def _left_out(count: Count) -> Iterator[tuple[str, str]]:
    """What is off under parts that went on over it; they are named."""
    for part in count.parts_off:
        over = count.left_out.get(part.code, [])
        if over:
            yield f"off:{part.code}", _left_out_words(part, over)


def _left_out_words(part: Part, over: list[Part]) -> str:
    """What went on over it; or that the record cannot be, as what covers it never came off."""
    stayed = ", ".join(named(one) for one in over if one.stays_on)
    if stayed:
        return (
            f"{named(part)} is off the machine, but was under {stayed}, never taken off; "
            "one of the two is wrong"
        )
    return f"{named(part)} was left out: {', '.join(map(named, over))} went on over it"


def _fastener_lines(count: Count) -> Iterator[tuple[str, str]]:
    for line in count.missing:
        part, fastener = line.part, line.fastener
        if count_lost(fastener):
            yield f"lost:{line.key}", f"{part.said}: {count_lost(fastener)} lost of {line.spelled}"
        if count_away(fastener) and on_machine(part):
            yield f"away:{line.key}", f"{part.said}: {count_away(fastener)} away of {line.spelled}"
        if in_bag(fastener) and on_machine(part):
            yield f"bag:{line.key}", f"{part.said}: {in_bag(fastener)} in the bag of {line.spelled}"
    for line in count.left_over:
        words = f"{line.part.said}: {left_over(line.fastener)} more in than out of {line.spelled}"
        yield f"over:{line.key}", words
