"""The build sheet in large type, for the wall: names of 18 pt, and only what the hands need."""

from __future__ import annotations

from collections.abc import Iterator

from tagbench.reports.build_sheet import assembly_stretches, cautions_of, reasons_of, rows, steps_of
from tagbench.reports.build_text import torque_lines
from tagbench.reports.paper.blocks import LARGE, Block, Care, Entry, Heading, Line, Sheet, facts
from tagbench.reports.request import ReportRequest
from tagbench.rules.bolt_card import holes_in_words
from tagbench.rules.care.cautions import DEFER_WHOLE
from tagbench.rules.describe.phrases import NO_ASSEMBLY, counted, day, named, plural
from tagbench.rules.open_questions import spelled

__all__ = ["rows", "sheet"]


def sheet(request: ReportRequest) -> Sheet:
    """Name, code, where it is, side, screws and torques of every step that is left."""
    steps = steps_of(request)
    about = f"{day(request.printed)}, {plural(len(steps), 'step')}"
    title = f"Build sheet — {request.machine_words}"
    return Sheet(title, about, _blocks(request), sizes=LARGE)


def _blocks(request: ReportRequest) -> Iterator[Block]:
    steps, held = steps_of(request), reasons_of(request)
    if not steps:
        yield Line("Every part is on the machine.")
        return
    unit = request.machine.units.torque
    for assembly, stretch in assembly_stretches(request, steps):
        yield Heading(assembly or NO_ASSEMBLY.capitalize())
        for step in stretch:
            part = step.part
            told = facts(
                (
                    ("kept in", step.new.fit if step.new else step.kept_in),
                    ("position", part.position),
                    ("sits how", part.sits_how),
                    ("holes", holes_in_words(part)),
                    ("twin", step.beside),
                    ("stack", step.stack),
                    ("under", [f"{named(one)}: take it off first" for one in step.under]),
                    ("with", list(map(spelled, part.fasteners))),
                    ("torque", list(torque_lines(step.torques, unit))),
                    ("renew", [one.words for one in step.supplies]),
                )
            )
            reasons = "; ".join(why.words for why in held.get(part.code, ()))
            yield Entry(
                counted(part), part.code, str(step.number), tick=True, facts=tuple(told),
                held=reasons, pictures=request.shown(part),
            )  # fmt: skip
    yield Care((*(caution.line for caution in cautions_of(steps)), DEFER_WHOLE))
