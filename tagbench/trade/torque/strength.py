"""How strong a fastener is, by property class or grade: ISO 898-1, SAE J429, ISO 3506-1."""

from __future__ import annotations

import re
from functools import cache

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.published import read_table
from tagbench.trade.threads.thread import Thread

UNMARKED = "4.6"
"""The class that a screw without a mark counts as, the weakest in use."""
#: What people call a stainless screw that says no class; the weakest class counts.
_BARE_STAINLESS = {"STAINLESS": "A2-50", "STAINLESS STEEL": "A2-50", "A2": "A2-50", "A4": "A2-50"}
_UNMARKED_WORDS = frozenset({"UNMARKED", "NO MARK", "NO MARKS", "NONE", "UNKNOWN", "PLAIN"})
_SAE = re.compile(r"^(?:SAE|SAE J429|J429|GR\.?|G)\s*(?:GRADE\s*)?([1258])$")
_KSI_MPA = 6.894757293168361  # 1000 lbf/in² from the exact pound-force and inch


class Strength(msgspec.Struct, frozen=True):
    """Stresses of a class in the size asked for, MPa."""

    grade: str
    """Class or grade as it is spelled in a fastener: `8.8`, `grade 5`, `A2-70`."""
    ceiling: float
    """Proof stress, or the 0.2 % yield for stainless steel, which has no proof stress."""
    yield_stress: float
    """Lower yield or 0.2 % yield."""
    tensile: float
    """Least tensile strength."""
    standard: str
    """Where the figures stand."""

    @property
    def stainless(self) -> bool:
        """Whether the class is one of austenitic stainless steel."""
        return self.grade.startswith("A")


class _Row(msgspec.Struct, frozen=True):
    above_mm: float
    up_to_mm: float
    strength: Strength


def strength_of(grade: str, thread: Thread) -> Strength:
    """The strength of `grade` in the size of `thread`.

    BadInput for an unknown grade, or a size that the standard does not give for it.
    """
    known = _rows().get(_spelled(grade))
    if known is None:
        raise BadInput(
            f"No strength is known for “{grade}”; write a class such as 8.8,"
            " a grade such as grade 5, or A2-70."
        )
    for row in known:
        if row.above_mm < thread.diameter_mm <= row.up_to_mm:
            return row.strength
    standard = known[0].strength.standard
    raise BadInput(f"{standard} gives no {grade} in the size of {thread.designation}.")


def strongest(thread: Thread) -> Strength | None:
    """The class of the highest proof stress that a standard gives in the size of `thread`."""
    found = (
        row.strength
        for rows in _rows().values()
        for row in rows
        if row.above_mm < thread.diameter_mm <= row.up_to_mm
    )
    return max(found, key=lambda strength: strength.ceiling, default=None)


def _spelled(grade: str) -> str:
    """A class as the table spells it: `SAE 5` and `Gr 5` are grade 5, no mark is 4.6."""
    text = " ".join(grade.replace(",", ".").split())
    upper = text.upper()
    if upper in _UNMARKED_WORDS:
        return UNMARKED
    if sae := _SAE.match(upper):
        return f"grade {sae[1]}"
    if upper in _BARE_STAINLESS:
        return _BARE_STAINLESS[upper]
    return text.lower() if text.lower().startswith("grade") else text.upper()


@cache
def _rows() -> dict[str, tuple[_Row, ...]]:
    found: dict[str, tuple[_Row, ...]] = {}
    for row in read_table("strength"):
        found[row["class"]] = (*found.get(row["class"], ()), _row(row))
    return found


def _row(row: dict[str, str]) -> _Row:
    to_mpa = _KSI_MPA if row["unit"] == "ksi" else 1.0
    strength = Strength(
        grade=row["class"],
        ceiling=float(row["proof"] or row["yield"]) * to_mpa,
        yield_stress=float(row["yield"]) * to_mpa,
        tensile=float(row["tensile"]) * to_mpa,
        standard=row["standard"],
    )
    return _Row(float(row["above_mm"]), float(row["up_to_mm"]), strength)
