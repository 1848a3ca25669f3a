"""How a part stands, in the words that people ask for it by: lost, soaking, away, to buy, worn."""

from __future__ import annotations

from collections.abc import Iterator

from tagbench.records import Part
from tagbench.rules.care.pieces import care_of, is_new, is_scrap, soaking
from tagbench.rules.whereabouts import lost_now

LOST = "lost missing"
SOAKING = "soaking soak"
AWAY = "away sent"
TO_BUY = "buy wanted replace"
NEW = "new arrived replaced"
WORN = "worn"
TO_MAKE = "make homemade"
ON = "fitted"

STANDING_WORDS: tuple[str, ...] = tuple(
    word for said in (LOST, SOAKING, AWAY, TO_BUY, NEW, WORN, TO_MAKE, ON) for word in said.split()
)
"""All that is said of how parts stand; each is a word of every book, so that none is taken for a
slip where no part stands so."""


def standing_text(part: Part) -> str:
    """All words for how a part stands, with who has it and what it lies in; empty for most."""
    return " ".join((*_where(part), *_verdict(part), *_done(part)))


def _where(part: Part) -> Iterator[str]:
    lost = lost_now(part)
    if lost is not None:
        yield f"{LOST} {lost.last_seen}"
    soak = soaking(part)
    if soak is not None:
        yield f"{SOAKING} {soak.with_what}"
    if part.away is not None:
        yield f"{AWAY} {part.away.who} {part.away.what_for}"
    if part.fitted != "off" and not part.stays_on:
        yield ON


def _verdict(part: Part) -> Iterator[str]:
    if is_scrap(part):
        yield TO_BUY
    if is_new(part):
        yield NEW
    if part.make is not None and not part.make.made:
        yield TO_MAKE
    if part.readings and _is_worn(part):
        yield WORN


def _done(part: Part) -> Iterator[str]:
    """What was done to it, and who did it."""
    for step in care_of(part):
        yield step.step
    for finish in part.finishes:
        yield f"{finish.what} {finish.with_what}"
    for errand in part.errands:
        yield f"{errand.who} {errand.what_for}"


def _is_worn(part: Part) -> bool:
    """Whether a reading of the piece at hand is past its limit."""
    from tagbench.trade.wear.limits import judge_reading

    judged = (judge_reading(reading) for reading in part.readings)
    return not is_new(part) and any(one is not None and one.verdict == "worn" for one in judged)
