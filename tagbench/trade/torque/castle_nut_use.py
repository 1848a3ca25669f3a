"""What a castle nut does, clamp or adjust, and the procedure for each; never one for the other.

A nut that clamps has a torque and goes onward to the next slot. A nut that adjusts a bearing or a
cone has free play, and goes back to a slot. The first procedure would ruin a bearing and the
second would leave a joint loose, so where the words do not tell, the person is asked.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from functools import cache
from itertools import product
from typing import Literal

import msgspec

from tagbench.trade.published import read_table
from tagbench.trade.quantities.shown import plain_decimal, show_torque
from tagbench.trade.quantities.units import Range
from tagbench.trade.torque.word_forms import folded, inflected, words_in

NutUse = Literal["clamps", "adjusts", "unclear"]
"""What a castle nut does; unclear is asked about."""
Bearing = Literal["taper", "cone", "steering"]
"""What an adjusting nut sets."""
_LANGUAGES = ("en", "de", "fr", "es", "it")
_LONGEST = 4

ASK = (
    "Which is it? A nut that clamps a joint goes from the low figure on to the next slot; a nut"
    " that sets a bearing or a cone is seated, backed off and left with free play. The one rule"
    " ruins the other: look in the maker's manual, then write “clamps” or “adjusts” in its note."
)


class Play(msgspec.Struct, frozen=True):
    """The free play that an adjusting nut leaves; from memory, the maker's figure goes first."""

    low_mm: float
    """Least end play, mm."""
    high_mm: float
    """Most end play, mm."""
    words: str
    """How it feels."""


@cache
def _plays() -> Mapping[str, Play]:
    return {
        row["bearing"]: Play(float(row["low_mm"]), float(row["high_mm"]), row["words"])
        for row in read_table("bearing_play")
    }


def nut_use(*texts: str) -> tuple[NutUse, Bearing | None]:
    """What a castle nut does by the name, kind, assembly and note of its part, in that order.

    The first text that tells decides; one that tells both ways leaves it unclear.
    """
    for text in texts:
        told = set(_told(text))
        uses = {use for use, _bearing in told}
        if len(uses) == 1:
            bearings = [bearing for _use, bearing in told if bearing]
            return uses.pop(), _sharpest(bearings)
        if uses:
            return "unclear", None
    return "unclear", None


def _sharpest(bearings: list[Bearing]) -> Bearing | None:
    """A steering head before a cone, a cone before the rollers that any hub may have."""
    order: tuple[Bearing, ...] = ("steering", "cone", "taper")
    return next((each for each in order if each in bearings), None)


def _told(text: str) -> Iterator[tuple[NutUse, Bearing | None]]:
    said = words_in(text)
    for start in range(len(said)):
        for end in range(start + 1, min(start + _LONGEST, len(said)) + 1):
            found = _uses().get("".join(said[start:end]))
            if found:
                yield found


@cache
def _uses() -> dict[str, tuple[NutUse, Bearing | None]]:
    uses: dict[str, NutUse] = {"clamps": "clamps", "adjusts": "adjusts"}
    kinds: dict[str, Bearing] = {"taper": "taper", "cone": "cone", "steering": "steering"}
    found: dict[str, tuple[NutUse, Bearing | None]] = {}
    for row in read_table("castle_nut_uses"):
        told = uses[row["use"]], kinds.get(row["bearing"])
        for language in _LANGUAGES:
            for term in row[language].split("|"):
                words = [dict.fromkeys(inflected(word, language)) for word in _parts(term)]
                found.update({"".join(chosen): told for chosen in product(*words)})
    return found


def _parts(term: str) -> list[str]:
    """The words of a term with their accents, parted as `words_in` parts them."""
    return [part for part in term.replace("-", " ").replace("'", " ").split() if folded(part)]


def clamping_steps(
    step: Fraction, along_mm: float | None, torque: Range | None, pin: str
) -> tuple[str, ...]:
    """How to tighten a castle nut that clamps, AC 43.13-1B 7-40 and 7-127, stricter rules first.

    `step` is the turn in degrees from one alignment to the next, `along_mm` the same as movement
    along the bolt, `pin` the sentence about its new pin.
    """
    low, high = _figures(torque)
    turn = f"{plain_decimal(step, 1)} degrees"
    way = "" if along_mm is None else f" ({along_mm:.2f} mm along the bolt)"
    return (
        "Threads clean and dry unless the maker says otherwise.",
        f"Begin at the low figure{low}, plus the torque that the nut needs to run down.",
        f"The next slot lies at most {turn} further{way}; only ever turn on, tightening.",
        f"Never go beyond the high figure{high} to reach a slot.",
        "Never turn the nut back to a slot.",
        _change(torque),
        pin,
        "If more than half of the pin stands above the slots, add a washer, two at most.",
    )


def _change(torque: Range | None) -> str:
    change = "change the washer or the nut and begin again."
    if torque and torque.single:
        return f"With one figure there is no room to turn on: if no slot lines up there, {change}"
    return f"If no slot lines up, {change}"


def _figures(torque: Range | None) -> tuple[str, str]:
    if torque is None:
        return "", ""
    low = Range(torque.low, torque.low, torque.unit)
    high = Range(torque.high, torque.high, torque.unit)
    return f", {show_torque(low)}", f", {show_torque(high)},"


def free_play(bearing: Bearing) -> Play:
    """The free play that a nut on such a bearing leaves; common practice, from memory."""
    return _plays()[bearing]


def adjusting_steps(
    bearing: Bearing, step: Fraction, along_mm: float | None, torque: Range | None, pin: str
) -> tuple[str, ...]:
    """How to set a castle nut that adjusts: seat, back off, find the slot, free play.

    Common practice, from memory; the maker's procedure goes before it.
    """
    play = _plays()[bearing]
    seat = "" if torque is None else f" (a seating torque is never left on it: {_seating(torque)})"
    way = "" if along_mm is None else f", which changes the play by at most {along_mm:.2f} mm"
    return (
        f"A nut that sets a bearing carries no tightening torque{seat}.",
        "The maker's seat-and-back-off procedure takes precedence; without it, have the"
        " setting checked by a qualified person.",
        "Bearing clean, greased, and its races seated square.",
        f"Seat it: {_SEAT[bearing]}",
        "Back off until it is loose, then run the nut up by hand until it just touches.",
        f"If no slot faces the hole, turn back to the nearest one, {plain_decimal(step, 1)} degrees"
        f" or less{way}; never on.",
        _play_sentence(play),
        f"If it then has {_over(play)}, change the washer or the nut and begin again; never leave"
        " it tighter to meet a slot.",
        pin,
        "Check it again after the first ride: bedded races show as new play.",
    )


_SEAT: dict[Bearing, str] = {
    "taper": "turn the wheel by hand while you tighten with a short spanner until it drags.",
    "cone": "spin the wheel and turn the cone in by hand until it drags.",
    "steering": "swing the fork from stop to stop while you tighten until it drags.",
}


def _play_sentence(play: Play) -> str:
    if play.high_mm == 0:
        return f"Free play: none that can be felt, and no drag: it {play.words}."
    return (
        f"Free play: {play.low_mm:g} to {play.high_mm:g} mm end play on a dial gauge"
        f" (memory, no source): it {play.words}."
    )


def _over(play: Play) -> str:
    return f"more play than {play.high_mm:g} mm" if play.high_mm else "any shake or drag"


def _seating(torque: Range) -> str:
    return f"{show_torque(torque)} only seats it, if the maker says so"
