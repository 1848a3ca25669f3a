"""A torque that no screw of its size bears: a slip of the pen, or a wrench set to another unit.

The load of a torque is reckoned with the highest friction that is known here, which loads a screw
least, and compared with the proof load of its class, or of the strongest class there is in its
size (proof stress of ISO 898-1, SAE J429, ISO 3506-1 times the tensile stress area; arm of the
torque as VDI 2230-1 has it, see `stress`). So what is told is past it, a head far larger than usual
aside, and what is not told may still be far too much: no figure to tighten by follows from this,
and none is given.
"""

from __future__ import annotations

from functools import cache

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.published import read_table
from tagbench.trade.threads.designation import parse_thread
from tagbench.trade.threads.limits import limits_of
from tagbench.trade.threads.thread import Thread
from tagbench.trade.torque.strength import UNMARKED, Strength, strength_of, strongest
from tagbench.trade.torque.stress import torque_arm

_PIPE = ("BSP", "NPT")
"""Threads that seal: what they are turned to says little of the load along them."""


class PastProof(msgspec.Struct, frozen=True):
    """What a torque is past."""

    thread: str
    """Designation of the thread."""
    strength: Strength
    """The class whose proof load it is past."""
    own: bool
    """Whether that is the class the screw was said to have, else the strongest in its size."""

    @property
    def words(self) -> str:
        """`more than M5x0.8 bears even in class 12.9, the strongest known here`."""
        if self.own:
            return f"more than {self.thread} of class {self.strength.grade} bears"
        grade = self.strength.grade
        return f"more than {self.thread} bears even in class {grade}, the strongest known here"


def past_proof(designation: str, grade: str, torque_nm: float) -> PastProof | None:
    """What a torque in N·m is past; None where it may be borne, or nothing is known of the screw.

    An unmarked screw, or one of a class that is not known, counts as the strongest.
    """
    try:
        thread = parse_thread(designation)
    except BadInput:
        return None
    if thread.system in _PIPE:
        return None
    own = _own_class(grade, thread)
    strength = own or strongest(thread)
    if strength is None or torque_nm <= _most(thread, strength):
        return None
    return PastProof(thread.designation, strength, own is not None)


def _own_class(grade: str, thread: Thread) -> Strength | None:
    try:
        found = strength_of(grade, thread)
    except BadInput:
        return None
    return found if found.grade != UNMARKED or grade.strip() == UNMARKED else None


def _most(thread: Thread, strength: Strength) -> float:
    """The torque, N·m, at which even the highest friction leaves the whole proof load."""
    load = strength.ceiling * limits_of(thread).stress_area
    return load * torque_arm(thread, _highest_friction()) / 1000


@cache
def _highest_friction() -> float:
    return max(float(row["mu_high"]) for row in read_table("nut_factors"))
