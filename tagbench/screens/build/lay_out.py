"""What to lay out before starting: for the next steps, or for those that are planned."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from textual.app import ComposeResult

from tagbench.records import Machine, Tables
from tagbench.reports.build_text import torque_lines
from tagbench.rules.rebuild.burying import burying
from tagbench.rules.rebuild.held_up import obstacles
from tagbench.rules.rebuild.links import Links, links_of
from tagbench.rules.rebuild.steps import LayOut, Step, bench_layout, step_for
from tagbench.screens.build.fit_facts import burial_shortly
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.facts import CardPage, Facts, Labelled


class LayOutDialog(TagbenchDialog[None]):
    """Bags, tools, torques, grease and new items for some steps; then the steps.

    Steps that are `planned` by hand may be held up or shut something in: that is said beforehand.
    """

    CSS_PATH = stylesheets("card", "rebuild")
    AUTO_FOCUS = "#lay-out"
    actions = (Action("down", "", "More", "Goes down the page; so does PgDn."),)

    def __init__(self, machine: Machine, codes: Sequence[str], heading: str) -> None:
        super().__init__()
        self.heading = heading
        self._machine = machine
        self._codes = codes

    def body(self) -> ComposeResult:
        with CardPage(around=9, id="lay-out"):
            yield Facts()

    def on_mount(self) -> None:
        links = links_of(self.tables, self._machine.mark)
        codes = [code for code in self._codes if code in links.place]
        steps = [step_for(self.tables, links, code, at) for at, code in enumerate(codes, 1)]
        laid = bench_layout(self.tables, steps)
        facts = [*lay_out_facts(laid, self._machine.units.torque), Labelled("", [" "])]
        facts += plan_facts(self.tables, links, steps, self.book.now().date())
        none = Labelled("", ["Nothing can go on with what is here; the list Held up says why."])
        self.query_one(Facts).show(facts if steps else [none])


def lay_out_facts(laid: LayOut, unit: str) -> Iterator[Labelled]:
    """What to have on the bench, a line a thing."""
    yield Labelled("bags", [words[:1].upper() + words[1:] for words in laid.bins])
    yield Labelled("tools", laid.tools)
    yield Labelled("torques", list(torque_lines(laid.torques, unit)))
    yield Labelled("grease", laid.grease)
    yield Labelled("new", [one.words for one in laid.single_use])


def plan_facts(
    tables: Tables, links: Links, steps: Sequence[Step], today: date | None = None
) -> Iterator[Labelled]:
    """The steps, each with what stands in its way once those before it are on."""
    in_the_way = obstacles(tables, links, today)
    for at, step in enumerate(steps):
        code = step.part.code
        number = f"step {step.number}"
        yield Labelled(number, [f"{step.part.said} {code}   {step.part.assembly}"], "strong")
        before = [one.part.code for one in steps[:at]]
        burial = burying(tables, links, code, before) if step.part.fitted == "off" else None
        if burial:
            yield from burial_shortly(links, burial)
        lacking = in_the_way.lacking(links.at(code)) if step.part.fitted == "off" else []
        yield Labelled("✗ held up", [reason.words for reason in lacking], "wrong")
        yield Labelled("", [step.new.fit, step.new.old] if step.new else [], "strong")
        yield Labelled("buy first", [one.words for one in step.supplies if one.to_buy], "wrong")
