"""The build sheet: every step that is left, in order, with boxes to tick."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby

from tagbench.records import Part
from tagbench.reports.build_text import torque_lines
from tagbench.reports.paper.blocks import (
    Block,
    Care,
    Entry,
    FactBlock,
    Heading,
    Line,
    Sheet,
    facts,
)
from tagbench.reports.request import ReportRequest, ReportRow
from tagbench.rules.bolt_card import holes_in_words
from tagbench.rules.care.cautions import DEFER_WHOLE, Caution, cautions_for_all
from tagbench.rules.count.fastener_lines import FastenerLine, renewed_items
from tagbench.rules.describe.phrases import NO_ASSEMBLY, came_from, counted, day, named, plural
from tagbench.rules.open_questions import spelled
from tagbench.rules.rebuild.held_up import Reason
from tagbench.rules.rebuild.overview import build_overview
from tagbench.rules.rebuild.steps import Step, all_steps, bench_layout
from tagbench.trade.fasteners.spelling import spell_all

COLUMNS = (
    *("step", "code", "name", "quantity", "assembly", "position", "kept_in", "after", "under"),
    *("sits_how", "fasteners", "tools", "torque", "grease", "renew", "held_up", "note"),
    *("twin", "stack"),
)
"""The columns of the sheet as CSV."""


def steps_of(request: ReportRequest) -> list[Step]:
    """The steps that are left, or the first so many."""
    return all_steps(request.tables, request.machine.mark)[: request.steps]


def reasons_of(request: ReportRequest) -> Mapping[str, tuple[Reason, ...]]:
    """Code → why the part is held up, apart from the steps that come before it on the sheet."""
    today = request.printed.date()
    held = build_overview(request.tables, request.machine.mark, today).held_up
    return {one.code: tuple(why for why in one.reasons if why.kind != "deeper") for one in held}


def rows(request: ReportRequest) -> Iterator[ReportRow]:
    """The sheet as lines of CSV."""
    held, unit = reasons_of(request), request.machine.units.torque
    yield COLUMNS
    for step in steps_of(request):
        part = step.part
        yield (
            *(step.number, part.code, part.name, part.quantity, part.assembly, part.position),
            *(step.kept_in, _codes(step.after), _codes(step.under), part.sits_how),
            *(spell_all(part.fasteners), "; ".join(step.tools)),
            "; ".join(torque_lines(step.torques, unit)),
            *("; ".join(step.grease), _renewed(step.renew)),
            *("; ".join(why.words for why in held.get(part.code, ())), part.note),
            *(part.twin, "; ".join(step.stack)),
        )


def assembly_stretches(
    request: ReportRequest, steps: Sequence[Step]
) -> Iterator[tuple[str, list[Step]]]:
    """The steps in stretches that stay in one assembly; reports each as it is reached."""
    for assembly, stretch in groupby(steps, key=lambda step: step.part.assembly):
        together = list(stretch)
        yield assembly, together
        request.progress(together[-1].number, len(steps))


def cautions_of(steps: Iterable[Step]) -> list[Caution]:
    """The cautions that go with fitting and torquing these parts, each once."""
    parts = [step.part for step in steps]
    found = [*cautions_for_all(parts, "fit"), *cautions_for_all(parts, "torque")]
    return list({caution.id: caution for caution in found}.values())


def _renewed(lines: Iterable[FastenerLine]) -> str:
    items = ((line.fastener.quantity, item) for line in lines for item in renewed_items(line))
    return "; ".join(f"{quantity} {item}" for quantity, item in items)


def _codes(parts: Iterable[Part]) -> str:
    return "; ".join(part.code for part in parts)


def sheet(request: ReportRequest) -> Sheet:
    """The sheet on paper, with the symbol of each part."""
    return sheet_of(request, "Build sheet", steps_of(request))


def sheet_of(request: ReportRequest, title: str, steps: Sequence[Step]) -> Sheet:
    """What to lay out for some steps, and the steps."""
    about = f"{day(request.printed)}, {plural(len(steps), 'step')}"
    blocks = _blocks(request, steps, reasons_of(request))
    return Sheet(f"{title} — {request.machine_words}", about, blocks)


def _blocks(
    request: ReportRequest, steps: Sequence[Step], held: Mapping[str, tuple[Reason, ...]]
) -> Iterator[Block]:
    if not steps:
        yield Line("Every part is on the machine.")
        return
    laid, unit = bench_layout(request.tables, steps), request.machine.units.torque
    yield Heading("Lay out first")
    for label, items in (
        ("bags", laid.bins),
        ("tools", laid.tools),
        ("torques", list(torque_lines(laid.torques, unit))),
        ("grease", laid.grease),
        ("new", [one.words for one in laid.single_use]),
    ):
        if items:
            yield FactBlock(label, tuple(items), tick=True)
    yield Care((*(caution.line for caution in cautions_of(steps)), DEFER_WHOLE))
    for assembly, stretch in assembly_stretches(request, steps):
        yield Heading(assembly or NO_ASSEMBLY.capitalize())
        for step in stretch:
            reasons = "; ".join(why.words for why in held.get(step.part.code, ()))
            yield Entry(
                counted(step.part), step.part.code, str(step.number), tick=True,
                facts=tuple(step_facts(step, unit)), held=reasons,
                pictures=request.shown(step.part),
            )  # fmt: skip


def step_facts(step: Step, unit: str) -> list[FactBlock]:
    """What is said of one step, label by label."""
    part = step.part
    piece = (step.new.fit, step.new.old) if step.new else ()
    given = "      given ____________"
    return facts(
        (
            ("piece" if step.new else "kept in", piece or step.kept_in),
            ("goes to", came_from(part)),
            ("sits how", part.sits_how),
            ("under", [f"{named(one)}: take it off first" for one in step.under]),
            ("goes on after", ", ".join(map(named, step.after))),
            ("with", list(map(spelled, part.fasteners))),
            ("holes", holes_in_words(part)),
            ("twin", step.beside),
            ("stack", step.stack),
            ("tools", "; ".join(step.tools)),
            ("torque", [f"{line}{given}" for line in torque_lines(step.torques, unit)]),
            ("grease", ", ".join(step.grease)),
            ("renew", [one.words for one in step.supplies]),
            ("note", part.note),
        ),
        tick=("with", "stack", "torque", "renew"),
    )
