"""Drums and linings against their limits; the maker's figure always goes first."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache
from typing import Literal

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.published import read_table
from tagbench.trade.quantities.units import Quantity, millimetres
from tagbench.trade.wear.limits import CALIPER, Wear, judge, worst

#: Typical oversize of a small drum, mm over its original diameter (service sheets).
TYPICAL_OVERSIZE = millimetres(1)

Lining = Literal["riveted", "bonded", "small drum"]


@cache
def typical_linings() -> Mapping[str, Quantity]:
    """Least lining by its kind where the maker gives none; the table says where it is from."""
    return {
        row["kind"]: Quantity(millimetres(row["least_mm"]).value, "mm")
        for row in read_table("linings")
    }


class BrakeWear(msgspec.Struct, frozen=True):
    """A brake part against its limit."""

    wear: Wear
    """The verdict and what is left."""
    limit: Quantity
    """The limit it was held against."""
    typical: bool
    """True when the limit is only a typical one, because no maker's figure was given."""
    sentence: str
    """The same in words, with where the limit came from."""


def drum_wear(
    readings: Iterable[Quantity],
    nominal: Quantity,
    maximum: Quantity | None = None,
    uncertainty: Quantity = CALIPER,
) -> BrakeWear:
    """The largest inside diameter of a drum against its maximum, often cast in the drum.

    Without a maximum the typical oversize of 1 mm is taken and said to be so. BadInput without
    readings, or for a maximum under the nominal diameter.
    """
    limit = maximum or _oversize(nominal)
    if limit.number("mm") < nominal.number("mm"):
        raise BadInput("The largest allowed diameter is under the original one; check the two.")
    wear = judge(worst(readings, smallest=False), maximum=limit, uncertainty=uncertainty)
    return _with_source(wear, limit, typical=maximum is None)


def _oversize(nominal: Quantity) -> Quantity:
    allowed = nominal.to("mm").value + TYPICAL_OVERSIZE.value
    return Quantity(allowed, "mm").to(nominal.unit)


def lining_wear(
    readings: Iterable[Quantity],
    minimum: Quantity | None = None,
    kind: Lining = "small drum",
    uncertainty: Quantity = CALIPER,
) -> BrakeWear:
    """The thinnest place of a lining against its minimum; a riveted one is measured above the
    rivet heads. Without a minimum the typical one of its `kind` is taken and said to be so."""
    limit = minimum or typical_linings()[kind]
    wear = judge(worst(readings, smallest=True), minimum=limit, uncertainty=uncertainty)
    return _with_source(wear, limit, typical=minimum is None)


def _with_source(wear: Wear, limit: Quantity, typical: bool) -> BrakeWear:
    source = " The limit is only a typical one: look for the maker's figure." if typical else ""
    return BrakeWear(wear, limit, typical, wear.sentence + source)
