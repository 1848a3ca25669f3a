"""Random lives through every place: whatever is done in whatever order, nothing is in two places.

Every verb of the book is tried in any order, allowed or not. After each the places are counted by
hand from the raw records, and what is away is held against the buckets it went in. What is refused
changes nothing; what is taken back leaves the book as it was. `pytest -m long` for thousands.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from tagbench.book import Book
from tagbench.book.integrity import faults
from tagbench.book.operations import (
    away,
    batches,
    bins,
    building,
    buying,
    care,
    closing,
    composing,
    finishing,
    loose,
    machines,
    making,
    strip,
    wanting,
)
from tagbench.book.operations.away import AwayForm
from tagbench.errors import BadInput
from tagbench.records import Finish, Gasket, Part, Tables
from tagbench.rules.bin_contents import bin_of, inside
from tagbench.rules.bolt_card import holes_in_words
from tagbench.rules.buying.open_orders import Orders
from tagbench.rules.count.closing import open_lines
from tagbench.rules.count.identity import machine_count
from tagbench.rules.describe.phrases import named
from tagbench.rules.kept_together import together_words
from tagbench.rules.rebuild.steps import all_steps
from tagbench.rules.whereabouts import OLD_PIECES, PLACES
from tagbench.trade.fasteners.text import parse_fasteners

SCREWS = (
    "",
    "4x M6x20 hex, 8-10 N·m",
    "M6: 2x45 at 12 and 6, 3x20 else",
    "nut M10; lock washer 10.2",
    "2x M5x12 pan; cotter pin 2x16",
)
FORM = AwayForm("Hill Plating", "zinc plating")
PAPER = Gasket(material="paper", thickness_mm=0.5, width_mm=80, height_mm=60)


class Garage:
    """A book and a person who tries everything."""

    def __init__(self, folder: Path, seed: int) -> None:
        self.dice = random.Random(seed)
        self.time = datetime(2031, 3, 9, 18, 30, tzinfo=UTC)
        self.book = Book(folder / "book", now=lambda: self.time)
        for mark in ("TP", "ZZ")[: self.dice.choice((1, 1, 2))]:
            machines.add(self.book, f"machine {mark}", mark)
        self.told: list[str] = []
        self.done: Counter[str] = Counter()

    @property
    def tables(self) -> Tables:
        """The records."""
        return self.book.records

    def some(self, of: str) -> Any:
        """Any record of a table; None where there is none."""
        records = list(getattr(self.tables, of).values())
        return self.dice.choice(records) if records else None

    def code(self) -> str:
        """The code of any part; one that is not there now and then."""
        part = self.some("parts")
        return part.code if part is not None else "TP-999-X"

    def pick(self, *choices: Any) -> Any:
        """One of them."""
        return self.dice.choice(choices)

    def want(self, *, ordered: bool = False, wrong: bool = False) -> int:
        """The number of a want, rather one of that kind."""
        kind = [
            one.id
            for one in self.tables.wants.values()
            if (not ordered or one.ordered) and (not wrong or one.wrong) and not one.arrived
        ]
        return self.dice.choice(kind) if kind else self.number("wants")

    def number(self, of: str) -> int:
        """The number of any record of a table; 1 where there is none."""
        record = self.some(of)
        return record.id if record is not None else 1

    def live(self, actions: int) -> None:
        """Tries so many things, and counts by hand after each."""
        for _ in range(actions):
            self.time += timedelta(hours=self.pick(1, 5, 30))
            self.attempt(self.dice.choice(VERBS))
            self.count_by_hand()

    def attempt(self, verb: Callable[[Garage], object]) -> None:
        """One verb; refused without a trace, or done and, now and then, taken back exactly."""
        before, revision = self.tables, self.book.revision
        name = verb.__name__
        self.told.append(name)
        try:
            verb(self)
        except BadInput as refused:
            assert str(refused).strip(), name
            assert self.book.revision == revision, f"{name} was refused and changed the book"
            assert self.tables == before
            return
        if self.book.revision > revision:
            self.done[name] += 1
            if self.dice.random() < 0.08:
                self.told.append("undo")
                after = self.tables
                self.book.undo()
                assert same(self.tables, before), f"{name} was not taken back whole"
                if self.dice.random() < 0.5:
                    self.told.append("redo")
                    self.book.redo()
                    assert same(self.tables, after), f"{name} was not put back whole"

    def count_by_hand(self) -> None:
        """Each part and each fastener in exactly one place, from the words of the design."""
        tables = self.tables
        in_buckets: Counter[tuple[str, int]] = Counter()
        for batch in tables.batches.values():
            for piece in batch.pieces if batch.closed is None else ():
                in_buckets[piece.code, piece.line] += piece.quantity - piece.sorted
        for mark in tables.machines:
            parts = tables.parts_of(mark)
            counted = machine_count(tables, mark)
            places = Counter(map(place_by_hand, parts))
            assert {name: places[name] for name in PLACES} == counted.places
            assert sum(counted.places.values()) == counted.parts == len(parts)
            out = sum(line.quantity for part in parts for line in part.fasteners)
            rows = counted.threads
            assert out == counted.fasteners_out == sum(row.out for row in rows)
            for row in rows:
                assert min(row[1:]) >= 0
                assert row.out == row.back + row.in_bag + row.away + row.lost
            away_now = sum(
                many for (code, line), many in in_buckets.items() if line and code[:2] == mark
            )
            assert sum(row.away for row in rows) == away_now
            assert counted.loose == [
                one for one in tables.loose.values() if one.machine == mark and not one.explained
            ]
            keys = [line.key for line in open_lines(counted)]
            assert len(keys) == len(set(keys))
        for part in tables.parts.values():
            self.hand_check(part, in_buckets)
        assert not list(faults(tables)), list(faults(tables))

    def hand_check(self, part: Part, in_buckets: Counter[tuple[str, int]]) -> None:
        """One part against the buckets, its twin and its bag."""
        for at, line in enumerate(part.fasteners, 1):
            assert line.away == in_buckets[part.code, at], f"{part.code}/{at} away"
            assert line.back + line.short + line.away <= line.quantity, f"{part.code}/{at}"
        if part.away is not None and part.away.batch:
            assert in_buckets[part.code, 0] == 1
        else:
            assert in_buckets[part.code, 0] == 0
        if part.fitted != "off":
            assert bin_of(part) == ""
            assert part.away is None
        if part.twin:
            twin = self.tables.parts[part.twin]
            assert twin.twin == part.code
            assert twin.position.casefold() != part.position.casefold()
            assert part.position in named(part)
        assert bool(part.own_parts) <= part.together
        assert bool(together_words(part)) == part.together
        holes_in_words(part)
        for code in self.tables.bins:
            lying = {
                one.part.code for one in inside(code, self.tables).contents if one.piece == "part"
            }
            assert not any(self.tables.parts[one].fitted != "off" for one in lying)


def same(one: Tables, other: Tables) -> bool:
    """Whether two states hold the same, but for the counters of the desk."""
    names = ("machines", "parts", "bins", "wants", "settings", "stock", "batches", "loose")
    return all(dict(getattr(one, name)) == dict(getattr(other, name)) for name in names)


def place_by_hand(part: Part) -> str:
    """Where a part is, said from the record alone."""
    new = part.verdict == "replace" and part.replacement == "here"
    if part.fitted != "off":
        return "never off" if part.stays_on else "on"
    if part.away is not None:
        return "away"
    if part.lost is not None and part.lost.new_one == new:
        return "lost"
    return "to come" if part.verdict == "replace" and not new else "here"


# The verbs


def strip_one(g: Garage) -> None:
    known = list(g.tables.parts)
    behind = tuple(g.dice.sample(known, min(len(known), g.pick(0, 0, 1))))
    mark = g.pick(*g.tables.machines)
    strip.strip_part(
        g.book,
        strip.StripForm(
            g.pick("Lever", "Cover", "cover: 2 long at 12 and 6, 3 short else"),
            assembly=g.pick("", "Engine"),
            position=g.pick("", "left", "right", "front left"),
            fasteners=parse_fasteners(g.pick(*SCREWS)),
            bin=g.pick("", "bag 1", "Box / bag 2"),
            sits_how="peg at 2 o'clock",
            behind=tuple(code for code in behind if code.startswith(mark)),
            mark=mark,
        ),
    )


def edit(g: Garage) -> None:
    field = g.pick("position", "fasteners", "bin", "name")
    value = {
        "position": g.pick("", "left", "right"),
        "fasteners": parse_fasteners(g.pick(*SCREWS)),
        "bin": g.pick("", "bag 1"),
        "name": "Lever",
    }[field]
    strip.edit(g.book, g.code(), lines=g.pick("", "same", "others"), **{field: value})


def remove(g: Garage) -> None:
    strip.remove(g.book, g.code())


def never_off(g: Garage) -> None:
    away.never_off(g.book, [g.code()])


def send(g: Garage) -> None:
    away.send_away(g.book, [g.code()], FORM)


def back(g: Garage) -> None:
    away.bring_back(g.book, [g.code()])


def lose(g: Garage) -> None:
    away.lose(g.book, g.code(), "window shelf", want=g.pick(True, False))


def found_again(g: Garage) -> None:
    away.found_again(g.book, g.code())


def pack(g: Garage) -> None:
    mark = g.pick(*g.tables.machines)
    codes = [g.code()] if g.pick(True, False) else []
    parts = [g.code()] if g.pick(True, False, False) else []
    batches.pack(g.book, FORM, codes, g.pick((), ("M6",), ("M6x1x20 hex",)), parts, mark)


def count_back(g: Garage) -> None:
    batch = g.some("batches")
    size = g.pick("M6", "M6x1x20 hex", "M10", "Lever")
    batches.count_back(g.book, batch.id if batch else 1, {size: g.pick(0, 1, 2, 3, 4, 5)})


def sort_back(g: Garage) -> None:
    batch = g.some("batches")
    piece = g.dice.choice(batch.pieces) if batch else None
    code, line = (piece.code, piece.line) if piece else (g.code(), 1)
    batches.sort_into_bag(g.book, batch.id if batch else 1, code, line, g.pick(None, 1, 2))


def close_batch(g: Garage) -> None:
    batches.close(g.book, g.number("batches"))


def plan_finish(g: Garage) -> None:
    finishing.plan(g.book, [g.code()], Finish(what=g.pick("painted", "plated"), masked="bore"))


def finish(g: Garage) -> None:
    coat = Finish(what=g.pick("painted", "blasted"), with_what="green")
    finishing.finish(g.book, [g.code()], coat)


def no_finish(g: Garage) -> None:
    finishing.no_finish(g.book, [g.code()], "painted")


def dry_fit(g: Garage) -> None:
    finishing.dry_fit(g.book, g.code())


def tick(g: Garage) -> None:
    care.tick_off(g.book, [g.code()], g.pick("degreased", "degreased", "inspected", "lubed"))


def decide(g: Garage) -> None:
    verdict = g.pick("reuse", "replace")
    orders: Orders = g.pick("", "keep", "off") if verdict == "reuse" else ""
    care.tick_off(g.book, [g.code()], verdict, orders=orders)


def undecide(g: Garage) -> None:
    care.undecided(g.book, [g.code()])


def old_piece(g: Garage) -> None:
    care.old_piece_gone(g.book, [g.code()], g.pick(*OLD_PIECES))


def soak(g: Garage) -> None:
    (care.soak if g.pick(True, False) else care.end_soak)(g.book, [g.code()])


def fit(g: Garage) -> None:
    part = g.some("parts")
    if part is None:
        return
    lines = range(1, len(part.fasteners) + 1)
    form = building.FitForm(
        snug=g.pick(True, False),
        torqued={line: 9.0 for line in lines if part.fasteners[line - 1].torque and g.pick(0, 1)},
        short={line: 1 for line in lines if g.dice.random() < 0.1},
        anyway=g.pick(True, False),
        why="of my own",
    )
    building.fit_part(g.book, part.code, form)


def short(g: Garage) -> None:
    building.missing_fasteners(g.book, g.code(), {1: g.pick(0, 1, 2)})


def take_off(g: Garage) -> None:
    building.take_off_again(g.book, g.code(), with_outer=g.pick(True, False))


def make(g: Garage) -> None:
    code = g.code()
    g.pick(lambda: making.to_make(g.book, code, PAPER), lambda: making.made(g.book, code))()


def want(g: Garage) -> None:
    deposit = g.pick(None, "25.00")
    form = wanting.WantForm(codes=(g.code(),), quantity=g.pick(1, 2), deposit=deposit)
    wanting.add_want(g.book, form)


def order(g: Garage) -> None:
    buying.order(g.book, [g.number("wants")])


def not_ordered(g: Garage) -> None:
    buying.not_ordered(g.book, [g.number("wants")])


def wrong_came(g: Garage) -> None:
    buying.wrong_came(g.book, g.want(ordered=True), "left-hand one")


def send_back(g: Garage) -> None:
    buying.send_back(g.book, g.want(wrong=True))


def settle(g: Garage) -> None:
    buying.settle(g.book, g.want(wrong=True), g.pick("refunded", "replaced"))


def deposit_back(g: Garage) -> None:
    buying.deposit_came_back(g.book, g.number("wants"))


def arrive(g: Garage) -> None:
    buying.arrive(g.book, [g.number("wants")], count=g.pick(None, None, 1))


def drop_want(g: Garage) -> None:
    wanting.drop_want(g.book, [g.number("wants")])


def write_down(g: Garage) -> None:
    loose.write_down(g.book, g.pick("M6 bolt 20 long, bench floor", "spring", ""), "TP")


def explain(g: Garage) -> None:
    loose.explain(g.book, g.number("loose"), g.pick("of the mower", ""))


def belongs(g: Garage) -> None:
    loose.belongs_to(g.book, g.number("loose"), g.code(), 1)


def link_twins(g: Garage) -> None:
    composing.link_twins(g.book, g.code(), g.code())


def part_twins(g: Garage) -> None:
    composing.part_twins(g.book, g.code())


def strip_twin(g: Garage) -> None:
    composing.strip_twin(g.book, g.code(), g.pick("", "bag 1"))


def keep_in_one(g: Garage) -> None:
    known = g.pick("", "bowl: 4x M4x12 pan; float; 2x jet", "bowl; bowl")
    composing.keep_in_one(g.book, g.code(), known)


def no_sub_assembly(g: Garage) -> None:
    whole = [one.code for one in g.tables.parts.values() if one.together]
    composing.no_sub_assembly(g.book, g.dice.choice(whole) if whole else g.code())


def take_apart(g: Garage) -> None:
    composing.take_apart(g.book, g.code(), g.pick((), ("float",)), g.pick("", "pin: circlip 8"))


def stack(g: Garage) -> None:
    composing.write_stack(g.book, g.code(), g.pick("", "from the nut: shim 0.3; plate 2", "shim"))


def pins(g: Garage) -> None:
    composing.write_pins(g.book, g.code(), g.pick("", "1 BN lamp; 2 BK earth", "1 mud"))


def close_machine(g: Garage) -> None:
    mark = g.pick(*g.tables.machines)
    left = open_lines(machine_count(g.tables, mark))
    reasons = {line.key: "of my own" for line in left} if g.pick(True, False) else {}
    closing.close_machine(g.book, mark, reasons)


def set_aside(g: Garage) -> None:
    machines.set_aside(g.book, g.pick(*g.tables.machines), "waiting")


def choose(g: Garage) -> None:
    machines.choose(g.book, g.pick(*g.tables.machines))


def look(g: Garage) -> None:
    """Nothing that is asked of a book may fail, in whatever state it is."""
    for mark in g.tables.machines:
        all_steps(g.tables, mark)


def keep_bin(g: Garage) -> None:
    bins.add_bin(g.book, g.pick("Box", "bag 1", "bag 3"))


VERBS: tuple[Callable[[Garage], object], ...] = (
    *[strip_one] * 6,
    *[tick] * 5,
    *[decide] * 4,
    *[fit] * 8,
    *[pack] * 4,
    *[order, wrong_came, send_back, settle] * 2,
    *[count_back] * 2,
    *[sort_back] * 4,
    *[take_off] * 3,
    *[send, back, lose, found_again] * 2,
    *[want, order, arrive, write_down] * 2,
    *(edit, remove, never_off, close_batch, plan_finish, finish, no_finish, dry_fit, undecide),
    *(old_piece, soak, short, make, not_ordered, wrong_came, send_back, settle, deposit_back),
    *(drop_want, explain, belongs, link_twins, part_twins, strip_twin, keep_in_one),
    *(no_sub_assembly, take_apart, stack, pins, close_machine, set_aside, choose, look, keep_bin),
)


def lived(folder: Path, seed: int, actions: int) -> Counter[str]:
    """One life; a fault is told with the seed and what was done last."""
    garage = Garage(folder, seed)
    with garage.book:
        try:
            garage.live(actions)
        except Exception as fault:
            last = ", ".join(garage.told[-12:])
            raise AssertionError(f"seed {seed} after {last}: {fault!r}") from fault
    return garage.done


@pytest.mark.sampled(6)
@pytest.mark.parametrize("seed", range(30))
def test_nothing_is_ever_in_two_places(seed: int, tmp_path: Path) -> None:
    """Each part and each fastener in exactly one, through every verb in any order."""
    lived(tmp_path, seed, 120)


@pytest.mark.slow  # eight long lives; the ones above are a sample of them
def test_every_verb_is_really_done(tmp_path: Path) -> None:
    """So that none of them is only ever refused."""
    done: Counter[str] = Counter()
    for seed in range(100, 108):
        (tmp_path / str(seed)).mkdir()
        done += lived(tmp_path / str(seed), seed, 250)
    never = {verb.__name__ for verb in VERBS} - set(done) - {"look"}
    assert not never


@pytest.mark.long
@pytest.mark.parametrize("first", range(0, 2000, 100))
def test_thousands_of_lives(first: int, tmp_path: Path) -> None:
    """The same, longer, for a free evening."""
    for seed in range(first, first + 100):
        (tmp_path / str(seed)).mkdir()
        lived(tmp_path / str(seed), 10_000 + seed, 200)
