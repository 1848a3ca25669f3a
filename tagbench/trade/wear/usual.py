"""Usual figures of small machines, each with where it comes from; the maker's goes before it."""

from __future__ import annotations

from functools import cache
from typing import Literal

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.published import read_table
from tagbench.trade.wear.limits import WearVerdict

LEAST_RING_GAP_MM = 0.15
"""Never file a ring below it (memory)."""
MAKER = "The maker's figure takes precedence."


class Usual(msgspec.Struct, frozen=True):
    """One usual figure."""

    item: str
    """piston clearance, ring gap, points gap, …"""
    case: str
    """For what it holds."""
    use: Literal["new", "limit", "setting"]
    """new: what a good one has; limit: where it ends; setting: what is set."""
    low: float | None
    """Low end of what is printed, in `unit`; None where there is no usual figure."""
    high: float | None
    """High end."""
    unit: str
    """mm, % or another."""
    source: str
    """read, memory or both."""
    words: str
    """How it is measured, what to mind."""

    @property
    def sentence(self) -> str:
        """`Ring gap, iron rings, air-cooled: 0.15 to 0.25 mm (read). …`"""
        told = f"{self.item[0].upper()}{self.item[1:]}, {self.case} ({self.use}): {self.figures}"
        tail = f" {self.words[0].upper()}{self.words[1:]}." if self.words else ""
        return f"{told} ({self.source}).{tail}"

    @property
    def figures(self) -> str:
        """`0.15 to 0.25 mm`, `0.2 mm`, `none`."""
        if self.low is None or self.high is None:
            return "none but the maker's"
        ends = dict.fromkeys(f"{end:.3g}" for end in (self.low, self.high))
        return f"{' to '.join(ends)} {self.unit}"


@cache
def items() -> tuple[str, ...]:
    """What there are usual figures for, in the order of the table."""
    return tuple(dict.fromkeys(row["item"] for row in read_table("usual_figures")))


def usual_figures(item: str, bore_mm: float | None = None) -> list[Usual]:
    """Every usual figure of an item; those that go by the bore need it, mm.

    BadInput for an unknown item, and for a bore that is missing or cannot be.
    """
    wanted = " ".join(item.casefold().replace("-", " ").split())
    rows = [row for row in read_table("usual_figures") if _plain(row["item"]) == wanted]
    if not rows:
        raise BadInput(f"No usual figure is known for “{item}”; there are {', '.join(items())}.")
    if bore_mm is not None and not 10 <= bore_mm <= 300:
        raise BadInput("A bore of a small machine lies between 10 and 300 mm.")
    if any(row["per"] for row in rows) and bore_mm is None:
        raise BadInput(f"The {wanted} goes by the bore: give it, such as --bore 50mm.")
    return [_usual(row, bore_mm) for row in rows]


def _plain(item: str) -> str:
    return item.replace("-", " ")


def _usual(row: dict[str, str], bore_mm: float | None) -> Usual:
    times = bore_mm if row["per"] and bore_mm is not None else 1.0
    low, high = (float(row[end]) * times if row[end] else None for end in ("low", "high"))
    if row["item"] == "ring gap" and low is not None and high is not None:
        low, high = max(low, LEAST_RING_GAP_MM), max(high, LEAST_RING_GAP_MM)
    uses: dict[str, Literal["new", "limit", "setting"]] = {"new": "new", "limit": "limit"}
    return Usual(
        row["item"],
        row["case"],
        uses.get(row["use"], "setting"),
        low,
        high,
        row["unit"],
        row["source"],
        row["words"],
    )


class Clearance(msgspec.Struct, frozen=True):
    """Room between a bore and a piston, from the two readings."""

    clearance_mm: float
    """Bore less piston, mm."""
    per_mille: float
    """The same in thousandths of the bore."""
    uncertainty_mm: float
    """What the two tools together may be off, mm."""
    limit_mm: float
    """Where it ends: the maker's, else the low end of what is printed, mm."""
    verdict: WearVerdict
    """good, marginal (the uncertainty reaches over the limit) or worn."""
    sentence: str
    """The same in words."""


def piston_clearance(
    bore_mm: float,
    piston_mm: float,
    limit_mm: float | None = None,
    uncertainty_mm: float = 0.01,
) -> Clearance:
    """Clearance from two readings, each off by `uncertainty_mm` at most.

    The widest reading of the bore and the piston's across its skirt, square to the pin. Two
    uncertainties add by the root of their squares (JCGM 100, 5.1.2). BadInput for a piston that
    does not go in, or a pair that does not belong together.
    """
    room = bore_mm - piston_mm
    if bore_mm <= 0 or piston_mm <= 0 or room < 0 or room > 0.02 * bore_mm:
        raise BadInput(
            f"A piston of {piston_mm:g} mm does not belong in a bore of {bore_mm:g} mm;"
            " measure both again."
        )
    off = uncertainty_mm * 2**0.5
    usual = next(u for u in usual_figures("piston clearance", bore_mm) if u.use == "limit")
    limit = limit_mm if limit_mm is not None else usual.low or 0.0
    left = limit - room
    verdict: WearVerdict = "marginal" if abs(left) <= off else "good" if left > 0 else "worn"
    whose = "the maker's limit" if limit_mm is not None else "the low end of printed limits"
    share = 1000 * room / bore_mm
    sentence = (
        f"{verdict.capitalize()}: clearance {room:.3f} mm ± {off:.3f}, {share:.1f} thousandths of"
        f" the bore; {whose} is {limit:g} mm. {MAKER}"
    )
    return Clearance(room, share, off, limit, verdict, sentence)


def spring_loss(new_mm: float, now_mm: float) -> float:
    """How much shorter than new a spring is, percent; BadInput for lengths that cannot be."""
    if new_mm <= 0 or now_mm <= 0 or now_mm > 1.05 * new_mm:
        raise BadInput("Give the free length when new and now, both above zero, such as 38.5 mm.")
    return 100 * (new_mm - now_mm) / new_mm
