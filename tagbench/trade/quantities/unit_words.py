"""How people write units: from a spelling in use to the standard one."""

from __future__ import annotations

import re
from collections.abc import Iterable

from tagbench.errors import BadInput
from tagbench.trade.quantities.kinds import KINDS

#: What may stand between the two halves of a torque unit, or after an abbreviation.
_FILLING = re.compile(r"[\s.·•⋅∙‧*×/\-‐‑–]+")


def accepted_units(kind: str) -> str:
    """The units that a person may type for one of `KINDS`, as words for a sentence."""
    return KINDS[kind].accepted


def standard_unit(text: str, kind: str) -> str:
    """The standard spelling of a unit of one of `KINDS`.

    BadInput for an unknown unit, for one of the other kind, and for "mil", which is a
    thousandth of an inch to some people and a millimetre to others.
    """
    word = _FILLING.sub("", text.lower())
    unit = KINDS[kind].spellings.get(word, "")
    if unit:
        return unit
    if word in ("mil", "mils"):
        raise BadInput('"mil" means different things to different people: write thou or mm.')
    if any(word in other.spellings for other in KINDS.values()):
        raise BadInput(f"“{text}” is not a unit of {kind}; write {KINDS[kind].accepted}.")
    raise BadInput(f"The unit “{text}” is not understood; write {KINDS[kind].accepted}.")


def _longest_first(texts: Iterable[str]) -> str:
    words = {word for text in texts for word in text.split()}
    return "|".join(sorted(words, key=lambda word: (-len(word), word)))


def _torque_pattern() -> str:
    fill = r"[\s.·•⋅∙‧*/-]{0,2}"
    halves = KINDS["torque"].halves.values()
    force, arm = (_longest_first(texts) for texts in zip(*halves, strict=True))
    return rf"(?:(?:{force}){fill}(?:{arm})|(?:{arm}){fill}(?:{force}))(?![A-Za-z])"


#: Matches the spelling of a torque unit inside a longer text (ignore case); `standard_unit`
#: then says whether there is such a unit.
TORQUE_UNIT = _torque_pattern()
