"""Colours of wires by the two-letter codes of IEC 60757: `BN`, `BUYE` for blue with yellow.

The base colour stands first and the stripe behind it, as on the wiring diagrams of vehicles; IEC
60757 itself lists the colours of a combination in the order of its table and knows no base colour.
"""

from __future__ import annotations

import re
from functools import cache

from tagbench.errors import BadInput
from tagbench.trade.published import read_table

_BETWEEN = re.compile(r"[\s/+\-–]+|\bwith\b|\band\b|\bstripes?\b|\btracer\b", re.IGNORECASE)


@cache
def codes() -> dict[str, str]:
    """Code → colour in a word, in the order of the table."""
    return {row["code"]: row["colour"] for row in read_table("wire_colours")}


@cache
def _words() -> dict[str, str]:
    found = {
        word: row["code"] for row in read_table("wire_colours") for word in row["words"].split()
    }
    return found | {code.casefold(): code for code in codes()}


def read_colour(text: str) -> str:
    """The code of a colour as it is typed: `bn`, `brown`, `GNYE`, `green/yellow` → `GNYE`.

    BadInput for what is no colour; a single letter is refused, since each old maker had their own.
    """
    found: list[str] = []
    for word in filter(None, _BETWEEN.split(text.strip())):
        found += _one(word, text)
    if not found:
        raise BadInput(f"Say the colour of the wire: {', '.join(codes())}, or in words.")
    if len(found) > 3:
        raise BadInput(f"“{text.strip()}” is more than three colours.")
    return "".join(found)


def _one(word: str, whole: str) -> list[str]:
    plain = word.casefold()
    if plain in _words():
        return [_words()[plain]]
    pairs = [plain[at : at + 2] for at in range(0, len(plain), 2)]
    if len(plain) % 2 == 0 and all(pair.upper() in codes() for pair in pairs):
        return [pair.upper() for pair in pairs]
    raise BadInput(
        f"“{whole.strip()}” is not a colour of a wire; write {', '.join(codes())}, or the word, "
        "with the stripe behind the base: BUYE or blue/yellow."
    )


def is_colour(text: str) -> bool:
    """Whether a text is a colour."""
    try:
        read_colour(text)
    except BadInput:
        return False
    return True


def colour_words(code: str) -> str:
    """`BUYE` → `blue with yellow`."""
    base, *stripes = [codes().get(code[at : at + 2], code) for at in range(0, len(code), 2)]
    return f"{base} with {' and '.join(stripes)}" if stripes else base
