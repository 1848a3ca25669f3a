"""Roller chain: how much it has stretched over a number of links."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import cache

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.published import read_table
from tagbench.trade.quantities.shown import plain_decimal, show_length
from tagbench.trade.quantities.units import Quantity, millimetres
from tagbench.trade.wear.limits import WearVerdict

#: A vehicle's final drive ends before 3 %: printed ends run from 1 to 3 percent, those of riders
#: from 1.5 to 2.5; 2 is the safe side for an old machine of unknown care (memory).
FINAL_DRIVE_PERCENT = Fraction(2)
#: Other drives, at 3 %; 1.5 % where centres are fixed or chains run in parallel; and 200/N % over a
#: large sprocket of N teeth (two chain makers' answers referring to ANSI B29.1).
LIMIT_PERCENT = Fraction(3)
FIXED_CENTRES_PERCENT = Fraction(3, 2)
_LARGE_SPROCKET = 200

#: Nobody's chain is outside this: the links or the pitch were mistaken.
_BELIEVABLE = (Fraction(-1), Fraction(10))


class ChainWear(msgspec.Struct, frozen=True):
    """What a length over some links says about a chain."""

    verdict: WearVerdict
    """good, marginal (the uncertainty reaches over the limit) or worn."""
    elongation_percent: float
    """How much longer it is than new, percent."""
    limit_percent: float
    """Where it is replaced, percent."""
    left_percent: float
    """What is left to the limit, percent; negative when past."""
    limit_mm: float
    """Length of these links at the limit, mm."""
    sentence: str
    """The same in words."""


class Chain(msgspec.Struct, frozen=True):
    """A chain by its name."""

    name: str
    """428, 08B, 40."""
    system: str
    """ISO 606 B, ASME B29.1 or motorcycle."""
    pitch: Quantity
    """Pin to pin when new, mm."""
    inner_width_mm: float
    """Between the inner plates, mm."""
    roller_mm: float
    """Diameter of the rollers (or bushes), mm."""
    note: str
    """What to know about it; empty for nothing."""


def chain_named(name: str) -> Chain:
    """A chain by its name: `428`, `428H`, `08B-1`, `#40`, `1/2 x 5/16`; BadInput for none known."""
    said = _name(name)
    known = _chains()
    if said not in known:
        names = ", ".join(dict.fromkeys(chain.name for chain in known.values()))
        raise BadInput(f"“{name}” is not a chain in the tables; they hold {names}.")
    return known[said]


def _name(text: str) -> str:
    """A name without what does not matter: capitals, spaces, inch marks, `#`, `ANSI`."""
    plain = re.sub(r"[\s\"″#]|^(?:ansi|iso|asa|no\.?)", "", text.casefold().replace("×", "x"))
    return re.sub(r"-1$", "", plain)


@cache
def _chains() -> dict[str, Chain]:
    found: dict[str, Chain] = {}
    for row in read_table("chains"):
        chain = Chain(
            row["name"],
            row["system"],
            millimetres(row["pitch_mm"]),
            float(row["inner_width_mm"]),
            float(row["roller_mm"]),
            row["note"],
        )
        for word in (row["name"], *row["also"].split("|")):
            if word:
                found.setdefault(_name(word), chain)
    return found


def chain_limit(
    fixed_centres: bool = False,
    sprocket_teeth: int | None = None,
    final_drive: bool = True,
) -> Fraction:
    """The limit in percent: 2 for the final drive of a vehicle, 3 for other drives.

    1.5 with fixed centres, and no more than 200/N over a sprocket of N teeth. The maker's figure
    goes before it. BadInput for a sprocket that cannot be.
    """
    usual = FINAL_DRIVE_PERCENT if final_drive else LIMIT_PERCENT
    limit = min(usual, FIXED_CENTRES_PERCENT) if fixed_centres else usual
    if sprocket_teeth is None:
        return limit
    if sprocket_teeth < 5:
        raise BadInput("A sprocket has at least 5 teeth; give those of the larger one.")
    return min(limit, Fraction(_LARGE_SPROCKET, sprocket_teeth))


def chain_wear(
    measured: Quantity,
    links: int,
    pitch: Quantity,
    limit_percent: Fraction = FINAL_DRIVE_PERCENT,
    uncertainty: Quantity | None = None,
) -> ChainWear:
    """Elongation of `links` pitches that measure `measured` when pulled tight.

    The uncertainty is 0.5 mm (a steel rule) unless given. BadInput for what cannot be, among it
    a stretch that only a wrong count of links gives.
    """
    if links < 1 or measured.value <= 0 or pitch.value <= 0:
        raise BadInput("Give the links, their pitch and the length they take, each above zero.")
    new = links * pitch.to("mm").value
    length = measured.to("mm").value
    off = (uncertainty or millimetres("0.5")).to("mm").value / new * 100
    stretch = (length / new - 1) * 100
    if not _BELIEVABLE[0] <= stretch <= _BELIEVABLE[1]:
        expected = show_length(Quantity(new, "mm"), measured.unit)
        raise BadInput(
            f"{links} links of {show_length(pitch)} are {expected} when new;"
            f" {show_length(measured)} does not fit, count the links again."
        )
    left = limit_percent - stretch
    verdict: WearVerdict = "marginal" if abs(left) <= off else "good" if left > 0 else "worn"
    return ChainWear(
        verdict=verdict,
        elongation_percent=float(stretch),
        limit_percent=float(limit_percent),
        left_percent=float(left),
        limit_mm=float(new * (1 + limit_percent / 100)),
        sentence=_sentence(verdict, stretch, limit_percent),
    )


def _sentence(verdict: WearVerdict, stretch: Fraction, limit: Fraction) -> str:
    figures = f"{plain_decimal(stretch, 2)} % longer than new, limit {plain_decimal(limit, 2)} %"
    return {
        "good": f"Good: {figures}.",
        "marginal": f"Marginal: {figures}; measure over more links, pulled tight.",
        "worn": f"Worn: {figures}; replace it, and look at both sprockets.",
    }[verdict]
