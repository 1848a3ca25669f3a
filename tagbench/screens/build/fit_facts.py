"""What the fit card says about a part, most pressing first."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from tagbench.records import Tables, replace
from tagbench.reports.fit_text import undone_lines
from tagbench.rules.bins import kept_in_words
from tagbench.rules.bolt_card import holes_in_words
from tagbench.rules.count.fastener_lines import count_lost, in_bag
from tagbench.rules.describe.fact import part_name
from tagbench.rules.describe.fasteners import place_label
from tagbench.rules.describe.part import still_open
from tagbench.rules.describe.phrases import first_few, named, plural
from tagbench.rules.rebuild.burying import IF_ON, Burial
from tagbench.rules.rebuild.guide import FitGuide, LineGuide
from tagbench.rules.rebuild.links import Links
from tagbench.screens.widgets.facts import Labelled
from tagbench.trade.fasteners.spelling import spell
from tagbench.trade.torque.passes import torqued_words

IN_THE_WAY = ("deeper", "buried")
"""Reasons that are told as a burial, with the names and the cost."""
NAMED = 8
"""So many parts are named where there is little room."""


def fit_facts(
    tables: Tables, links: Links, guide: FitGuide, renewed: Collection[int]
) -> Iterator[Labelled]:
    """The facts of the card; `renewed` are the lines whose new items lie ready."""
    part = guide.step.part
    yield from stand_facts(tables, links, guide)
    if guide.step.new and part.fitted == "off":
        yield Labelled("", [guide.step.new.fit], "strong")
    yield Labelled("sits how", [part.sits_how], "strong")
    yield Labelled("goes on after", [part_name(one).boxed for one in guide.step.after])
    yield Labelled("under", [f"{named(one)}: take it off first" for one in guide.step.under])
    for at, line in enumerate(guide.lines):
        yield from line_facts(line, "fasteners" if at == 0 else "", line.line.number in renewed)
    yield Labelled("holes", holes_in_words(part), "strong")
    yield Labelled("twin", guide.step.beside, "strong")
    yield Labelled("stack", guide.step.stack, "strong")
    yield Labelled("tools", guide.step.tools)
    yield Labelled("grease", guide.step.grease)
    in_its_bag = part.fitted == "off" or any(map(in_bag, part.fasteners))
    new = guide.step.new
    if new is None:
        yield Labelled("kept", [kept_in_words(part.bin, tables.bins)] if in_its_bag else [])
    else:
        yield Labelled("old one", [new.old])
    yield Labelled("note", [part.note])


def stand_facts(tables: Tables, links: Links, guide: FitGuide) -> Iterator[Labelled]:
    """Whether it can go on: ready, too early, held up; or what is open about it on the machine."""
    part = guide.step.part
    if part.fitted != "off":
        left = [fact.words for fact in still_open(tables, part)]
        yield Labelled("now", [part.fitted if left else f"{part.fitted}, nothing open"])
        yield Labelled("still open", left, "strong")
        return
    if guide.burial:
        yield from burial_shortly(links, guide.burial)
    lacking = [reason.words for reason in guide.reasons if reason.kind not in IN_THE_WAY]
    yield Labelled("✗ held up", lacking, "wrong")
    if not guide.reasons:
        yield Labelled("now", ["ready: nothing stands in the way"], "strong")


def burial_shortly(links: Links, burial: Burial) -> Iterator[Labelled]:
    """What would be shut in and what it would cost, in a few lines; the stop card has it all."""
    shut_in, again = some_of(links, burial.shut_in), some_of(links, burial.again)
    yield Labelled("✗ too early", [f"It would shut in {shut_in}.", "Fit these first."], "wrong")
    if again:
        yield Labelled("", [f"{IF_ON}, these would have to come off again: {again}."], "wrong")


def some_of(links: Links, codes: Sequence[str]) -> str:
    """`Clutch hub, Inner cover and 7 more`: the names of the first few parts."""
    return first_few([links.part(code).said for code in codes], NAMED)


def burial_facts(links: Links, burial: Burial) -> Iterator[Labelled]:
    """The names of what would be shut in, and the cost of putting that right.

    The cost goes before a long list of names, which would push it out of sight.
    """
    names = [
        Labelled(
            "✗ too early",
            [f"It would shut in {plural(len(burial.shut_in), 'part')}. Fit these first:"],
            "wrong",
        ),
        Labelled("", [f"  {named(links.part(code))}" for code in burial.shut_in], "strong"),
    ]
    again = "these would have to come off again:" if burial.again else "it would have to come off."
    cost = [
        Labelled("to undo", [f"{IF_ON}, {again}"]),
        Labelled("", [f"  {named(links.part(code))}" for code in burial.again], "strong"),
        Labelled("", [line.strip() for line in undone_lines(burial.cost)]),
    ]
    yield from [*cost, *names] if len(burial.shut_in) > NAMED else [*names, *cost]


def line_facts(guide: LineGuide, label: str, renewed: bool) -> Iterator[Labelled]:
    """One line of fasteners: how many of which, where; its torque; how to go about it."""
    fastener = guide.line.fastener
    bare = replace(fastener, torque=None, place="", quantity=1)
    yield Labelled(label, [f"{guide.line.number}: {fastener.quantity} × {spell(bare)}"], "strong")
    where = f"   {place_label(fastener.place)}: {fastener.place}" if fastener.place else ""
    yield Labelled("", [where] if where else [])
    yield Labelled("", [f"   ✗ {count_lost(fastener)} missing"] if fastener.short else [], "wrong")
    yield Labelled("", [f"   torque {guide.torque}"] if guide.torque else [], "strong")
    told = [f"wrench: {guide.wrench}" if guide.wrench else "", *guide.steps]
    if renewed and not fastener.renewed:
        told.append("The new one lies ready.")
    yield Labelled("", [f"   {words}" for words in told if words])
    yield Labelled("", [f"   {words}" for words in done_words(guide)])


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
