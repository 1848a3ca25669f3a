"""What the build screen says about a part: in a word beside it, in full beneath."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tagbench.records import Part, Tables
from tagbench.reports.build_text import STATE_MARKS, place_words, torque_lines
from tagbench.reports.fit_text import open_about
from tagbench.rules.rebuild.held_up import Kind, Reason
from tagbench.rules.rebuild.new_piece import kept_lines
from tagbench.rules.rebuild.steps import Step, step_for
from tagbench.screens.build.lists import Lists
from tagbench.screens.widgets.facts import Fact
from tagbench.trade.fasteners.spelling import spell

_SHORT: dict[Kind, str] = {
    "dirty": "dirty",
    "soaking": "soaking",
    "undecided": "undecided",
    "replacement": "no replacement",
    "short": "short of fasteners",
    "want": "waits",
    "loop": "loop",
}


def short_reasons(reasons: Iterable[Reason]) -> str:
    """Every reason in a word or two: `after TP-063-W +1, dirty, undecided`."""
    return ", ".join(dict.fromkeys(map(_short, reasons)))


def _short(reason: Reason) -> str:
    if reason.kind not in ("deeper", "buried"):
        return _SHORT[reason.kind]
    first, *others = reason.codes
    words = "after" if reason.kind == "deeper" else "shuts in"
    return f"{words} {first}" + (f" +{len(others)}" if others else "")


def on_words(part: Part) -> str:
    """Whether the part is done, and how many things are open about it."""
    left = len(list(open_about(part)))
    return part.fitted + (f", {left} open" if left else "")


def name_words(part: Part) -> str:
    """`2 × Rear wheel, right`."""
    count = f"{part.quantity} × " if part.quantity > 1 else ""
    side = f", {part.position}" if part.position else ""
    return f"{count}{part.name}{side}"


def heading(part: Part) -> str:
    """`2 × Rear wheel, right   TP-058-Q`."""
    return f"{name_words(part)}   {part.code}"


def facts(tables: Tables, lists: Lists, code: str, unit: str) -> Iterator[Fact]:
    """What is to be known about a part before it goes on, most pressing first."""
    links, part = lists.now.links, lists.part(code)
    step = step_for(tables, links, code)
    yield Fact("held up", [reason.words for reason in lists.reasons.get(code, ())], "strong")
    if part.fitted != "off":
        yield Fact("still open", list(open_about(part)) or ["nothing"], "strong")
    yield Fact("kept", kept_lines(tables, part) if part.fitted == "off" else [])
    yield Fact("goes to", [place_words(part)])
    yield Fact("sits how", [part.sits_how])
    yield from step_facts(step, unit)


def step_facts(step: Step, unit: str) -> Iterator[Fact]:
    """What goes with a step: what it goes on after, fasteners, tools, torques, supplies."""
    yield Fact("goes after", [state_words(one) for one in step.after])
    yield Fact("with", list(map(spell, step.part.fasteners)))
    yield Fact("tools", step.tools)
    yield Fact("torque", list(torque_lines(step.torques, unit)))
    yield Fact("grease", step.grease)
    yield Fact("new", [one.words for one in step.supplies])
    yield Fact("note", [step.part.note])


def state_words(part: Part) -> str:
    """`[x] Backing plate TP-016-9`."""
    return f"{STATE_MARKS[part.fitted]} {part.name} {part.code}"
