"""Which piece is worked on: the old one that came off, or the new one that takes its place.

Care steps and soaks belong to a piece. From the moment the replacement is here, the part is the new
piece: the old one's dirt does not hold it up, and the old one's cleaning does not make it clean.
Where the old one is used again after all, what was done to it counts again.
"""

from __future__ import annotations

from tagbench.records import CareStep, Part, Soak
from tagbench.records.care_steps import CLEANING


def is_new(part: Part) -> bool:
    """Whether the piece that goes on is a new one, and is here."""
    return part.verdict == "replace" and part.replacement == "here"


def is_scrap(part: Part) -> bool:
    """Whether the piece at hand is an old one to be replaced, neither cleaned nor looked at."""
    return part.verdict == "replace" and part.replacement != "here"


def care_of(part: Part) -> tuple[CareStep, ...]:
    """The care steps done to the piece at hand, oldest first."""
    new = is_new(part)
    return tuple(step for step in part.care if step.new_one == new)


def done(part: Part, step: str) -> bool:
    """Whether a step of care is done to the piece at hand."""
    new = is_new(part)
    return any(one.step == step and one.new_one == new for one in part.care)


def soaking(part: Part) -> Soak | None:
    """The soak of the piece at hand; None when it is not in a tray."""
    return part.soak if part.soak is not None and part.soak.new_one == is_new(part) else None


def needs_washing(part: Part) -> bool:
    """Whether the piece at hand must be cleaned before it goes on: no new one, and no scrap."""
    return part.verdict != "replace" and not done(part, CLEANING.name)
