"""The torque wrench: what to set with an extension on it, and whether its scale suits.

Formula of US Army TM 9-254 ch. 4: setting = wanted L / (L + E cos a), where L is the wrench
from its drive to the middle of the grip, E the extension from drive to fastener, and a the
angle between them: 0 straight on, 90 square to it, 180 folded back.
"""

from __future__ import annotations

from fractions import Fraction
from math import cos, radians
from typing import Literal

import msgspec

from tagbench.errors import BadInput
from tagbench.trade.quantities.shown import significant
from tagbench.trade.quantities.units import Quantity, Range, convert

#: Share of full scale in which a wrench is at its best, and below which it is not to be trusted
#: (US Army TM 1-1500-204-23-9 ch. 8).
_BEST = (Fraction(30, 100), Fraction(80, 100))
_TRUSTED_FROM = Fraction(20, 100)
#: A correction larger than this is usually a length measured from the wrong place.
_LARGEST_FACTOR = 4


class Lever(msgspec.Struct, frozen=True):
    """A torque wrench with an extension on its drive."""

    wrench: Quantity
    """From the drive to the middle of the grip."""
    extension: Quantity
    """From the drive to the middle of the fastener."""
    angle_deg: float = 0.0
    """Between wrench and extension: 0 straight on, 90 square, 180 folded back."""

    def factor(self) -> Fraction:
        """Torque at the fastener divided by the setting; BadInput for an impossible lever."""
        wrench, extension = (length.to("mm").value for length in (self.wrench, self.extension))
        if wrench <= 0 or extension < 0:
            raise BadInput("The wrench needs a length and the extension none or more, as 300 mm.")
        if not 0 <= self.angle_deg <= 180:
            raise BadInput("The angle of the extension lies between 0 (straight) and 180 (back).")
        reach = wrench + extension * _cosine(self.angle_deg)
        if reach <= wrench / _LARGEST_FACTOR:
            raise BadInput(
                "Folded back so far the extension takes the lever away;"
                " use a shorter extension or set it at 90 degrees."
            )
        return reach / wrench


def _cosine(angle_deg: float) -> Fraction:
    """The cosine, exact for 0, 60, 90, 120 and 180 degrees."""
    return Fraction(round(cos(radians(angle_deg)), 12)).limit_denominator(10**9)


def wrench_setting(wanted: Range, lever: Lever) -> Range:
    """What to set so that the fastener gets `wanted`, in the same unit."""
    factor = lever.factor()
    return Range(wanted.low / factor, wanted.high / factor, wanted.unit)


def torque_given(setting: Range, lever: Lever) -> Range:
    """What the fastener gets when the wrench is set to `setting`, in the same unit."""
    factor = lever.factor()
    return Range(setting.low * factor, setting.high * factor, setting.unit)


class Scale(msgspec.Struct, frozen=True):
    """How a setting lies on the scale of a wrench."""

    verdict: Literal["good", "usable", "wrong wrench"]
    """good: 30 to 80 % of full scale; usable: 20 to 100 %; else take another wrench."""
    low_percent: float
    """Low setting in percent of full scale."""
    high_percent: float
    """High setting in percent of full scale."""
    sentence: str
    """The same in words, with the range to look for in another wrench."""


def on_the_scale(setting: Range, full_scale: Quantity, bottom: Quantity | None = None) -> Scale:
    """Whether a wrench that reads up to `full_scale` (a torque) suits the setting.

    A setting under the `bottom` of its scale suits no wrench. BadInput when the full scale is
    nothing or a length.
    """
    full = convert(full_scale.value, full_scale.unit, setting.unit)
    if full <= 0:
        raise BadInput("A torque wrench reads up to more than zero, such as 60 N·m.")
    low, high = setting.low / full, setting.high / full
    begins = Fraction(0) if bottom is None else convert(bottom.value, bottom.unit, setting.unit)
    verdict = _verdict(low, high) if setting.low >= begins else "wrong wrench"
    sizes = _full_scales(setting.high / _BEST[1], setting.low / _BEST[0])
    sentence = {
        "good": "In the best part of the scale, 30 to 80 % of full scale.",
        "usable": f"Usable; best is a wrench with a full scale of {sizes} {setting.unit}.",
        "wrong wrench": f"Take a wrench with a full scale of {sizes} {setting.unit}.",
    }[verdict]
    return Scale(verdict, float(100 * low), float(100 * high), sentence)


def _full_scales(smallest: Fraction, largest: Fraction) -> str:
    """The wrenches to look for; a range too wide for any one is served best by the larger end."""
    shown = significant(smallest)
    return shown if smallest >= largest else f"{shown} to {significant(largest)}"


def _verdict(low: Fraction, high: Fraction) -> Literal["good", "usable", "wrong wrench"]:
    if _BEST[0] <= low and high <= _BEST[1]:
        return "good"
    if low >= _TRUSTED_FROM and high <= 1:
        return "usable"
    return "wrong wrench"
