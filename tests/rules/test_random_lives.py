"""Random lives of machines: whatever is done in whatever order, the book says what the ledger says.

The ledger (`tests/rules/ledger.py`) is written from the words of the design and imports nothing of
tagbench. Fifty lives here; thousands with `pytest -m long`.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tagbench.book.csv.reader import read_csv
from tagbench.book.operations import (
    bins,
    building,
    buying,
    care,
    closing,
    making,
    settings,
    strip,
    wanting,
)
from tagbench.errors import BadInput
from tagbench.records import Fastener, Gasket, Torque, replace
from tagbench.rules.buying.open_orders import Orders
from tagbench.rules.count.closing import open_lines
from tagbench.rules.count.identity import machine_count
from tests.rules.ledger import Adjustment, Line, Order, Piece
from tests.rules.life import Life

PAPER = Gasket(material="paper", thickness_mm=0.5, width_mm=80, height_mm=60)
FRESH = {"back": 0, "short": 0, "torqued": None, "renewed": False}
"""A line as it is read from a text."""
STEPS = ("degreased", "inspected", "lubed")


def _lines(life: Life) -> tuple[list[Line], tuple[Fastener, ...]]:
    """Up to three lines of a part, in the ledger and as records."""
    made = []
    for _ in range(life.dice.randint(0, 3)):
        torque = life.dice.random() < 0.4
        single = life.dice.random() < 0.3
        made.append(Line(life.dice.randint(1, 4), 40 * torque, 50 * torque, single))
    records = tuple(
        Fastener(
            kind="screw",
            thread=f"M{5 + at}x1",
            quantity=line.quantity,
            torque=Torque(low=line.low, high=line.high) if line.high else None,
            single_use=line.single_use,
        )
        for at, line in enumerate(made)
    )
    return made, records


def take_off_first(life: Life) -> None:
    """A part comes off, behind some that came off before."""
    mark = life.dice.choice(life.marks)
    known = [one.code for one in life.ledger.of(mark)]
    behind = life.dice.sample(known, min(len(known), life.dice.choice((0, 1, 1, 2))))
    lines, records = _lines(life)
    form = strip.StripForm("part", mark=mark, behind=tuple(behind), fasteners=records)
    code = strip.strip_part(life.book, form).code
    life.ledger.pieces[code] = Piece(code, set(behind), life.today, lines)


def take_in(life: Life) -> None:
    """A list of two parts, the second behind the first."""
    mark = life.dice.choice(life.marks)
    file = life.folder / "list.csv"
    file.write_text("ref,name,fasteners,behind\na,cover,2x M6x20,\nb,hub,,a\n", encoding="utf-8")
    first, second = read_csv(life.book, file, mark=mark)
    life.ledger.pieces[first.code] = Piece(first.code, set(), life.today, [Line(2)])
    life.ledger.pieces[second.code] = Piece(second.code, {first.code}, life.today, [])


def link(life: Life) -> None:
    """Another thing noted as in the way; a loop is refused."""
    one = life.piece()
    if one is None:
        return
    others = [other.code for other in life.ledger.of(one.mark) if other.code != one.code]
    behind = set(life.dice.sample(others, min(len(others), life.dice.randint(0, 2))))
    loop = any(one.code in life.ledger.outer(other) for other in behind)
    # The present links of the part itself are taken out first.
    kept, one.behind = one.behind, set()
    loop = any(one.code in life.ledger.outer(other) for other in behind)
    one.behind = kept
    if not life.refused(
        lambda: strip.edit(life.book, one.code, behind=tuple(sorted(behind))), loop
    ):
        one.behind = behind


def correct(life: Life) -> None:
    """The text of the fasteners put right: still the same ones, or all others."""
    one = life.piece()
    if one is None or not one.lines:
        return
    now = life.book.records.parts[one.code].fasteners
    others = life.dice.random() < 0.3
    new = tuple(
        replace(
            line,
            thread=f"M{12 + at}x1.5" if others else line.thread,
            place=life.dice.choice(("", "top", "bottom")),
            **FRESH,
        )
        for at, line in enumerate(now)
    )
    anew = [was.thread != line.thread for was, line in zip(now, new, strict=True)]
    used = [x.back or x.short or x.torqued is not None or x.renewed for x in one.lines]
    if any(begun and use for begun, use in zip(anew, used, strict=True)):
        life.refused(lambda: strip.edit(life.book, one.code, fasteners=new), True)
    strip.edit(life.book, one.code, fasteners=new, lines="others" if others else "")
    for line, begun in zip(one.lines, anew, strict=True):
        if begun:
            line.back, line.short, line.torqued, line.renewed = 0, 0, None, False


def take_record_away(life: Life) -> None:
    """A record is removed; refused while others are behind it."""
    one = life.piece()
    if one is None:
        return
    leaning = any(one.code in other.behind for other in life.ledger.pieces.values())
    if not life.refused(lambda: strip.remove(life.book, one.code), leaning):
        del life.ledger.pieces[one.code]
        life.ledger.let_go(one.code, arrived_too=True)
        for setting in life.ledger.settings.values():
            setting.after = setting.after - {one.code}


def tick(life: Life) -> None:
    """A step of care, which cannot be before the part came off."""
    one = life.piece()
    if one is None:
        return
    step = life.dice.choice(STEPS)
    early = life.today < one.removed
    if not life.refused(lambda: care.tick_off(life.book, [one.code], step), early):
        one.care = one.care | {(step, life.today, one.is_new)}
        if step == "degreased" and one.soaks:
            one.soak = None


def decide(life: Life) -> None:
    """Reuse or replace, with what follows for the orders."""
    one = life.piece()
    if one is None:
        return
    verdict = life.dice.choice(("reuse", "replace"))
    other = one.verdict != verdict
    stays = one.on != "off" and (verdict == "replace" or one.new == "here")
    gone = verdict == "reuse" and one.old == "gone"
    orders: Orders = "keep" if verdict == "reuse" else ""
    if life.refused(
        lambda: care.tick_off(life.book, [one.code], verdict, orders=orders),
        other and (stays or gone),
    ):
        return
    if verdict == "reuse":
        one.verdict, one.new, one.old = "reuse", "", ""
        life.ledger.let_go(one.code)
        return
    if other:
        one.verdict, one.old = "replace", "kept"
        one.new = "here" if one.made else "wanted"
    life.ledger.settle(one.code)
    _want_if_waiting(life, one)


def _want_if_waiting(life: Life, one: Piece) -> None:
    if one.new == "wanted" and not one.to_make and not life.ledger.waits(one.code):
        life.ledger.orders[max(map(int, life.book.records.wants))] = Order({one.code}, 1)


def undecide(life: Life) -> None:
    """The verdict is taken back."""
    one = life.piece()
    if one is None:
        return
    on = one.on != "off" and one.verdict != "undecided"
    if not life.refused(lambda: care.undecided(life.book, [one.code]), on):
        one.verdict, one.new, one.old = "undecided", "", ""
        life.ledger.let_go(one.code)


def let_the_old_one_go(life: Life) -> None:
    """The old piece is thrown out."""
    one = life.piece()
    if one is None:
        return
    wrong = one.verdict != "replace"
    if not life.refused(lambda: care.old_piece_gone(life.book, [one.code]), wrong):
        one.old = "gone"


def soak(life: Life) -> None:
    """Into the tray, or out of it."""
    one = life.piece()
    if one is None:
        return
    early = life.today < one.removed
    if one.soak is None:
        if not life.refused(lambda: care.soak(life.book, [one.code]), one.on != "off" or early):
            one.soak = one.is_new
        return
    clean = life.dice.random() < 0.7
    which = one.soak
    if not life.refused(lambda: care.end_soak(life.book, [one.code], clean=clean), clean and early):
        one.soak = None
        if clean:
            one.care = one.care | {("degreased", life.today, which)}


def put_on(life: Life) -> None:
    """Fit, snug, torque, short, renew; refused with a reason, or overruled."""
    one = life.piece()
    if one is None:
        return
    dice, lines = life.dice, list(enumerate(one.lines))
    torqued = {
        at: dice.choice((45.0, 45.0, 20.0, 60.0))
        for at, line in lines
        if line.high and dice.random() < 0.5
    }
    short = {at: dice.randint(0, line.quantity) for at, line in lines if dice.random() < 0.1}
    renewed = {at for at, line in lines if line.single_use and dice.random() < 0.5}
    snug, anyway = dice.random() < 0.3, dice.random() < 0.3
    reasons: list[tuple[str, frozenset[str]]] = []
    if one.on == "off":
        if shut_in := life.ledger.off(life.ledger.deeper(one.code)):
            reasons.append(("buried", frozenset(shut_in)))
        if life.ledger.lacks(one, set(short)):
            reasons.append(("held up", frozenset()))
    if 60.0 in torqued.values():
        reasons.append(("torque", frozenset()))
    form = building.FitForm(
        snug=snug,
        torqued={at + 1: value for at, value in torqued.items()},
        short={at + 1: value for at, value in short.items()},
        renewed=[at + 1 for at in renewed],
        anyway=anyway,
        why="of my own",
    )
    early = bool(reasons) and not anyway
    if life.refused(lambda: building.fit_part(life.book, one.code, form), early):
        return
    if life.ledger.put_on(one.code, snug=snug, torqued=torqued, short=short, renewed=renewed):
        life.ledger.stale(one.code)
        life.turned.add(one.mark)
    one.overruled = [*one.overruled, *reasons]


def miss(life: Life) -> None:
    """Some are missing, or turned up."""
    one = life.piece()
    if one is None or not one.lines:
        return
    at = life.dice.randrange(len(one.lines))
    line = one.lines[at]
    number = life.dice.randint(0, line.quantity)
    building.missing_fasteners(life.book, one.code, {at + 1: number})
    line.short, line.back = number, min(line.back, line.quantity - number)


def take_off_again(life: Life) -> None:
    """Off again; refused when others are in the way, unless they come off too."""
    one = life.piece()
    if one is None:
        return
    outer = life.ledger.outer(one.code)
    way = outer - life.ledger.off(outer)
    too = life.dice.random() < 0.5
    nothing = not way and one.on == "off"
    wanted = nothing or (one.on == "off" and not too) or (bool(way) and not too)
    if not life.refused(
        lambda: building.take_off_again(life.book, one.code, with_outer=too), wanted
    ):
        for code in [*way, *([one.code] if one.on != "off" else [])]:
            life.ledger.take_off(code)
            life.turned.add(one.mark)


def want(life: Life) -> None:
    """Something is wanted for a part, two of them now and then."""
    one = life.piece()
    if one is None:
        return
    quantity = life.dice.choice((1, 2))
    form = wanting.WantForm(codes=(one.code,), quantity=quantity)
    made = wanting.add_want(life.book, form)
    life.ledger.orders[made.id] = Order({one.code}, quantity)


def _order(life: Life) -> tuple[int, Order] | None:
    orders = [(n, one) for n, one in life.ledger.orders.items() if one.arrived is None]
    return life.dice.choice(orders) if orders else None


def order(life: Life) -> None:
    """A want is ordered."""
    found = _order(life)
    if found is not None:
        buying.order(life.book, [found[0]])
        found[1].ordered = life.today


def arrive(life: Life) -> None:
    """All of it arrives, or one of two."""
    found = _order(life)
    if found is None:
        return
    number, one = found
    some = 1 if one.quantity == 2 and life.dice.random() < 0.5 else None
    early = one.ordered is not None and life.today < one.ordered
    if life.refused(lambda: buying.arrive(life.book, [number], count=some), early):
        return
    one.arrived = life.today
    if some:
        rest = max(map(int, life.book.records.wants))
        life.ledger.orders[rest] = Order(one.parts, 1, one.ordered)
        one.quantity = 1
    for code in one.parts:
        life.ledger.settle(code)


def drop(life: Life) -> None:
    """A want is dropped; nobody waits for nothing."""
    if not life.ledger.orders:
        return
    number = life.dice.choice(list(life.ledger.orders))
    wanting.drop_want(life.book, [number])
    for code in life.ledger.orders.pop(number).parts:
        life.ledger.settle(code)


def make(life: Life) -> None:
    """A gasket is to be made, or is made."""
    one = life.piece()
    if one is None:
        return
    if one.to_make and one.verdict == "replace" and one.new == "wanted":
        making.made(life.book, one.code)
        one.made, one.new = True, "here"
        return
    on = one.on != "off" and one.verdict != "replace"
    if not life.refused(lambda: making.to_make(life.book, one.code, PAPER), on):
        if one.verdict != "replace":
            one.verdict, one.old = "replace", "kept"
            one.new = "here" if one.made else "wanted"
        one.to_make = True
        life.ledger.let_go(one.code)


def adjust(life: Life) -> None:
    """A setting is written down, measured, to be measured again, or taken away."""
    known = life.ledger.settings
    if not known or life.dice.random() < 0.3:
        mark = life.dice.choice(life.marks)
        codes = [one.code for one in life.ledger.of(mark)]
        after = tuple(life.dice.sample(codes, min(len(codes), 2)))
        form = settings.SettingForm("chain slack", "20-30 mm", after=after, mark=mark)
        known[settings.add_setting(life.book, form).id] = Adjustment(mark, set(after))
        return
    number = life.dice.choice(list(known))
    if life.dice.random() < 0.7:
        known[number].value = life.dice.choice((25.0, 25.0, 40.0))
        known[number].stale = False
        settings.measure(life.book, number, f"{known[number].value} mm")
        life.turned.add(known[number].mark)
    elif life.dice.random() < 0.7:
        settings.recheck(life.book, number, "new chain")
        known[number].stale = True
        life.turned.add(known[number].mark)
    else:
        settings.remove_setting(life.book, number)
        del known[number]


def close(life: Life) -> None:
    """Closed when nothing is open, or with a reason for each line; opened again by hand."""
    mark = life.dice.choice(life.marks)
    if mark in life.ledger.closed and life.dice.random() < 0.3:
        closing.reopen_machine(life.book, mark)
        del life.ledger.closed[mark]
        return
    left = life.ledger.open(mark)
    reasons: dict[str, str] = {}
    if life.dice.random() < 0.6:
        found = open_lines(machine_count(life.book.records, mark))
        reasons = {line.key: "of my own" for line in found}
    if not life.refused(
        lambda: closing.close_machine(life.book, mark, reasons), bool(left) and not reasons
    ):
        life.ledger.closed[mark] = left if reasons else set()


def keep(life: Life) -> None:
    """Bins, made and moved; never two with one path, never in a loop."""
    known = life.ledger.bins
    name = f"Box {life.dice.randint(1, 3)}"
    if len(known) < 2 or life.dice.random() < 0.4:
        inside = life.dice.choice(["", *known])
        wanted = life.ledger.path_taken(name, inside)
        made: list[str] = []
        if not life.refused(
            lambda: made.append(bins.add_bin(life.book, name, kept_in=inside).code), wanted
        ):
            known[made[0]] = (name, inside)
        return
    code, into = life.dice.choice(list(known)), life.dice.choice(["", *known])
    if life.dice.random() < 0.3:
        inside = known[code][1]
        taken = life.ledger.path_taken(name, inside, code)
        if not life.refused(lambda: bins.rename_bin(life.book, code, name), taken):
            known[code] = (name, inside)
        return
    taken = life.ledger.path_taken(known[code][0], into, code) or life.ledger.holds(into, code)
    if not life.refused(lambda: bins.move_bin(life.book, code, into), taken):
        known[code] = (known[code][0], into)


ACTIONS: list[Callable[[Life], None]] = [
    *[take_off_first] * 5,
    take_in,
    link,
    correct,
    take_record_away,
    *[tick] * 6,
    *[decide] * 5,
    undecide,
    let_the_old_one_go,
    *[soak] * 3,
    *[put_on] * 12,
    miss,
    *[take_off_again] * 4,
    *[want] * 2,
    order,
    *[arrive] * 2,
    drop,
    make,
    *[adjust] * 5,
    *[close] * 3,
    keep,
]


def lived(folder: Path, seed: int, actions: int) -> None:
    """One life; a difference is told with the seed and what was done last."""
    life = Life(folder, seed)
    with life.book:
        try:
            life.live(actions, ACTIONS)
        except (AssertionError, BadInput) as difference:
            last = ", ".join(life.told[-12:])
            raise AssertionError(f"seed {seed} after {last}: {difference}") from difference


@pytest.mark.sampled(4)
@pytest.mark.parametrize("seed", range(50))
def test_the_book_says_what_the_ledger_says(seed: int, tmp_path: Path) -> None:
    """Ready, held up, the count, settings, soaks, closing, orders, bins, through undo and redo."""
    lived(tmp_path, seed, 40)


@pytest.mark.long
@pytest.mark.parametrize("first", range(0, 3000, 100))
def test_thousands_of_lives(first: int, tmp_path: Path) -> None:
    """The same, longer, for a free evening."""
    for seed in range(first, first + 100):
        folder = tmp_path / str(seed)
        folder.mkdir()
        lived(folder, 10_000 + seed, 80)
