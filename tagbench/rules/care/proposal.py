"""The verdict that the readings propose; the person decides."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from tagbench.records import Part, Reading
from tagbench.rules.care.inspecting import PartKind, part_kind
from tagbench.trade.wear.limits import Wear, judge_reading


@dataclass(frozen=True)
class Proposal:
    """What the readings of a part say about using it again."""

    verdict: Literal["undecided", "reuse", "replace"]
    """Proposed; undecided when the readings do not settle it."""
    why: tuple[str, ...]
    """The reasons, a sentence each: `lining thickness: Good: 0.35 mm left.`"""

    @property
    def words(self) -> str:
        """`proposed: replace (lining thickness: Worn: …)`."""
        said = "; ".join(self.why)
        head = "no proposal" if self.verdict == "undecided" else f"proposed: {self.verdict}"
        return f"{head} ({said})" if said else head


def proposal(part: Part) -> Proposal:
    """What to propose for a part: worn is replace, all good is reuse, anything else undecided.

    A kind that is renewed at every rebuild is proposed for replacing whatever was measured.
    """
    kind = part_kind(part)
    if kind is not None and kind.renew:
        return Proposal("replace", (f"a {kind.name} is renewed at every rebuild",))
    if not part.readings:
        return Proposal("undecided", ("nothing measured",))
    judged = [(reading, judge_reading(reading)) for reading in part.readings]
    why = tuple(_sentence(kind, reading, wear) for reading, wear in judged)
    told = {wear.verdict if wear else "open" for r, wear in judged if not _is_set(kind, r, wear)}
    if "worn" in told:
        return Proposal("replace", why)
    return Proposal("reuse" if told == {"good"} else "undecided", why)


def _is_set(kind: PartKind | None, reading: Reading, wear: Wear | None) -> bool:
    """Whether the reading is an adjustment outside its range: set anew, it replaces nothing."""
    adjusted = kind is not None and reading.what in kind.adjusted
    return adjusted and wear is not None and wear.verdict != "good"


def reading_says(part: Part, reading: Reading) -> str:
    """What one reading says: `Good: 0.35 mm left.`, or that it is still to be measured."""
    return _says(part_kind(part), reading, judge_reading(reading))


def _says(kind: PartKind | None, reading: Reading, wear: Wear | None) -> str:
    if not reading.values:
        return "still to be measured."
    if wear is None:
        return "no limit is known."
    return "outside its range, set it again." if _is_set(kind, reading, wear) else wear.sentence


def _sentence(kind: PartKind | None, reading: Reading, wear: Wear | None) -> str:
    return f"{reading.what}: {_says(kind, reading, wear)}"
