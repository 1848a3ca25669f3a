"""The lists of Build, worked out once for a state of the book, and what they say of a part."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date

from tagbench.records import Part, Tables
from tagbench.reports.build_text import torque_lines
from tagbench.rules.describe.fact import part_name
from tagbench.rules.describe.part import still_open
from tagbench.rules.describe.phrases import NO_ASSEMBLY, came_from, titled
from tagbench.rules.open_questions import spelled
from tagbench.rules.rebuild.held_up import Reason, ReasonKind
from tagbench.rules.rebuild.new_piece import kept_lines
from tagbench.rules.rebuild.overview import Build, build_overview, tonight_with
from tagbench.rules.rebuild.steps import Step, step_for
from tagbench.screens.widgets.facts import Labelled
from tagbench.screens.widgets.views import View

READY, TONIGHT, HELD_UP, ON, ORDER = "Ready", "Tonight", "Held up", "On", "Order"
SAYS = {
    READY: "Nothing stands in the way: these can go on now.",
    TONIGHT: "With what is here these can go on tonight, one after the other.",
    HELD_UP: "These wait; every reason is beneath. Enter shows what fitting would cost.",
    ON: "On the machine. What is still open about one stands beneath.",
    ORDER: "The whole rebuild in order, deepest first.",
}
"""List → what it is, in a sentence."""
_SHORT: dict[ReasonKind, str] = {
    "dirty": "dirty",
    "soaking": "soaking",
    "undecided": "undecided",
    "replacement": "no replacement",
    "short": "short of fasteners",
    "want": "waits",
    "loop": "loop",
}


@dataclass(frozen=True, eq=False)
class Lists:
    """Every list of one machine, as codes; a snapshot of the book."""

    now: Build
    """Where the rebuild stands."""
    reasons: dict[str, tuple[Reason, ...]]
    """Code → why the part is held up."""
    codes: dict[str, list[str]]
    """List → its codes in rebuild order."""
    problems: list[str]
    """What is wrong with the links, in sentences."""
    places: dict[str, dict[str, int]] = field(default_factory=dict)
    """List → code → its place in the list, counted from 1; made when first asked for."""

    def part(self, code: str) -> Part:
        """The part as it was when the lists were made."""
        return self.now.links.part(code)

    @property
    def views(self) -> list[View]:
        """The lists with their counts."""
        return [View(name, len(codes)) for name, codes in self.codes.items()]

    def says(self, view: str) -> str:
        """What a list is; and the first thing that is wrong with the links."""
        more = f" (and {len(self.problems) - 1} more)" if len(self.problems) > 1 else ""
        return SAYS[view] + "".join(f"\n✗ {words}{more}" for words in self.problems[:1])

    def place(self, view: str, code: str) -> int:
        """Place of a code in a list, counted from 1."""
        if view not in self.places:
            self.places[view] = {one: at for at, one in enumerate(self.codes[view], 1)}
        return self.places[view][code]

    def assembly(self, code: str) -> str:
        """The assembly of a part, as a heading."""
        return self.part(code).assembly or NO_ASSEMBLY.capitalize()


def lists_of(tables: Tables, mark: str, today: date) -> Lists:
    """Works the lists out in one pass over parts and links."""
    now = build_overview(tables, mark, today)
    codes = {
        READY: now.ready,
        TONIGHT: tonight_with(tables, now.links),
        HELD_UP: [one.code for one in now.held_up],
        ON: [*now.snug, *now.fitted],
        ORDER: now.order,
    }
    reasons = {one.code: one.reasons for one in now.held_up}
    return Lists(now, reasons, codes, now.problems)


def short_reasons(reasons: Iterable[Reason]) -> str:
    """Every reason in a word or two: `after TP-063-W +1, dirty, undecided`."""
    return ", ".join(dict.fromkeys(map(_short, reasons)))


def _short(reason: Reason) -> str:
    if reason.kind not in ("deeper", "buried"):
        return _SHORT[reason.kind]
    first, *others = reason.codes
    words = "after" if reason.kind == "deeper" else "shuts in"
    return f"{words} {first}" + (f" +{len(others)}" if others else "")


def on_words(tables: Tables, part: Part) -> str:
    """Whether the part is done, and how many things are open about it."""
    left = len(still_open(tables, part))
    return part.fitted + (f", {left} open" if left else "")


def heading(part: Part) -> str:
    """`2 × Rear wheel, right   TP-058-Q`."""
    return f"{titled(part)}   {part.code}"


def facts_before_fitting(tables: Tables, lists: Lists, code: str, unit: str) -> Iterator[Labelled]:
    """What is to be known about a part before it goes on, most pressing first."""
    links, part = lists.now.links, lists.part(code)
    step = step_for(tables, links, code)
    yield Labelled("held up", [reason.words for reason in lists.reasons.get(code, ())], "strong")
    if part.fitted != "off":
        open_lines = [fact.words for fact in still_open(tables, part)]
        yield Labelled("still open", open_lines or ["nothing"], "strong")
    yield Labelled("kept", kept_lines(tables, part) if part.fitted == "off" else [])
    yield Labelled("goes to", [came_from(part)])
    yield Labelled("sits how", [part.sits_how])
    yield from step_facts(step, unit)


def step_facts(step: Step, unit: str) -> Iterator[Labelled]:
    """What goes with a step: what it goes on after, fasteners, tools, torques, supplies."""
    yield Labelled("goes on after", [part_name(one).boxed for one in step.after])
    yield Labelled("with", list(map(spelled, step.part.fasteners)))
    yield Labelled("tools", step.tools)
    yield Labelled("torque", list(torque_lines(step.torques, unit)))
    yield Labelled("grease", step.grease)
    yield Labelled("new", [one.words for one in step.supplies])
    yield Labelled("note", [step.part.note])
