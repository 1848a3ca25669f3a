"""The rebuild and the count as the commands print them for other programs."""

from __future__ import annotations

from typing import Any

from tagbench.records import Machine, Part, to_json
from tagbench.rules.count.closing import OpenLine, open_lines, unexplained
from tagbench.rules.count.fastener_lines import (
    FastenerLine,
    count_away,
    count_in_machine,
    count_lost,
    in_bag,
    missing,
)
from tagbench.rules.count.found_fastener import Missed
from tagbench.rules.count.identity import Count
from tagbench.rules.rebuild.overview import Build
from tagbench.rules.rebuild.reach import Undoing
from tagbench.rules.settings.standing import SettingState


def build_json(build: Build, tonight: list[str]) -> dict[str, Any]:
    """`{"ready", "held_up": [{"code", "reasons", "because"}], "order", …}`."""
    return {
        "ready": build.ready,
        "held_up": [
            {
                "code": held.code,
                "reasons": [reason.words for reason in held.reasons],
                "because": [reason._asdict() for reason in held.reasons],
            }
            for held in build.held_up
        ],
        "order": build.order,
        "snug": build.snug,
        "fitted": build.fitted,
        "tonight": tonight,
        "problems": build.problems,
    }


def undoing_json(code: str, undoing: Undoing) -> dict[str, Any]:
    """`{"take_off": [codes in order], …}`: what getting back to a part undoes."""
    return {
        "code": code,
        "take_off": undoing.take_off,
        "unfitted": undoing.unfitted,
        "unsnugged": undoing.unsnugged,
        "untorqued": [line_json(line) for line in undoing.untorqued],
        "to_renew": [line_json(line) for line in undoing.to_renew],
        "unsettled": [to_json(setting) for setting in undoing.unsettled],
    }


def count_json(count: Count, machine: Machine) -> dict[str, Any]:
    """The count of a machine; `closed` when nothing is open without a written reason."""
    lines = open_lines(count)
    return {
        "machine": machine.mark,
        "parts": count.parts,
        "parts_off": len(count.parts_off),
        "off": [_part(part) for part in count.parts_off],
        "fasteners_out": count.fasteners_out,
        "fasteners_back": count.fasteners_back,
        "fasteners_missing": count.fasteners_missing,
        "missing": [line_json(line) for line in count.missing],
        "left_over": [line_json(line) for line in count.left_over],
        "snug": [_part(part) for part in count.snug],
        "untorqued": [line_json(line) for line in count.untorqued],
        "single_use": [line_json(line) for line in count.single_use],
        "settings": [setting_json(state) for state in count.settings],
        "overrides": [
            {**_part(one.part), "words": one.words, "override": to_json(one.override)}
            for one in count.overrides
        ],
        "together": [_part(part) for part in count.together],
        "old_pieces": [_part(part) for part in count.old_pieces],
        "bags": [
            {"bin": bag.bin, "parts": [part.code for part in bag.parts]} for bag in count.bags
        ],
        "threads": [one._asdict() for one in count.threads],
        "questions": [{**line_json(one.line), "words": one.words} for one in count.questions],
        "open": [_open(line, machine) for line in lines],
        "closed": not unexplained(lines, machine.closed_with),
        "closed_at": machine.closed.isoformat() if machine.closed else None,
        "closed_with": machine.closed_with,
    }


def line_json(line: FastenerLine) -> dict[str, Any]:
    """A fastener line of a part, with what is missing of it."""
    fastener = line.fastener
    return {
        **_part(line.part),
        "line": line.number,
        "fastener": line.spelled,
        "quantity": fastener.quantity,
        "back": count_in_machine(fastener),
        "missing": missing(fastener),
        "in_bag": in_bag(fastener),
        "away": count_away(fastener),
        "lost": count_lost(fastener),
    }


def missed_json(hit: Missed) -> dict[str, Any]:
    """A line that misses a fastener like the one found."""
    return {**line_json(hit.line), "fits": hit.fits, "words": hit.words}


def setting_json(state: SettingState) -> dict[str, Any]:
    """A setting with where it stands."""
    return {**to_json(state.setting), "state": state.state, "words": state.words}


def _part(part: Part) -> dict[str, Any]:
    return {"code": part.code, "name": part.name, "fitted": part.fitted}


def _open(line: OpenLine, machine: Machine) -> dict[str, str]:
    return {"key": line.key, "words": line.words, "reason": machine.closed_with.get(line.key, "")}
