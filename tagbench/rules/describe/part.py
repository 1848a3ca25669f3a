"""What is said about a part: where it came from, where it is, what holds it on, how far it is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple

from tagbench.records import Machine, Part, PartNumber, Tables
from tagbench.rules.care.finish import dry_fit_words
from tagbench.rules.count.fastener_lines import lines_of
from tagbench.rules.describe.care import (
    ReadingFacts,
    care_step_facts,
    describe_reading,
    soak_fact,
    verdict_fact,
)
from tagbench.rules.describe.fact import Fact, PartName, part_name
from tagbench.rules.describe.fasteners import LineFacts, describe_line
from tagbench.rules.describe.finish import finish_fact
from tagbench.rules.describe.phrases import (
    NO_ASSEMBLY,
    came_from,
    counted,
    day,
    plural,
    titled,
)
from tagbench.rules.describe.where import where_fact
from tagbench.rules.kept_together import together_words
from tagbench.rules.twins import twin_of
from tagbench.rules.whereabouts import errand_words

if TYPE_CHECKING:
    from tagbench.rules.rebuild.held_up import Reason

PLACED = frozenset(
    [
        *("came from", "came off", "where", "fasteners", "holes", "sits how", "twin", "stack"),
        *("kept together", "pin", "runs", "came off first", "goes on after", "care", "soak"),
        *("finish", "verdict", "old piece", "fitted anyway", "was", "reading", "photos", "note"),
    ]
)
"""Labels of the facts that the part screen and the phone page have a place of their own for."""


class PartFacts(NamedTuple):
    """Everything about one part."""

    code: str
    """Its code."""
    name: str
    """What it is, with how many when there are several: `2 × Rear wheel`."""
    title: str
    """The name with its side: `2 × Rear wheel, right`."""
    came_from: Fact
    """`Front wheel / Brake, left`, or `no assembly`."""
    came_off: Fact
    """`no. 12 to come off, 3 Nov 2025`."""
    where: Fact
    """`in bag 3, in box 2, on shelf A`, or `on the machine, snug, 3 Nov 2025`."""
    fasteners: tuple[LineFacts, ...]
    """What holds it on, line by line."""
    holes: Fact
    """Which screw in which hole: `12 o'clock: M6x1x45; all other holes: 3 × M6x1x25`."""
    sits_how: Fact
    """Orientation and witness marks."""
    twin: PartName | None
    """The same thing on the other side."""
    stack: Fact
    """Shims, washers, plates in their order, and what they measure together."""
    together: Fact
    """`in one piece: bowl with 4x M4x0.7x12 pan, float`, for a sub-assembly."""
    pins: tuple[Fact, ...]
    """Pins of a connector; one that is not as drawn is wrong."""
    routing: Fact
    """How a cable runs."""
    came_off_first: tuple[PartName, ...]
    """What had to come off before it, and so goes on after it."""
    goes_on_after: tuple[PartName, ...]
    """What came off behind it, and so must be on before it."""
    care: tuple[Fact, ...]
    """The steps of care, done or open."""
    soak: Fact
    """How long it soaks, and in what."""
    finish: tuple[Fact, ...]
    """Each coat or surface, done or to do, and the last dry fit."""
    verdict: Fact
    """Reuse or replace, and whether the new one is here."""
    gasket: Fact
    """What it is cut from by hand, and whether a template of it is kept."""
    old_piece: Fact
    """Where the replaced piece is: `still about`, `thrown out`, …"""
    overruled: tuple[Fact, ...]
    """Each refusal that was overruled to fit it: what stands of it, when and why."""
    errands: tuple[Fact, ...]
    """Its times with someone else: `with Hill Plating for zinc plating, sent …, back …`."""
    readings: tuple[ReadingFacts, ...]
    """Measurements, taken or to take."""
    part_numbers: tuple[Fact, ...]
    """Each number and what became of it."""
    photos: Fact
    """How many pictures: `2 photos`."""
    note: Fact
    """Anything else."""

    def facts(self) -> Iterator[Fact]:
        """Every fact that says something, in the order in which a person asks for them."""
        every: Iterable[Fact] = (
            self.came_from,
            self.came_off,
            self.where,
            *(line.what._replace(words=line.words) for line in self.fasteners),
            self.holes,
            self.sits_how,
            Fact("twin", self.twin.words if self.twin else ""),
            self.stack,
            self.together,
            *self.pins,
            self.routing,
            Fact("came off first", ", ".join(one.words for one in self.came_off_first)),
            Fact("goes on after", ", ".join(one.words for one in self.goes_on_after)),
            *self.care,
            self.soak,
            *self.finish,
            self.verdict,
            self.gasket,
            self.old_piece,
            *self.overruled,
            *self.errands,
            *(reading.fact for reading in self.readings),
            *self.part_numbers,
            self.photos,
            self.note,
        )
        return (fact for fact in every if fact.words)

    @property
    def others(self) -> dict[str, list[str]]:
        """Label → words of the facts that are not `PLACED`, for pages that lay out the rest."""
        found: dict[str, list[str]] = {}
        for fact in self.facts():
            if fact.label not in PLACED:
                found.setdefault(fact.label, []).append(fact.words)
        return found


def describe_part(
    tables: Tables, part: Part, now: datetime, goes_on_after: Iterable[Part] | None = None
) -> PartFacts:
    """Everything about one part.

    `goes_on_after`: the parts that came off behind it, where they are known already; otherwise all
    parts of the book are asked, once.
    """
    if goes_on_after is None:
        goes_on_after = (one for one in tables.parts.values() if part.code in one.behind)
    first = (tables.parts[code] for code in part.behind if code in tables.parts)
    machine = machine_of(part, tables)
    twin = twin_of(tables, part)
    return PartFacts(
        code=part.code,
        name=counted(part),
        title=titled(part),
        came_from=Fact("came from", came_from(part) or NO_ASSEMBLY),
        came_off=Fact("came off", came_off_words(part), figures=(part.order,)),
        where=where_fact(tables, part),
        fasteners=tuple(describe_line(line, machine) for line in lines_of([part])),
        holes=Fact("holes", _hole_words(part)),
        sits_how=Fact("sits how", part.sits_how),
        twin=part_name(twin) if twin else None,
        stack=Fact("stack", _stack_words(part)),
        together=Fact("kept together", together_words(part)),
        pins=_pin_facts(part),
        routing=Fact("runs", part.wiring.routing if part.wiring else ""),
        came_off_first=tuple(map(part_name, first)),
        goes_on_after=tuple(map(part_name, goes_on_after)),
        care=care_step_facts(part),
        soak=soak_fact(part, now),
        finish=_finish_facts(part),
        verdict=verdict_fact(part),
        gasket=Fact("gasket", _gasket_words(part)),
        old_piece=_old_piece_fact(part),
        overruled=_overruled_facts(tables, part, now),
        errands=tuple(Fact("was", errand_words(one)) for one in part.errands),
        readings=tuple(describe_reading(part, reading) for reading in part.readings),
        part_numbers=tuple(map(number_fact, part.part_numbers)),
        photos=Fact("photos", photo_words(part), figures=(len(part.photos),)),
        note=Fact("note", part.note),
    )


# What few parts have is read in when a part has it.


def _hole_words(part: Part) -> str:
    if len(part.fasteners) < 2 or not any(line.place for line in part.fasteners):
        return ""
    from tagbench.rules.bolt_card import holes_in_words

    return "; ".join(holes_in_words(part))


def _stack_words(part: Part) -> str:
    if part.stack is None:
        return ""
    from tagbench.rules.stacks import stack_words

    return stack_words(part.stack)


def _gasket_words(part: Part) -> str:
    if part.make is None:
        return ""
    from tagbench.rules.buying.gaskets import made_words

    return made_words(part.make)


def _pin_facts(part: Part) -> tuple[Fact, ...]:
    if part.wiring is None:
        return ()
    from tagbench.rules.describe.wiring import pin_facts

    return pin_facts(part.wiring)


def machine_of(part: Part, tables: Tables) -> Machine:
    """The machine of a part; one with the usual units where its record is gone."""
    return tables.machines.get(part.machine) or Machine(mark=part.machine, name=part.machine)


def came_off_words(part: Part) -> str:
    """Its place in the removal order, and the day: `no. 12 to come off, 3 Nov 2025`."""
    return f"no. {part.order} to come off" + (f", {day(part.removed)}" if part.removed else "")


OLD_PIECE_WORDS = {
    "": "",
    "kept": "still about",
    "gone": "thrown out",
    "pattern": "kept as a pattern",
    "exchanged": "given back in exchange",
}
"""`Part.old_piece` → how it is said."""


def _overruled_facts(tables: Tables, part: Part, now: datetime) -> tuple[Fact, ...]:
    if not part.overrides:
        return ()
    from tagbench.rules.rebuild.overrides import told_overrides

    return tuple(Fact("fitted anyway", words) for words in told_overrides(tables, part, now.date()))


def _old_piece_fact(part: Part) -> Fact:
    """Where the old piece is; of one that is lost the place itself says so."""
    old_one_lost = part.lost is not None and not part.lost.new_one
    return Fact("old piece", "lost" if old_one_lost else OLD_PIECE_WORDS[part.old_piece])


def _finish_facts(part: Part) -> tuple[Fact, ...]:
    dry = dry_fit_words(part)
    trial = (Fact("finish", dry),) if dry else ()
    return (*map(finish_fact, part.finishes), *trial)


def number_fact(number: PartNumber) -> Fact:
    """`4711, superseded, now 4712`; `4713, substitute: wider by 1 mm`."""
    status = "" if number.status == "original" else f", {number.status}"
    by = f", now {number.superseded_by}" if number.superseded_by else ""
    differs = f": {number.differs}" if number.differs else ""
    return Fact("part number", f"{number.number}{status}{by}{differs}")


def photo_words(part: Part) -> str:
    """`2 photos`; empty without any."""
    return plural(len(part.photos), "photo") if part.photos else ""


def describe_rebuild(tables: Tables, part: Part, reasons: Sequence[Reason]) -> list[Fact]:
    """Whether a part can go on: one fact for each reason it is held up, or that it is ready.

    On the machine: what is still open about it, or that nothing is.
    """
    if part.fitted == "off":
        held = [Fact("held up", reason.words, "wrong") for reason in reasons]
        return held or [Fact("now", "ready to go on", "open")]
    return still_open(tables, part) or [Fact("now", f"{part.fitted}, nothing open", "done")]


def still_open(tables: Tables, part: Part) -> list[Fact]:
    """What is still open about the fasteners of a part that is on the machine."""
    machine = machine_of(part, tables)
    return [
        Fact("still open", _open_words(remark, told, line.named), remark.state)
        for line in lines_of([part])
        for told in (describe_line(line, machine),)
        for remark in told.remarks
        if remark.state in ("open", "wrong")
    ]


def _open_words(remark: Fact, told: LineFacts, fastener: str) -> str:
    """An open torque is said with its figures, since that is the next thing to know."""
    if remark.label == "renewed":
        return remark.words  # they name what is renewed, which may be the locking alone
    figures = f", {told.torque.words}" if remark.label == "torqued" else ""
    return f"{fastener}: {remark.words}{figures}"


def linked_parts(facts: PartFacts) -> list[tuple[str, PartName]]:
    """The linked parts with how they are linked, for a list of links."""
    first = [("came off first", one) for one in facts.came_off_first]
    first += [("twin", facts.twin)] if facts.twin else []
    return [*first, *(("goes on after", one) for one in facts.goes_on_after)]
