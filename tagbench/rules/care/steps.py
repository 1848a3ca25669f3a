"""Marking steps of care; reuse or replace; soaking; taking one back."""

from __future__ import annotations

from datetime import datetime
from typing import Literal

from tagbench.errors import BadInput, Refused
from tagbench.records import CARE_STEPS, CareStep, Part, Soak, Step, replace
from tagbench.records.care_steps import CLEANING
from tagbench.rules.care.pieces import done, is_new, soaking
from tagbench.rules.describe.phrases import day, named

Verdict = Literal["reuse", "replace"]

CARE_FIELDS = ("care", "soak", "verdict", "replacement", "old_piece")
"""The fields of a part that the care screens change."""


def tick(part: Part, step: Step, at: datetime, now: datetime, with_what: str = "") -> Part:
    """The part with a step of care done to the piece at hand; twice a day it is written once.

    Cleaning ends its soak. Raises Refused for a time to come, or one before the part came off.
    """
    check_moment(part, at, now)
    return _ticked(part, step, at, with_what, new_one=is_new(part))


def _ticked(part: Part, step: Step, at: datetime, with_what: str, *, new_one: bool) -> Part:
    soaks = part.soak is not None and part.soak.new_one == new_one
    ended = soaks and step == CLEANING.name
    part = replace(part, soak=None) if ended else part
    with_what = " ".join(with_what.split())
    for known in part.care:
        same_day = known.at is not None and known.at.date() == at.date()
        if same_day and (known.step, known.with_what, known.new_one) == (step, with_what, new_one):
            return part
    tick = CareStep(step=step, with_what=with_what, at=at, new_one=new_one)
    return replace(part, care=tuple(sorted((*part.care, tick), key=_when)))


def _when(step: CareStep) -> float:
    return step.at.timestamp() if step.at else 0.0


def check_moment(part: Part, at: datetime, now: datetime) -> None:
    """Raises Refused for a time to come or one before the part came off; days count, not hours."""
    if at.date() > now.date():
        raise Refused(f"{day(at)} is still to come; give today or a day before it.")
    if part.removed is not None and at.date() < part.removed.date():
        raise Refused(
            f"{named(part)} came off on {day(part.removed)}, so nothing can have been done "
            f"to it on {day(at)}; give that day or a later one."
        )


def decide(part: Part, verdict: Verdict) -> Part:
    """The part with the verdict reuse or replace; a new one made by hand is here once it is made.

    Raises Refused when the old piece is on the machine, or is gone and so cannot be used again.
    """
    if part.verdict == verdict:
        return part
    if verdict == "replace":
        if part.fitted != "off":
            raise Refused(
                f"{named(part)} is {part.fitted}, so the old one would stay in the machine; "
                "take it off first, then mark it replace."
            )
        made = part.make is not None and part.make.made
        here: Literal["here", "wanted"] = "here" if made else "wanted"
        return replace(
            part, verdict="replace", replacement=here, old_piece="gone" if part.lost else "kept"
        )
    if part.old_piece in ("gone", "exchanged"):
        raise Refused(
            f"The old piece of {named(part)} is gone, so it cannot be used again; "
            "leave it at replace."
        )
    if part.replacement == "here" and part.fitted != "off":
        raise Refused(
            f"The new piece of {named(part)} is {part.fitted}; take it off first, "
            "then mark the old one reuse."
        )
    return replace(part, verdict="reuse", replacement="", old_piece="")


def undecide(part: Part) -> Part:
    """The part with its verdict taken back; Refused while it is on the machine."""
    if part.fitted != "off" and part.verdict != "undecided":
        raise Refused(f"{named(part)} is {part.fitted}; take it off before you decide again.")
    return replace(part, verdict="undecided", replacement="", old_piece="")


def back_to(part: Part, before: Part) -> Part:
    """The part with its care as it was `before`; everything else stays as it is now.

    Raises Refused when that would make a part dirty that is on the machine.
    """
    changed = replace(part, **{name: getattr(before, name) for name in CARE_FIELDS})
    _refuse_dirty(part, changed)
    if part.fitted != "off" and changed.verdict != part.verdict:
        raise Refused(f"{named(part)} is {part.fitted}; take it off before you decide again.")
    return changed


def care_differs(one: Part, other: Part) -> bool:
    """Whether two states of a part differ in their care."""
    return any(getattr(one, name) != getattr(other, name) for name in CARE_FIELDS)


def out_of_the_tray(part: Part) -> Part:
    """The part with the piece at hand out of its soak: it was put on the machine."""
    return replace(part, soak=None) if soaking(part) else part


def drop_step(part: Part) -> Part:
    """The part without its last step of care.

    Raises BadInput when there is none, Refused when a part on the machine would be dirty.
    """
    every = range(len(part.care))
    places = [at for at in every if part.care[at].new_one == is_new(part)] or every
    if not places:
        raise BadInput(f"{named(part)} has no care step to take back.")
    changed = replace(part, care=part.care[: places[-1]] + part.care[places[-1] + 1 :])
    _refuse_dirty(part, changed)
    return changed


def _refuse_dirty(part: Part, changed: Part) -> None:
    if part.fitted != "off" and done(part, CLEANING.name) and not done(changed, CLEANING.name):
        raise Refused(
            f"{named(part)} is {part.fitted}, so it cannot be marked dirty; take it off first."
        )


def soak(
    part: Part,
    since: datetime,
    now: datetime,
    hours: float | None = None,
    tray: str = "",
    with_what: str = "",
) -> Part:
    """The part put to soak; Refused for a part on the machine, BadInput for no hours above 0."""
    if part.fitted != "off":
        raise Refused(f"{named(part)} is {part.fitted} and cannot soak; take it off first.")
    if hours is not None and not 0 < hours <= 24 * 366:
        raise BadInput("Say for how many hours it should soak, more than 0 and under a year.")
    check_moment(part, since, now)
    if since > now:
        raise Refused(f"{since:%H:%M} is still to come; give a time up to now.")
    tray, with_what = " ".join(tray.split()), " ".join(with_what.split())
    soak = Soak(since=since, hours=hours, tray=tray, with_what=with_what, new_one=is_new(part))
    return replace(part, soak=soak)


def end_soak(part: Part, at: datetime, now: datetime, *, clean: bool = True) -> Part:
    """The part taken out of its soak: cleaned with what it soaked in, or not yet `clean`."""
    if part.soak is None:
        raise BadInput(f"{named(part)} is not soaking.")
    if clean:
        check_moment(part, at, now)
        soak = part.soak
        return _ticked(part, CLEANING.name, at, soak.with_what, new_one=soak.new_one)
    return replace(part, soak=None)


def steps_known() -> tuple[str, ...]:
    """What can be marked: the steps of care and the two verdicts."""
    return (*CARE_STEPS, "reuse", "replace")
