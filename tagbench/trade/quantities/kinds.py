"""The registry of kinds of quantity: lengths, torques, pressures, angles.

One entry of `KINDS` is all that a new kind takes: its units with exact factors, every spelling of
them in use, and the examples that refusals give. Settings, readings and fields then read and
convert its units. All factors are exact: the inch is 25.4 mm (international yard, 1959), the pound
0.45359237 kg, standard gravity 9.80665 m/s²; pint agrees with each of them in the tests.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import NamedTuple

_INCH_MM = Fraction("25.4")
_KGF_N = Fraction("9.80665")
_LBF_N = Fraction("0.45359237") * _KGF_N
_OZF_N = _LBF_N / 16
_FOOT_M = _INCH_MM * 12 / 1000

_POUND = "lbf lbsf lb lbs pound pounds poundforce"
_OUNCE = "ozf oz ounce ounces ounceforce"
_KILOGRAM = "kgf kg kp kilogram kilograms kilopond kiloponds"
_FOOT = "ft foot feet"
_INCH = "in inch inches"
_METRE = "m metre metres meter meters"
_CENTIMETRE = "cm centimetre centimetres centimeter centimeters"

#: Unit → the words for its force and for its arm; people write them in either order.
TORQUE_WORDS = {
    "N·m": ("n newton newtons", _METRE),
    "N·cm": ("n newton newtons", _CENTIMETRE),
    "daN·m": ("dan decanewton decanewtons", _METRE),
    "lbf·ft": (_POUND, _FOOT),
    "lbf·in": (_POUND, _INCH),
    "ozf·in": (_OUNCE, _INCH),
    "kgf·m": (_KILOGRAM, _METRE),
    "kgf·cm": (_KILOGRAM, _CENTIMETRE),
}


class UnitKind(NamedTuple):
    """One kind of quantity."""

    name: str
    """length, torque, pressure, angle."""
    factors: Mapping[str, Fraction]
    """Standard spelling of a unit → how many of the first unit there are in one of it, exact."""
    spellings: Mapping[str, str]
    """Every spelling, in lower case without blanks, points and strokes → the standard one."""
    accepted: str
    """The units that a person may type, as words for a sentence."""
    examples: str
    """Figures of that kind, as words for a sentence."""


def _spellings(words: Mapping[str, str]) -> dict[str, str]:
    return {word: unit for unit, text in words.items() for word in text.split()}


def _torque_spellings() -> dict[str, str]:
    words: dict[str, str] = {}
    for unit, (forces, arms) in TORQUE_WORDS.items():
        for force in forces.split():
            for arm in arms.split():
                words[force + arm] = words.setdefault(arm + force, unit)
    return words


LENGTH = UnitKind(
    "length",
    {
        "mm": Fraction(1),
        "cm": Fraction(10),
        "m": Fraction(1000),
        "µm": Fraction(1, 1000),
        "in": _INCH_MM,
        "ft": _INCH_MM * 12,
        "thou": _INCH_MM / 1000,
    },
    _spellings(
        {
            "mm": "mm millimetre millimetres millimeter millimeters",
            "cm": "cm centimetre centimetres centimeter centimeters",
            "m": "m metre metres meter meters",
            "µm": "µm μm um micron microns micrometre micrometres micrometer micrometers",
            "in": "in ins inch inches \" ″ ” “ '' ′′ ’’",
            "ft": "ft foot feet ' ′ ’",
            "thou": "thou thous thousandth thousandths thousandthsofaninch",
        }
    ),
    "mm, cm, m, µm, in, ft or thou",
    "4.95 mm, 3/8 in, 1-1/4 in or 13 thou",
)
TORQUE = UnitKind(
    "torque",
    {
        "N·m": Fraction(1),
        "N·cm": Fraction(1, 100),
        "daN·m": Fraction(10),
        "lbf·ft": _LBF_N * _FOOT_M,
        "lbf·in": _LBF_N * _INCH_MM / 1000,
        "ozf·in": _OZF_N * _INCH_MM / 1000,
        "kgf·m": _KGF_N,
        "kgf·cm": _KGF_N / 100,
    },
    _torque_spellings(),
    "N·m, lbf·ft, lbf·in, kgf·m, kgf·cm or ozf·in",
    "8-10 N·m, 32 to 44 lbf·ft or 25 kgf·cm",
)
PRESSURE = UnitKind(
    "pressure",
    {
        "kPa": Fraction(1),
        "bar": Fraction(100),
        "psi": _LBF_N / (_INCH_MM / 1000) ** 2 / 1000,
        "kgf/cm²": _KGF_N * 10,
    },
    _spellings(
        {
            "kPa": "kpa kilopascal kilopascals",
            "bar": "bar bars",
            "psi": "psi lbfin² lbin² lbfsqin lbsqin",
            "kgf/cm²": "kgfcm² kgcm² kpcm²",
        }
    ),
    "bar, kPa, psi or kgf/cm²",
    "1.8 bar, 180 kPa or 26 psi",
)
ANGLE = UnitKind(
    "angle",
    {"°": Fraction(1), "′": Fraction(1, 60)},
    _spellings({"°": "° deg degs degree degrees", "′": "arcmin arcmins arcminute arcminutes"}),
    "° or arcmin",
    "24° or 1.5 degrees",
)
KINDS: Mapping[str, UnitKind] = {kind.name: kind for kind in (LENGTH, TORQUE, PRESSURE, ANGLE)}
"""Name → kind of quantity."""

LENGTH_MM = LENGTH.factors
"""Millimetres in one of each."""


def kind_of_unit(unit: str) -> UnitKind | None:
    """The kind that a unit in its standard spelling belongs to; None for an unknown one."""
    return next((kind for kind in KINDS.values() if unit in kind.factors), None)
