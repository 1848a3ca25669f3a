"""What the fit card says about a part, most pressing first."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from tagbench.records import Part, Tables, replace
from tagbench.reports.build_text import STATE_MARKS
from tagbench.reports.fit_text import STATES, open_about, undone_lines
from tagbench.rules.bins import kept_in_words
from tagbench.rules.count.fastener_lines import in_bag, lost
from tagbench.rules.rebuild.burying import IF_ON, Burial
from tagbench.rules.rebuild.guide import FitGuide, LineGuide
from tagbench.rules.rebuild.links import Links
from tagbench.screens.widgets.facts import Fact
from tagbench.trade.fasteners.spelling import spell
from tagbench.trade.torque.passes import torqued_words

IN_THE_WAY = ("deeper", "buried")
"""Reasons that are told as a burial, with the names and the cost."""
NAMED = 8
"""So many parts are named where there is little room."""


def fit_facts(
    tables: Tables, links: Links, guide: FitGuide, renewed: Collection[int]
) -> Iterator[Fact]:
    """The facts of the card; `renewed` are the lines whose new items lie ready."""
    part = guide.step.part
    yield from stand_facts(links, guide)
    if guide.step.new and part.fitted == "off":
        yield Fact("", [guide.step.new.fit], "strong")
    yield Fact("sits how", [part.sits_how], "strong")
    yield Fact("goes after", [state_words(one) for one in guide.step.after])
    yield Fact("under", [f"{one.name} {one.code}: take it off first" for one in guide.step.under])
    for at, line in enumerate(guide.lines):
        yield from line_facts(line, "fasteners" if at == 0 else "", line.line.number in renewed)
    yield Fact("tools", guide.step.tools)
    yield Fact("grease", guide.step.grease)
    in_its_bag = part.fitted == "off" or any(map(in_bag, part.fasteners))
    new = guide.step.new
    if new is None:
        yield Fact("kept", [kept_in_words(part.bin, tables.bins)] if in_its_bag else [])
    else:
        yield Fact("old one", [new.old])
    yield Fact("note", [part.note])


def state_words(part: Part) -> str:
    """`[x] Backing plate TP-016-9`."""
    return f"{STATE_MARKS[part.fitted]} {part.name} {part.code}"


def stand_facts(links: Links, guide: FitGuide) -> Iterator[Fact]:
    """Whether it can go on: ready, too early, held up; or what is open about it on the machine."""
    part = guide.step.part
    if part.fitted != "off":
        still_open = list(open_about(part))
        yield Fact("now", [STATES[part.fitted] if still_open else f"{part.fitted}, nothing open"])
        yield Fact("still open", still_open, "strong")
        return
    if guide.burial:
        yield from burial_shortly(links, guide.burial)
    lacking = [reason.words for reason in guide.reasons if reason.kind not in IN_THE_WAY]
    yield Fact("✗ held up", lacking, "wrong")
    if not guide.reasons:
        yield Fact("now", ["ready: nothing stands in the way"], "strong")


def burial_shortly(links: Links, burial: Burial) -> Iterator[Fact]:
    """What would be shut in and what it would cost, in a few lines; the stop card has it all."""
    shut_in, again = some_of(links, burial.shut_in), some_of(links, burial.again)
    yield Fact("✗ too early", [f"It would shut in {shut_in}.", "Fit these first."], "wrong")
    if again:
        yield Fact("", [f"{IF_ON}, these would have to come off again: {again}."], "wrong")


def some_of(links: Links, codes: Sequence[str]) -> str:
    """`Clutch hub, Inner cover and 7 others`: the names of the first few parts."""
    named = ", ".join(links.part(code).name for code in codes[:NAMED])
    left = len(codes) - NAMED
    return f"{named} and {left} other{'s' * (left > 1)}" if left > 0 else named


def burial_facts(links: Links, burial: Burial) -> Iterator[Fact]:
    """The names of what would be shut in, and the cost of putting that right.

    The cost goes before a long list of names, which would push it out of sight.
    """
    names = [
        Fact(
            "✗ too early",
            [f"It would shut in {_counted(burial.shut_in)}. Fit these first:"],
            "wrong",
        ),
        Fact("", [named(links, code) for code in burial.shut_in], "strong"),
    ]
    again = "these would have to come off again:" if burial.again else "it would have to come off."
    cost = [
        Fact("to undo", [f"{IF_ON}, {again}"]),
        Fact("", [named(links, code) for code in burial.again], "strong"),
        Fact("", [line.strip() for line in undone_lines(burial.cost)]),
    ]
    yield from [*cost, *names] if len(burial.shut_in) > NAMED else [*names, *cost]


def _counted(codes: Sequence[str]) -> str:
    return f"{len(codes)} part{'s' * (len(codes) != 1)}"


def named(links: Links, code: str) -> str:
    """`  Backing plate TP-016-9`."""
    return f"  {links.part(code).name} {code}"


def line_facts(guide: LineGuide, label: str, renewed: bool) -> Iterator[Fact]:
    """One line of fasteners: how many of which, where; its torque; how to go about it."""
    fastener = guide.line.fastener
    bare = replace(fastener, torque=None, place="", quantity=1)
    yield Fact(label, [f"{guide.line.number}: {fastener.quantity} × {spell(bare)}"], "strong")
    yield Fact("", [f"   place: {fastener.place}"] if fastener.place else [])
    yield Fact("", [f"   ✗ {lost(fastener)} missing"] if fastener.short else [], "wrong")
    yield Fact("", [f"   torque {guide.torque}"] if guide.torque else [], "strong")
    told = [f"wrench: {guide.wrench}" if guide.wrench else "", *guide.steps]
    if renewed and not fastener.renewed:
        told.append("The new one lies ready.")
    yield Fact("", [f"   {words}" for words in told if words])
    yield Fact("", [f"   {words}" for words in done_words(guide)])


def done_words(guide: LineGuide) -> Iterator[str]:
    """What has been done to the line on the machine."""
    fastener = guide.line.fastener
    if guide.line.part.fitted == "off":
        return
    if fastener.torqued is not None:
        yield torqued_words(fastener)
    if fastener.renewed:
        yield "renewed"
    yield f"{fastener.back} of {fastener.quantity} back"
