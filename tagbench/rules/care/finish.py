"""Finish is care too: blasted, painted, plated, polished, or a step by its own name."""

from __future__ import annotations

from datetime import datetime

from tagbench.errors import BadInput, NotFound, Refused
from tagbench.records import Finish, Part, replace
from tagbench.rules.care.steps import check_moment
from tagbench.rules.describe.phrases import day, named

USUAL = ("blasted", "primed", "painted", "plated", "polished", "powder coated", "blackened")
"""The usual ones in the order in which they are done; others may be typed. Common practice, no
source."""


def plan_finish(part: Part, finish: Finish) -> Part:
    """The part with a finish still to do, or what is said of it changed."""
    what = _named(finish.what)
    wanted = replace(finish, what=what, at=None)
    at = _open_place(part, what)
    if at is None:
        return replace(part, finishes=(*part.finishes, wanted))
    finishes = list(part.finishes)
    finishes[at] = _filled(wanted, finishes[at])
    return replace(part, finishes=tuple(finishes))


def finish_done(part: Part, finish: Finish, at: datetime, now: datetime) -> Part:
    """The part with a finish done, a planned one of that name or one more.

    Refused for a part on the machine or elsewhere, and for a day that cannot be.
    """
    if part.fitted != "off":
        raise Refused(f"{named(part)} is {part.fitted}; take it off before it is finished.")
    check_moment(part, at, now)
    what = _named(finish.what)
    done = replace(finish, what=what, at=at)
    place = _open_place(part, what)
    finishes = list(part.finishes)
    if place is None:
        finishes.append(done)
    else:
        finishes[place] = _filled(done, finishes[place])
    return replace(part, finishes=tuple(finishes))


def drop_finish(part: Part, what: str) -> Part:
    """The part without the last finish of that name; NotFound when it has none."""
    places = [at for at, one in enumerate(part.finishes) if one.what == _named(what)]
    if not places:
        there = ", ".join(one.what for one in part.finishes) or "none"
        raise NotFound(f"{named(part)} has no finish {what} (it has {there}).")
    finishes = part.finishes[: places[-1]] + part.finishes[places[-1] + 1 :]
    return replace(part, finishes=finishes)


def dry_fitted(part: Part, now: datetime) -> Part:
    """The part fitted for a trial and off again: noted, and no fit that counts."""
    if part.fitted != "off":
        raise Refused(f"{named(part)} is {part.fitted} already; a dry fit comes before that.")
    return replace(part, dry_fits=(*part.dry_fits, now))


def dry_fit_words(part: Part) -> str:
    """`dry fitted 9 Mar 2026`, and that a coat has gone on since; empty without one."""
    if not part.dry_fits:
        return ""
    last = part.dry_fits[-1]
    since = [one.what for one in part.finishes if one.at is not None and one.at > last]
    return f"dry fitted {day(last)}" + (f", {' and '.join(since)} since" if since else "")


def _named(what: str) -> str:
    name = " ".join(what.split()).casefold()
    if not name:
        raise BadInput(f"Say which finish: {', '.join(USUAL)}, or another by its name.")
    return name


def _open_place(part: Part, what: str) -> int | None:
    return next(
        (at for at, one in enumerate(part.finishes) if one.what == what and one.at is None), None
    )


def _filled(new: Finish, old: Finish) -> Finish:
    """What was planned stays said where nothing else is said now."""
    return replace(new, with_what=new.with_what or old.with_what, masked=new.masked or old.masked)
