"""Friction of a screw by its condition, and the metal that it is screwed into."""

from __future__ import annotations

from functools import cache

import msgspec

from tagbench.errors import BadInput, Refused
from tagbench.trade.published import read_table


class Friction(msgspec.Struct, frozen=True):
    """How slippery a screw of some condition may be, in thread and under the head."""

    condition: str
    """oiled, unknown, black, dry, zinc, cadmium, anti-seize, thread lock or stainless."""
    mu_low: float
    """The lowest friction; every figure is reckoned with it, since it stretches the screw most."""
    mu_high: float
    """The highest friction, which leaves the joint loosest."""
    k: float
    """The lowest nut factor of T = K d F that a handbook prints for the condition."""
    scatter_percent: float
    """Plus or minus on the preload with a torque wrench."""


class Mating(msgspec.Struct, frozen=True):
    """What a screw is screwed into."""

    metal: str
    """steel, aluminium, cast iron, brass or insert."""
    share: float
    """Torque in it against that in steel."""
    shear_mpa: float
    """Shear strength that may be counted on, MPa."""


def friction_of(condition: str) -> Friction:
    """The friction of a condition, also by everyday words: greased, zinc plated, copper paste.

    BadInput, with the conditions known, for any other.
    """
    found = _frictions().get(" ".join(condition.lower().split()))
    if found is None:
        known = dict.fromkeys(friction.condition for friction in _frictions().values())
        raise BadInput(f"The condition “{condition}” is not known; write {', '.join(known)}.")
    return found


@cache
def _frictions() -> dict[str, Friction]:
    found = {}
    for row in read_table("nut_factors"):
        friction = Friction(
            row["condition"],
            float(row["mu_low"]),
            float(row["mu_high"]),
            float(row["K"]),
            float(row["scatter_percent"]),
        )
        for word in (row["condition"], *row["words"].split("|")):
            found[word] = friction
    return found


def mating_of(metal: str) -> Mating:
    """The metal of the thread that takes the screw, also by everyday words: alloy, nut, iron.

    BadInput for none or an unknown one, Refused where no figure is safe (magnesium, stripped).
    """
    said = " ".join(metal.lower().split())
    for row in read_table("mating_metals"):
        if said not in (row["metal"], *row["words"].split("|")):
            continue
        if row["refused"]:
            raise Refused(
                f"No estimate into {row['metal']}: {row['refused'][0].lower()}{row['refused'][1:]}"
            )
        return Mating(row["metal"], float(row["share"]), float(row["shear_mpa"]))
    known = ", ".join(row["metal"] for row in read_table("mating_metals") if not row["refused"])
    if not said:
        raise BadInput(f"Say what it is screwed into: {known}.")
    raise BadInput(f"“{metal}” is not known as what a screw is screwed into; write {known}.")
