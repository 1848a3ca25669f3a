"""The next evening: what was going on, what is half-typed, what soaks, what is due."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from datetime import date, datetime, timedelta
from typing import Literal, NamedTuple

from tagbench.records import Machine, Part, Tables
from tagbench.rules.buying.deposits import deposits_out
from tagbench.rules.buying.wants import open_wants_of
from tagbench.rules.care.pieces import soaking
from tagbench.rules.describe.phrases import day, first_few, named, plural, span

Place = Literal["strip", "build", "clean", "buy", "away", "count", "settings", "part", "inspect"]
"""The screen that something is gone on with."""
FormName = Literal[
    "", "strip", "edit", "made of", "gasket", "reading", "want", "setting", "left over"
]
SOON = timedelta(days=2)
"""What is due within that time is told beforehand."""
NAMED = 2
"""So many names stand in a line."""


class Going(NamedTuple):
    """One thing that was going on."""

    words: str
    """What, in a line."""
    place: Place
    """Where it is gone on with."""
    code: str = ""
    """The part that it is about."""
    form: FormName = ""
    """The half-typed form: `strip` is the screen itself, the others are cards."""


class LastWork(NamedTuple):
    """What was done last to a part."""

    at: datetime
    """When."""
    part: Part
    """To which part."""
    how: str
    """`took off`, `fitted`, …"""
    place: Place
    """Where such things are done."""


def going_on(tables: Tables, mark: str, now: datetime, forms: Iterable[str] = ()) -> list[Going]:
    """What was going on with a machine, what one goes on with first.

    `forms` are the names of half-typed forms. Linear in the parts.
    """
    parts = [part for part in tables.parts.values() if part.machine == mark]
    last = last_worked(parts)
    return [
        *filter(None, map(half_typed, forms)),
        *([_last_words(last, now)] if last is not None else []),
        *_soaks(parts, now),
        *_due(tables, parts, mark, now.date()),
        *_loose(tables, mark),
    ]


def last_worked(parts: Iterable[Part]) -> LastWork | None:
    """What was done last to any of the parts; None where nothing has a time."""
    found = [one for part in parts if (one := _last_of(part)) is not None]
    return max(found, key=lambda one: (one.at, one.part.order), default=None)


def _last_of(part: Part) -> LastWork | None:
    times: list[tuple[datetime | None, str, Place]] = [(part.removed, "took off", "strip")]
    if part.fitted != "off" and not part.stays_on:
        times.append((part.fitted_at, "fitted" if part.fitted == "fitted" else "snugged", "build"))
    times += [(step.at, step.step, "clean") for step in part.care[-1:]]
    times += [(coat.at, coat.what, "clean") for coat in part.finishes]
    times += [(at, "dry fitted", "build") for at in part.dry_fits[-1:]]
    times += [(part.soak.since, "put to soak", "clean")] if part.soak else []
    dated = [(at, how, place) for at, how, place in times if at is not None]
    if not dated:
        return None
    at, how, place = max(dated, key=lambda one: one[0])
    return LastWork(at, part, how, place)


def _last_words(last: LastWork, now: datetime) -> Going:
    part = last.part
    where = f", {part.assembly}" if part.assembly else ""
    days = (now.date() - last.at.date()).days
    when = "today" if days == 0 else "yesterday" if days == 1 else day(last.at)
    return Going(f"last, {when}: {last.how} {named(part)}{where}", last.place, part.code)


_CODE = re.compile(r"[A-Z0-9]{1,3}-[0-9]{3,}-[0-9A-Z]")


_FORMS: dict[FormName, tuple[str, Place]] = {
    "strip": ("a part that came off", "strip"),
    "edit": ("edit", "part"),
    "made of": ("what {} is made of", "part"),
    "gasket": ("gasket", "inspect"),
    "reading": ("reading", "inspect"),
    "want": ("a want", "buy"),
    "setting": ("a setting", "settings"),
    "left over": ("what is left over", "count"),
}
"""Kind of form → what it is of, and where it is gone on with."""


def half_typed(name: str) -> Going | None:
    """A half-typed form by the name it is kept under; None for one that nothing is known of."""
    plain = name.replace("-", " ")
    form = next((kind for kind in _FORMS if plain.startswith(kind)), None)
    if form is None:
        return None
    words, place = _FORMS[form]
    found = _CODE.search(name)
    code = found[0] if found and place in ("part", "inspect") else ""
    of = f" of {code}" if code and "{}" not in words else ""
    return Going(f"half-typed: {words.format(code or 'a part')}{of}", place, code, form)


def _soaks(parts: Iterable[Part], now: datetime) -> Iterator[Going]:
    tray = [(one, part) for part in parts if (one := soaking(part)) and part.fitted == "off"]
    over = [
        part
        for one, part in tray
        if one.hours is not None and now >= one.since + timedelta(hours=one.hours)
    ]
    if not tray:
        return
    first = min(tray, key=lambda pair: pair[0].since)
    names = first_few([named(part) for _, part in tray], NAMED)
    done = f"; {len(over)} can come out" if over else f", {span(now - first[0].since)} by now"
    yield Going(f"soaking: {names}{done}", "clean", first[1].code)


def _due(tables: Tables, parts: Iterable[Part], mark: str, today: date) -> Iterator[Going]:
    """What is due at someone else's or from a shop, the longest overdue first."""
    due: list[tuple[date, str, Place, str]] = [
        (part.away.due, f"{named(part)} with {part.away.who}", "away", part.code)
        for part in parts
        if part.away is not None and part.away.due and not part.away.batch
    ]
    due += [
        (one.due, f"batch {one.id} with {one.who}", "away", "")
        for one in tables.batches.values()
        if one.machine == mark and not one.closed and one.due
    ]
    due += [
        (want.due, want.what, "buy", "")
        for want in open_wants_of(tables, mark)
        if want.ordered and want.due
    ]
    for when, what, place, code in sorted(due, key=lambda one: one[0]):
        if when <= today + SOON:
            yield Going(f"due {_when(when, today)}: {what}", place, code)
    out = [one for one in deposits_out(tables, mark) if one.arrived]
    if out:
        yield Going(f"deposit out: {first_few([one.what for one in out], NAMED)}", "buy")


def _when(when: date, today: date) -> str:
    late = (today - when).days
    if late > 0:
        return f"{day(when)}, {plural(late, 'day')} overdue"
    return "today" if late == 0 else day(when)


def _loose(tables: Tables, mark: str) -> Iterator[Going]:
    loose = [one for one in tables.loose.values() if one.machine == mark and not one.explained]
    if loose:
        names = first_few([one.what for one in loose], NAMED)
        yield Going(f"left over: {names}", "count")


def aside_words(machine: Machine) -> str:
    """`set aside 3 Nov 2025: waiting for the crankshaft`; empty for one that is worked on."""
    if machine.aside is None:
        return ""
    why = f": {machine.aside_why}" if machine.aside_why else ""
    return f"set aside {day(machine.aside)}{why}"


def others_going_on(tables: Tables, mark: str, today: date) -> Iterator[str]:
    """What is due on the other machines, so that it is not forgotten with them."""
    for machine in tables.machines.values():
        if machine.mark == mark or machine.closed:
            continue
        parts = [part for part in tables.parts.values() if part.machine == machine.mark]
        due = list(_due(tables, parts, machine.mark, today))
        aside = f", {aside_words(machine)}" if machine.aside else ""
        if due or aside:
            first = f"; {due[0].words}" if due else ""
            yield f"{machine.name} ({machine.mark}){aside}{first}"
