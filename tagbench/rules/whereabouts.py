"""Where a part is: each is in exactly one place, and cannot go where it cannot come from."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from typing import Literal, get_args

from tagbench.errors import BadInput, Refused
from tagbench.records import Errand, Lost, Part, replace
from tagbench.rules.care.pieces import is_new
from tagbench.rules.describe.phrases import day, named

Whereabouts = Literal["on", "never off", "here", "to come", "away", "lost"]
"""on: on the machine again; never off: on it still; here: in its bag; to come: the new piece is not
here yet; away: with someone else; lost."""
PLACES: tuple[Whereabouts, ...] = get_args(Whereabouts)

OldPiece = Literal["kept", "gone", "pattern", "exchanged"]
"""Where the old piece of a replaced part is: about still, thrown out, kept as a pattern, given back
in exchange. Only the first one is open in the count."""
OLD_PIECES: tuple[OldPiece, ...] = get_args(OldPiece)


def whereabouts(part: Part) -> Whereabouts:
    """The one place where the part is."""
    if part.fitted != "off":
        return "never off" if part.stays_on else "on"
    if part.away is not None:
        return "away"
    if lost_now(part) is not None:
        return "lost"
    return "to come" if part.verdict == "replace" and part.replacement != "here" else "here"


def tally(parts: Iterable[Part]) -> dict[Whereabouts, int]:
    """How many parts are in each place; the figures add up to the number of parts."""
    found: dict[Whereabouts, int] = dict.fromkeys(PLACES, 0)
    for part in parts:
        found[whereabouts(part)] += 1
    return found


def elsewhere_words(part: Part) -> str:
    """`with Hill Plating for zinc plating, sent 3 Nov 2025, due 9 Mar 2026`; or that it is lost."""
    if part.away is not None:
        return errand_words(part.away)
    lost = lost_now(part)
    if lost is not None:
        seen = f"; last seen {lost.last_seen}" if lost.last_seen else ""
        return f"lost since {day(lost.since)}{seen}"
    return ""


def lost_now(part: Part) -> Lost | None:
    """How the piece at hand was lost: an old one no longer counts once the new one is here."""
    return part.lost if part.lost is not None and part.lost.new_one == is_new(part) else None


def errand_words(errand: Errand) -> str:
    """Who has it, what for, since when, until when; or when it came back."""
    what_for = f" for {errand.what_for}" if errand.what_for else ""
    days = [
        f"sent {day(errand.sent)}" if errand.sent else "",
        f"due {day(errand.due)}" if errand.due and errand.back is None else "",
        f"back {day(errand.back)}" if errand.back else "",
        f"{errand.price} {errand.currency}".strip(),
    ]
    return ", ".join(filter(None, [f"with {errand.who}{what_for}", *days]))


def overdue(errand: Errand, today: date) -> int:
    """How many days it is late; 0 while it is not."""
    late = (today - errand.due).days if errand.due and errand.back is None else 0
    return max(0, late)


def send(part: Part, errand: Errand) -> Part:
    """The part with someone else; Refused for one that is anywhere but here."""
    place = whereabouts(part)
    if place != "here":
        refused = {
            "on": f"is {part.fitted}; take it off first",
            "never off": "was never taken off; take it off first",
            "away": f"is {elsewhere_words(part)} already; write down first that it came back",
            "lost": f"is {elsewhere_words(part)}; write down first that it was found",
            "to come": "is to be replaced and the new one is not here; mark it reuse to send it",
        }
        raise Refused(f"{named(part)} {refused[place]}.")
    if not errand.who.strip():
        raise BadInput("Say who has it, such as “Hill Plating”.")
    if errand.due and errand.sent and errand.due < errand.sent:
        raise BadInput(
            f"It cannot be due on {day(errand.due)}, before it is sent on {day(errand.sent)}."
        )
    return replace(part, away=errand)


def came_back(part: Part, on: date) -> Part:
    """The part here again, its errand kept. Refused when it is not away, or back before it went."""
    if part.away is None:
        raise Refused(f"{named(part)} is not with anyone else.")
    if part.away.sent and on < part.away.sent:
        raise Refused(
            f"{named(part)} went on {day(part.away.sent)}, so it cannot have come back on "
            f"{day(on)}; give a later day."
        )
    over = replace(part.away, back=on)
    return replace(part, away=None, errands=(*part.errands, over))


def lose(part: Part, now: datetime, last_seen: str) -> Part:
    """The part lost. Refused for one that is on the machine, with someone else, or to come."""
    place = whereabouts(part)
    if place in ("on", "never off"):
        raise Refused(f"{named(part)} is on the machine; take it off first if it is not there.")
    if place == "away":
        raise Refused(f"{named(part)} is {elsewhere_words(part)}; ask there first.")
    if place == "lost":
        raise Refused(f"{named(part)} is {elsewhere_words(part)} already.")
    if place == "to come":
        raise Refused(f"The new {named(part)} is not here yet, so it cannot be lost.")
    seen = " ".join(last_seen.split())
    return replace(part, lost=Lost(since=now, last_seen=seen, new_one=is_new(part)), soak=None)


def found_again(part: Part) -> Part:
    """The part here again; Refused when it was not lost."""
    if part.lost is None:
        raise Refused(f"{named(part)} is not lost.")
    about = part.verdict == "replace" and not part.lost.new_one
    return replace(part, lost=None, old_piece="kept" if about else part.old_piece)


def never_off(part: Part, now: datetime) -> Part:
    """The part as one that was never taken off; Refused when it is anywhere but here.

    All of its fasteners are in the machine, and it needs no care to go on.
    """
    if whereabouts(part) not in ("here", "to come"):
        where = elsewhere_words(part) or f"{part.fitted} already"
        raise Refused(f"{named(part)} is {where}, so it did come off.")
    if any(line.away for line in part.fasteners):
        raise Refused(f"Fasteners of {named(part)} are with someone else, so it did come off.")
    lines = tuple(replace(line, back=line.quantity, short=0) for line in part.fasteners)
    return replace(
        part, fitted="fitted", fitted_at=now, stays_on=True, fasteners=lines, bin="", soak=None
    )


def refuse_elsewhere(part: Part) -> None:
    """Raises Refused when the part is not here, so that nothing can be done with it here."""
    if part.fitted == "off" and (words := elsewhere_words(part)):
        way_out = "it came back" if part.away else "it was found"
        raise Refused(f"{named(part)} is {words}; write down first that {way_out}.")


def put_old_piece(part: Part, where: OldPiece) -> Part:
    """The part with its old piece kept, thrown out, kept as a pattern or given back in exchange."""
    if part.verdict != "replace":
        raise Refused(f"{named(part)} is not marked replace, so there is no old piece.")
    if part.old_piece in ("gone", "exchanged") and where in ("kept", "pattern"):
        raise Refused(f"The old {named(part)} is {part.old_piece}, so it cannot be kept.")
    return replace(part, old_piece=where)
