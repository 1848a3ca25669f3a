"""How people write units: every spelling in use, and the one it stands for."""

from __future__ import annotations

import re
from collections.abc import Iterable

from tagbench.errors import BadInput
from tagbench.trade.quantities.units import LENGTH_MM, TORQUE_NM

#: What may stand between the two halves of a torque unit, or after an abbreviation.
_FILLING = re.compile(r"[\s.·•⋅∙‧*×/\-‐‑–]+")

_LENGTH_WORDS = {
    "mm": "mm millimetre millimetres millimeter millimeters",
    "cm": "cm centimetre centimetres centimeter centimeters",
    "m": "m metre metres meter meters",
    "µm": "µm μm um micron microns micrometre micrometres micrometer micrometers",
    "in": "in ins inch inches \" ″ ” “ '' ′′ ’’",
    "ft": "ft foot feet ' ′ ’",
    "thou": "thou thous thousandth thousandths thousandthsofaninch",
}

_POUND = "lbf lbsf lb lbs pound pounds poundforce"
_OUNCE = "ozf oz ounce ounces ounceforce"
_KILOGRAM = "kgf kg kp kilogram kilograms kilopond kiloponds"
_FOOT = "ft foot feet"
_INCH = "in inch inches"
_METRE = "m metre metres meter meters"
_CENTIMETRE = "cm centimetre centimetres centimeter centimeters"

#: Unit → the words for its force and for its arm; people write them in either order.
_TORQUE_WORDS = {
    "N·m": ("n newton newtons", _METRE),
    "N·cm": ("n newton newtons", _CENTIMETRE),
    "daN·m": ("dan decanewton decanewtons", _METRE),
    "lbf·ft": (_POUND, _FOOT),
    "lbf·in": (_POUND, _INCH),
    "ozf·in": (_OUNCE, _INCH),
    "kgf·m": (_KILOGRAM, _METRE),
    "kgf·cm": (_KILOGRAM, _CENTIMETRE),
}


def _spellings() -> dict[str, str]:
    words = {word: unit for unit, text in _LENGTH_WORDS.items() for word in text.split()}
    for unit, (forces, arms) in _TORQUE_WORDS.items():
        for force in forces.split():
            for arm in arms.split():
                words[force + arm] = words.setdefault(arm + force, unit)
    return words


_SPELLINGS = _spellings()

_ACCEPTED = {
    "length": "mm, cm, m, µm, in, ft or thou",
    "torque": "N·m, lbf·ft, lbf·in, kgf·m, kgf·cm or ozf·in",
}
_KNOWN = {"length": LENGTH_MM, "torque": TORQUE_NM}


def accepted_units(kind: str) -> str:
    """The units a person may type for a "length" or a "torque", as words for a sentence."""
    return _ACCEPTED[kind]


def standard_unit(text: str, kind: str) -> str:
    """The standard spelling of a unit of `kind` ("length" or "torque").

    BadInput for an unknown unit, for one of the other kind, and for "mil", which is a
    thousandth of an inch to some people and a millimetre to others.
    """
    word = _FILLING.sub("", text.lower())
    unit = _SPELLINGS.get(word, "")
    if unit in _KNOWN[kind]:
        return unit
    if word in ("mil", "mils"):
        raise BadInput('"mil" means different things to different people: write thou or mm.')
    if unit:
        raise BadInput(f'"{text}" is no unit of {kind}; write {_ACCEPTED[kind]}.')
    raise BadInput(f'The unit "{text}" is not understood; write {_ACCEPTED[kind]}.')


def _longest_first(texts: Iterable[str]) -> str:
    words = {word for text in texts for word in text.split()}
    return "|".join(sorted(words, key=lambda word: (-len(word), word)))


def _torque_pattern() -> str:
    fill = r"[\s.·•⋅∙‧*/-]{0,2}"
    force, arm = (_longest_first(texts) for texts in zip(*_TORQUE_WORDS.values(), strict=True))
    return rf"(?:(?:{force}){fill}(?:{arm})|(?:{arm}){fill}(?:{force}))(?![A-Za-z])"


#: Matches the spelling of a torque unit inside a longer text (ignore case); `standard_unit`
#: then says whether there is such a unit.
TORQUE_UNIT = _torque_pattern()
