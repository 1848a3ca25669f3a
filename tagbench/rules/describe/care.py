"""What is said about care: steps, soaking, the verdict, readings against their limits."""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import NamedTuple

from tagbench.records import CARE_STEPS, CareStep, Part, Reading
from tagbench.records.care_steps import CLEANING
from tagbench.rules.care.pieces import care_of, done, is_new, soaking
from tagbench.rules.describe.fact import Fact, State
from tagbench.rules.describe.phrases import day, moment, span

TO_MEASURE = "to measure"
"""Said of a reading that was never taken."""


class ReadingFacts(NamedTuple):
    """A measurement and what it means."""

    what: str
    """What is measured: `lining thickness`."""
    values: Fact
    """`2.1, 2.3 mm ± 0.05`, or `to measure` (state open)."""
    limit: Fact
    """`at least 2 mm`; no words without a limit."""
    says: str
    """What it means: `Good: 0.35 mm left.`; empty when it was never taken."""
    state: State
    """open: never taken; done: inside its limit or without one; wrong: outside."""

    @property
    def fact(self) -> Fact:
        """`lining thickness: 2.1, 2.3 mm (at least 2 mm)` in one piece."""
        limit = f" ({self.limit.words})" if self.limit.words else ""
        return self.values._replace(words=f"{self.what}: {self.values.words}{limit}")


def verdict_fact(part: Part) -> Fact:
    """`undecided`, `reuse`, `replace, new one wanted`, `… to make` or `… here`."""
    return Fact("verdict", verdict_words(part), "open" if part.verdict == "undecided" else "done")


def verdict_words(part: Part) -> str:
    """The words of `verdict_fact`."""
    if part.verdict == "replace":
        wanted = "wanted" if part.make is None else "to make"
        return f"replace, new one {'here' if part.replacement == 'here' else wanted}"
    return part.verdict


def care_step_facts(part: Part) -> tuple[Fact, ...]:
    """Each step of care: done, with what and when; or open, and the step's name alone."""
    return tuple(_step_fact(part, step) for step in CARE_STEPS)


def _step_fact(part: Part, step: str) -> Fact:
    last = next((one for one in reversed(care_of(part)) if one.step == step), None)
    return Fact("care", step, "open") if last is None else Fact("care", step_words(last), "done")


def step_words(step: CareStep) -> str:
    """`degreased with kerosene, 3 Nov 2025`."""
    with_what = f" with {step.with_what}" if step.with_what else ""
    return f"{step.step}{with_what}" + (f", {day(step.at)}" if step.at else "")


def soak_fact(part: Part, now: datetime) -> Fact:
    """`soaking 26 h in kerosene, tray 2, 2 h over, since 3 Nov 2025, 18:30`."""
    soak = soaking(part)
    if soak is None:
        return Fact("soak", "")
    left = soak_left(part, now)
    over = left is not None and left < timedelta(0)
    words = f"{soak_words(part, now)}, since {moment(soak.since)}"
    return Fact("soak", words, "wrong" if over else "begun")


def soak_words(part: Part, now: datetime) -> str:
    """`soaking 26 h in kerosene, tray 2, 2 h over`; empty when the part does not soak."""
    soak = soaking(part)
    if soak is None:
        return ""
    bath = f" in {soak.with_what}" if soak.with_what else ""
    since = f"soaking {span(now - soak.since)}{bath}"
    return ", ".join(filter(None, [since, soak.tray, _left_words(part, now)]))


def soaking_shortly(part: Part, now: datetime) -> str:
    """`soaking 26 h, 2 h over`, for a column."""
    soak = soaking(part)
    if soak is None:
        return ""
    since = f"soaking {span(now - soak.since)}"
    return ", ".join(filter(None, [since, _left_words(part, now)]))


def soak_left(part: Part, now: datetime) -> timedelta | None:
    """How long the part should still soak, negative when over; None when not said."""
    soak = soaking(part)
    if soak is None or soak.hours is None:
        return None
    return soak.since + timedelta(hours=soak.hours) - now


def _left_words(part: Part, now: datetime) -> str:
    left = soak_left(part, now)
    if left is None:
        return ""
    return f"{span(abs(left))} {'over' if left < timedelta(0) else 'to go'}"


def care_words(part: Part, now: datetime) -> str:
    """All care in a line: `degreased, 3 Nov 2025; reuse`, `still dirty; undecided`."""
    steps = [fact.words for fact in care_step_facts(part) if fact.state == "done"]
    tray = soak_fact(part, now).words
    dirty = "" if tray or done(part, CLEANING.name) or is_new(part) else CLEANING.open_list
    new = "new" if is_new(part) and not steps and not tray else ""
    return "; ".join(filter(None, [dirty, new, *steps, tray, verdict_words(part)]))


def describe_reading(part: Part, reading: Reading) -> ReadingFacts:
    """One reading of a part, or one that is usual for its kind and was not taken yet."""
    from tagbench.rules.care.proposal import reading_says

    state = _reading_state(reading)
    values = Fact("reading", values_words(reading), state, reading.values, reading.unit)
    limits = tuple(limit for limit in (reading.low, reading.high) if limit is not None)
    limit = Fact("limit", limit_words(reading), "", limits, reading.unit)
    told = reading_says(part, reading) if reading.values else ""
    return ReadingFacts(reading.what, values, limit, told, state)


def _reading_state(reading: Reading) -> State:
    if not reading.values:
        return "open"
    from tagbench.trade.wear.limits import judge_reading

    wear = judge_reading(reading)
    return "wrong" if wear is not None and wear.verdict == "worn" else "done"


def values_words(reading: Reading) -> str:
    """`2.1, 2.3 mm ± 0.05`; `to measure` when it was never taken."""
    if not reading.values:
        return TO_MEASURE
    figures = f"{', '.join(f'{value:g}' for value in reading.values)} {reading.unit}"
    return figures + (f" ± {reading.uncertainty:g}" if reading.uncertainty else "")


def limit_words(reading: Reading) -> str:
    """`at least 2 mm`, `at most 3 %`, `0.3 to 0.4 mm`, or nothing without a limit."""
    if reading.low is not None and reading.high is not None:
        return f"{reading.low:g} to {reading.high:g} {reading.unit}"
    if reading.low is not None:
        return f"at least {reading.low:g} {reading.unit}"
    return f"at most {reading.high:g} {reading.unit}" if reading.high is not None else ""
