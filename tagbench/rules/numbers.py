"""Part numbers however they are typed."""

from __future__ import annotations

from functools import lru_cache

from tagbench.rules.words import fold


@lru_cache(maxsize=65536)
def plain_number(text: str) -> str:
    """A part number without blanks, dashes, dots, slashes and case: `12 345-67a` → `1234567A`.

    Two numbers are the same when this form is the same.
    """
    return "".join(sign for sign in fold(text).upper() if sign.isalnum())
