"""The next steps and what to lay out, as the commands print them for other programs."""

from __future__ import annotations

from typing import Any

from tagbench.commands.rebuild_json import line_json
from tagbench.records import to_json
from tagbench.rules.count.fastener_lines import FastenerLine, renewed_items
from tagbench.rules.rebuild.guide import FitGuide
from tagbench.rules.rebuild.steps import LayOut, Step


def step_json(step: Step) -> dict[str, Any]:
    """One step: the part's code and all that goes with it."""
    return {
        "number": step.number,
        "code": step.part.code,
        "name": step.part.said,
        "kept_in": step.kept_in,
        "new_one": step.new.fit if step.new else "",
        "old_one": step.new.old if step.new else "",
        "after": [part.code for part in step.after],
        "under": [part.code for part in step.under],
        "tools": step.tools,
        "torques": [torque_json(line) for line in step.torques],
        "grease": step.grease,
        "renew": [item for line in step.renew for item in renewed_items(line)],
    }


def guide_json(guide: FitGuide) -> dict[str, Any]:
    """How a part goes on."""
    return {
        **step_json(guide.step),
        "reasons": [reason.words for reason in guide.reasons],
        "would_shut_in": guide.burial.shut_in if guide.burial else [],
        "fasteners": [
            {
                **line_json(one.line),
                "torque": one.torque,
                "wrench": one.wrench,
                "steps": list(one.steps),
            }
            for one in guide.lines
        ],
        "cautions": guide.cautions,
    }


def layout_json(laid: LayOut) -> dict[str, Any]:
    """What to have on the bench."""
    return {
        "bins": laid.bins,
        "tools": laid.tools,
        "torques": [torque_json(line) for line in laid.torques],
        "grease": laid.grease,
        "single_use": [
            {
                "what": one.what,
                "quantity": one.quantity,
                "in_stock": one.in_stock,
                "to_buy": one.to_buy,
            }
            for one in laid.single_use
        ],
    }


def torque_json(line: FastenerLine) -> dict[str, Any]:
    """A fastener line with its torque."""
    torque = line.fastener.torque
    return {**line_json(line), "torque": to_json(torque) if torque else None}
