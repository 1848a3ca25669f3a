"""Random books that hold every kind of fact, and the words that every front end must say."""

from __future__ import annotations

import html
import random
import re
from collections.abc import Iterable, Iterator
from datetime import UTC, date, datetime, timedelta
from typing import Any, get_args

from tagbench.records import (
    CARE_STEPS,
    Bin,
    CareStep,
    Errand,
    Fastener,
    Finish,
    Gasket,
    Lost,
    Machine,
    Part,
    PartNumber,
    Photo,
    Reading,
    Setting,
    Soak,
    Tables,
    Torque,
    Units,
    Want,
    Wiring,
    replace,
)
from tagbench.records.machine import TorqueUnit
from tagbench.rules.describe.bin import BinFacts
from tagbench.rules.describe.count import CountFacts
from tagbench.rules.describe.part import PartFacts
from tagbench.rules.describe.setting import SettingFacts
from tagbench.rules.describe.want import WantFacts
from tagbench.rules.kept_together import OWN_PARTS_EXAMPLE, read_own_parts
from tagbench.rules.stacks import STACK_EXAMPLE, read_stack
from tagbench.rules.whereabouts import OLD_PIECES
from tagbench.rules.wiring import PINS_EXAMPLE, read_pins
from tests.rules.making import bin_code, code

NOW = datetime(2031, 3, 9, 18, 30, tzinfo=UTC)
NAMES = ("Brake shoe", "Backing plate", "Rear wheel", "Kick spring", "Clutch hub", "Felt seal")
ASSEMBLIES = ("", "Front wheel", "Front wheel / Brake", "Engine / Clutch")
SAID = ("", "arrow points forward", "chamfer “down”, dot & dash <outside>", "é — ½")


def random_book(seed: int) -> Tables:
    """A book of one machine with 1 to 8 parts; the same for the same seed."""
    dice = random.Random(f"book {seed}")
    units = Units(torque=dice.choice(get_args(TorqueUnit)))
    machine = Machine(mark="TP", name="Tarnbrook Packman", units=units)
    shelf = Bin(code=bin_code(1), name="Shelf A", kind="shelf")
    bag = Bin(code=bin_code(2), name="Brake 3", kept_in=shelf.code)
    parts = [_part(dice, serial) for serial in range(1, dice.randint(2, 9))]
    wants = {
        str(n): Want(
            id=n,
            machine="TP",
            what="felt seal",
            parts=(dice.choice(parts).code,),
            quantity=dice.randint(1, 3),
            number=dice.choice(("", "4711")),
            price=dice.choice(("", "3.50")),
            currency="EUR",
            ordered=dice.choice((None, date(2031, 2, 1))),
            due=dice.choice((None, date(2031, 3, 1), date(2031, 4, 1))),
        )
        for n in range(1, 3)
    }
    setting = Setting(
        id=1,
        machine="TP",
        what="chain slack",
        low=20,
        high=30,
        after=(parts[0].code,),
        measured=dice.choice((None, 25.0, 31.0)),
        measured_at=NOW,
    )
    return Tables(
        machines={"TP": machine},
        parts={part.code: part for part in parts},
        bins={one.code: one for one in (shelf, bag)},
        wants=wants,
        settings={"1": setting},
    )


def _part(dice: random.Random, serial: int) -> Part:
    verdict: Any = dice.choice(("undecided", "reuse", "replace"))
    fitted: Any = dice.choice(("off", "off", "snug", "fitted"))
    elsewhere = dice.choice(("", "", "away", "lost")) if fitted == "off" else ""
    errand = Errand(who="Hill Plating", what_for="zinc plating", sent=date(2031, 2, 1))
    make = Gasket(material="paper", thickness_mm=0.5, width_mm=80, height_mm=60)
    return Part(
        code=code(serial),
        name=dice.choice(NAMES),
        assembly=dice.choice(ASSEMBLIES),
        position=dice.choice(("", "left", "upper")),
        quantity=dice.randint(1, 3),
        order=serial,
        removed=dice.choice((None, NOW - timedelta(days=150))),
        fasteners=tuple(_fastener(dice) for _ in range(dice.randint(0, 3))),
        sits_how=dice.choice(SAID),
        photos=tuple(Photo(file=f"{n}.jpg") for n in range(dice.randint(0, 2))),
        bin=dice.choice(("", bin_code(1), bin_code(2))),
        behind=tuple(code(n) for n in range(1, serial) if dice.random() < 0.3),
        care=tuple(_steps(dice)),
        soak=dice.choice((None, Soak(since=NOW - timedelta(hours=26), hours=24, tray="tray 2"))),
        readings=tuple(_readings(dice)),
        verdict=verdict,
        old_piece=dice.choice(OLD_PIECES) if verdict == "replace" else "",
        finishes=dice.choice(((), (Finish(what="painted", with_what="green", masked="bore"),))),
        dry_fits=dice.choice(((), (NOW - timedelta(days=9),))),
        errands=dice.choice(((), (replace(errand, back=date(2031, 2, 9), price="9.50"),))),
        away=errand if elsewhere == "away" else None,
        lost=Lost(since=NOW, last_seen="bench", new_one=False) if elsewhere == "lost" else None,
        stays_on=fitted == "fitted" and dice.random() < 0.2,
        replacement=dice.choice(("wanted", "here")) if verdict == "replace" else "",
        part_numbers=tuple(_numbers(dice)),
        make=make if verdict == "replace" and dice.random() < 0.3 else None,
        fitted=fitted,
        fitted_at=None if fitted == "off" else NOW,
        note=dice.choice(SAID),
        twin=code(serial - 1) if dice.random() < 0.2 and serial > 1 else "",
        stack=read_stack(STACK_EXAMPLE) if dice.random() < 0.3 else None,
        together=dice.random() < 0.2,
        own_parts=read_own_parts(OWN_PARTS_EXAMPLE) if dice.random() < 0.2 else (),
        wiring=Wiring(pins=read_pins(PINS_EXAMPLE), routing="left of the frame")
        if dice.random() < 0.3
        else None,
    )


def _fastener(dice: random.Random) -> Fastener:
    quantity = dice.randint(1, 6)
    torque = Torque(low=20, high=dice.choice((20, 25)), source=dice.choice(("", "manual p. 12")))
    return Fastener(
        quantity=quantity,
        kind=dice.choice(("screw", "bolt", "castle nut")),
        thread=dice.choice(("M5x0.8", "M6x1", "1/4-20 UNC")),
        length=dice.choice((None, 12.0, 20.0)),
        place=dice.choice(("", "long one at 6 o'clock")),
        single_use=dice.random() < 0.2,
        renewed=dice.random() < 0.2,
        torque=dice.choice((None, torque)),
        torqued=dice.choice((None, 22.0)),
        chosen=dice.choice(((), ("“8mm”: M8x1.25",))),
        back=dice.randint(0, quantity),
        short=dice.randint(0, 1),
    )


def _steps(dice: random.Random) -> Iterator[CareStep]:
    step: Any
    for step in CARE_STEPS:
        if dice.random() < 0.5:
            at = dice.choice((None, NOW - timedelta(days=dice.randint(0, 90))))
            yield CareStep(step=step, with_what=dice.choice(("", "kerosene")), at=at)


def _readings(dice: random.Random) -> Iterator[Reading]:
    for what in ("lining thickness", "free play"):
        if dice.random() < 0.5:
            values = dice.choice(((), (2.1,), (1.4, 2.35)))
            low, high = dice.choice(((None, None), (2.0, None), (0.5, 3.0)))
            yield Reading(what=what, values=values, low=low, high=high, uncertainty=0.05)


def _numbers(dice: random.Random) -> Iterator[PartNumber]:
    if dice.random() < 0.4:
        yield PartNumber(number="4711", status="superseded", superseded_by="4712")
    if dice.random() < 0.3:
        yield PartNumber(number="S-9", status="substitute", differs="1 mm wider")


def words_of(facts: PartFacts) -> Iterator[str]:
    """What every front end that shows a whole part must say of it, piece by piece."""
    yield from (facts.code, facts.name)
    yield from (facts.came_from.words, facts.came_off.words, facts.where.words)
    for line in facts.fasteners:
        yield from (fact.words for fact in line.facts())
    yield from facts.holes.words.split("; ")
    yield facts.sits_how.words
    yield from (facts.stack.words, facts.together.words, facts.routing.words)
    yield from (pin.words for pin in facts.pins)
    yield from (facts.twin.code, facts.twin.name) if facts.twin else ()
    for linked in (*facts.came_off_first, *facts.goes_on_after):
        yield from (linked.code, linked.name)
    yield from (step.words for step in facts.care)
    yield from (facts.soak.words, facts.verdict.words, facts.old_piece.words)
    yield from (fact.words for fact in (*facts.finish, *facts.errands))
    for reading in facts.readings:
        yield from (reading.what, reading.values.words, reading.limit.words)
    yield from (number.words for number in facts.part_numbers)
    yield from facts.note.words.splitlines()


def words_of_bin(facts: BinFacts) -> Iterator[str]:
    """What every front end that shows a bin must say of it."""
    yield from (facts.code, facts.name, facts.where.words, facts.holds.words)
    for part in facts.parts:
        yield from (part.code, part.name)


def words_of_want(facts: WantFacts) -> Iterator[str]:
    """What every front end that lists wants must say of one."""
    yield from (facts.what, facts.number.words, facts.standing.words)


def words_of_setting(facts: SettingFacts) -> Iterator[str]:
    """What every front end that lists settings must say of one."""
    yield from (facts.what, facts.stands.words)


def words_of_count(facts: CountFacts) -> Iterator[str]:
    """What every front end must say of the count."""
    yield from (facts.parts.words, facts.fasteners.words)
    for line in facts.lines:
        yield from (line.words, line.reason)


def missing_words(facts: PartFacts, shown: str) -> list[str]:
    """The words about a part that a front end does not show."""
    return not_said(words_of(facts), shown)


def not_said(wanted: Iterable[str], shown: str) -> list[str]:
    """The words that a front end does not show; line breaks and blanks count alike."""
    flat = _flat(shown)
    return [words for words in wanted if words and _flat(words) not in flat]


def plain_text(page: str) -> str:
    """What a person reads of a page: no tags, no escapes."""
    return html.unescape(re.sub(r"<[^>]*>", " ", page))


def _flat(text: str) -> str:
    """Without any blanks, since a narrow column may break a line anywhere between words."""
    return "".join(text.split())
