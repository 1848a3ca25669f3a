"""Codes and part numbers in a query, found however they are typed."""

from __future__ import annotations

import re
from bisect import bisect_left, insort
from collections.abc import Iterable

from rapidfuzz import process
from rapidfuzz.distance import OSA

from tagbench.rules.buying.part_numbers import plain_number

EXACT, NO_CHECK, NEAR = 3.0, 2.8, 2.0
"""Score of a part whose very code was typed, with no or a wrong check character, one slip off."""

_SLIPS = str.maketrans("OIL", "011")
_SERIAL = re.compile(r"(\d+)([0-9A-Z]?)")
MOST = 60
"""No more part numbers than this are followed from one beginning."""


class CodeBook:
    """The codes of all parts, and which of them a typed text may mean."""

    def __init__(self) -> None:
        self._plain: dict[str, str] = {}
        self._serials: dict[tuple[str, int], str] = {}

    def add(self, code: str) -> None:
        """Takes in a code such as `TP-017-7`."""
        mark, serial, _ = code.split("-")
        self._plain[code.replace("-", "")] = code
        self._serials[mark, int(serial)] = code

    def drop(self, code: str) -> None:
        """Forgets a code."""
        mark, serial, _ = code.split("-")
        self._plain.pop(code.replace("-", ""), None)
        self._serials.pop((mark, int(serial)), None)

    def meant(self, text: str) -> dict[str, float]:
        """Codes the whole text may be, with their score; the very code comes alone."""
        plain = plain_number(text)
        if not 4 <= len(plain) <= 12 or not plain.isascii() or len(text.split()) > 3:
            return {}
        readings = list(self._readings(plain))
        exact = {code: EXACT for code, check in readings if check == code[-1]}
        loose = {code: NO_CHECK for code, check in readings if not check}
        wrong = {code: NEAR for code, check in readings if check}
        return exact or loose or wrong or self._one_slip(plain)

    def _readings(self, plain: str) -> Iterable[tuple[str, str]]:
        """(code, typed check character) for each way to take the text apart."""
        for cut in range(1, 4):
            mark, rest = plain[:cut], plain[cut:]
            tail = rest[-1:]
            digits = rest[:-1].translate(_SLIPS)
            known = digits.isdecimal() and (mark, int(digits)) in self._serials
            if known and len(digits) >= 3:
                yield self._serials[mark, int(digits)], tail
            whole = rest.translate(_SLIPS)
            enough = len(rest) >= 3 or (len(mark) > 1 and len(rest) == 2)
            if enough and whole.isdecimal() and (mark, int(whole)) in self._serials:
                yield self._serials[mark, int(whole)], ""

    def _one_slip(self, plain: str) -> dict[str, float]:
        if len(plain) < 5 or sum(sign.isdigit() for sign in plain) < 3:
            return {}
        near = process.extract(
            plain, list(self._plain), scorer=OSA.distance, score_cutoff=1, limit=5
        )
        return {self._plain[code]: NEAR for code, _, _ in near}


class NumberBook:
    """The part numbers of all parts in their plain form."""

    def __init__(self) -> None:
        self._sorted: list[str] = []

    def add(self, plain: str) -> None:
        """Takes in a part number in its plain form."""
        at = bisect_left(self._sorted, plain)
        if self._sorted[at : at + 1] != [plain]:
            insort(self._sorted, plain)

    def meant(self, text: str) -> dict[str, float]:
        """Plain numbers the text may be, with how near each is (1 the very number)."""
        plain = plain_number(text)
        if len(plain) < 4 or not any(sign.isdigit() for sign in plain):
            return {}
        begun = self._begun_with(plain)
        if begun or 2 * sum(sign.isdigit() for sign in plain) < len(plain):
            return begun
        inside = {number: 0.7 for number in self._sorted if plain in number}
        if inside or len(plain) < 6:
            return dict(list(inside.items())[:MOST])
        near = process.extract(plain, self._sorted, scorer=OSA.distance, score_cutoff=1, limit=MOST)
        return {number: 0.75 for number, _, _ in near}

    def _begun_with(self, plain: str) -> dict[str, float]:
        at = bisect_left(self._sorted, plain)
        found: dict[str, float] = {}
        for number in self._sorted[at : at + MOST]:
            if not number.startswith(plain):
                break
            found[number] = 1.0 if number == plain else 0.7 + 0.25 * len(plain) / len(number)
        return found
