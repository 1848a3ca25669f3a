"""Codes and part numbers in a query, found however they are typed."""

from __future__ import annotations

import re
from bisect import bisect_left, insort
from collections import Counter, defaultdict
from collections.abc import Iterable

from tagbench.records import BIN_MARK
from tagbench.rules.buying.part_numbers import plain_number

EXACT, NO_CHECK, NEAR = 3.0, 2.8, 2.0
"""Score of a part whose very code was typed, with no or a wrong check character, one slip off."""

_SLIPS = str.maketrans("OQILSZBG", "00115286")
_FIGURES = frozenset("0123456789OQILSZBG")
"""Figures, and letters that are taken for one."""
_BEHIND_MARK = r"[-_./ ]?(?=[A-Z]*[0-9])[0-9OQILSZBG]{1,6}(?:[-_./ ]?[0-9A-Z])?"
"""What stands behind the mark in a code, `-011-W`, `11`, ` 011`; at least one true figure."""
_BEHIND_LETTER = r"-[0-9OQILSZBG]{1,6}(?:-?[0-9A-Z])?|[0-9]{3}[0-9A-Z]?"
"""The same behind a mark of one letter, which may as well be the M of a thread."""
_OF_NO_MARK = r"[A-Z]{2,3}-[0-9]{3,6}(?:-[0-9A-Z])?"
"""`XX-011-W`, a whole code whatever its mark."""
_IN_EVERY_CODE = re.compile(r"[-0-9]")
"""What stands in each of these spellings, so that words alone are told from a code at once."""
_SHORT = r"[0-9]{1,4}"
_CALLED_A_CODE = re.compile(r"\s*(?:tags?|codes?|labels?|bags?)\s+(?=\S*[0-9])", re.IGNORECASE)
"""What a code is called before it is typed."""
_LETTERS_AND_FIGURE = re.compile(r"(?!no|nr)[a-z]{2,3}[\s-]?[0-9]{1,6}", re.IGNORECASE)
"""`xx 61`, which is a code unless the letters are a word of the book."""
_PARTED = r"(?:[-_./ ][0-9]{1,6}|[0-9]{3})[-_./ ]\w\Z"
"""A check character behind its hyphen."""
_SERIAL_WIDTH = 3
"""Shorter numbers are filled up with zeros to so many figures; longer ones begin with none."""
MOST = 60
"""No more part numbers than this are followed from one beginning."""


def code_in(text: str) -> str:
    """The text without what a code is called, `tag 11` → `11`."""
    return _CALLED_A_CODE.sub("", text, count=1)


def is_letters_and_figure(text: str) -> bool:
    """Whether the text is two or three letters and a figure, as a short code is."""
    return bool(_LETTERS_AND_FIGURE.fullmatch(text.strip()))


class CodeBook:
    """The codes of all parts, and which of them a typed text may mean."""

    def __init__(self, codes: Iterable[str] = ()) -> None:
        """`codes`: taken in when something is first asked that may be a code."""
        self._to_add = list(codes)
        self._plain: dict[str, str] = {}
        self._serials: dict[tuple[str, int], str] = {}
        self._by_number: dict[int, set[str]] = defaultdict(set)
        self._marks: Counter[str] = Counter()

    def add(self, code: str) -> None:
        """Takes in a code such as `TP-017-7`."""
        mark, serial, _ = code.split("-")
        self._plain[code.replace("-", "")] = code
        self._serials[mark, int(serial)] = code
        self._by_number[int(serial)].add(code)
        self._marks[mark] += 1

    def drop(self, code: str) -> None:
        """Forgets a code."""
        self._add_all()
        mark, serial, _ = code.split("-")
        self._marks -= Counter([mark])
        self._plain.pop(code.replace("-", ""), None)
        self._serials.pop((mark, int(serial)), None)
        self._by_number[int(serial)].discard(code)

    def meant(self, text: str) -> dict[str, float]:
        """Codes the whole text may be, with their score; the very code comes alone.

        A number alone, `11`, is the code that ends in it when only one does. Where a code was
        typed that is not here, a different one never comes alone: it would be taken for it.
        """
        plain = plain_number(text)
        if not any(sign in _FIGURES for sign in plain):
            return {}
        if re.fullmatch(_SHORT, plain) and len(text.split()) == 1:
            self._add_all()
            fitting = self._by_number.get(int(plain), ())
            return dict.fromkeys(fitting, NO_CHECK) if len(fitting) == 1 else {}
        if not 3 <= len(plain) <= 12 or not plain.isascii() or len(text.split()) > 3:
            return {}
        self._add_all()
        readings = list(self._readings(plain, bool(re.search(_PARTED, text.strip()))))
        exact = {
            code: EXACT
            for code, check in readings
            if check and code[-1] in (check, check.translate(_SLIPS))
        }
        loose = {code: NO_CHECK for code, check in readings if not check}
        wrong = {code: NEAR for code, check in readings if check}
        if loose and not wrong:
            return loose
        near = wrong | loose or self._one_slip(plain)
        return exact or self._with_another(plain, near)

    def is_written_as_code(self, text: str) -> bool:
        """Whether the whole text is spelled as a code, so that no word or size is meant by it.

        With a mark of this book any spelling counts, `kr 110`; with another only the full one.
        """
        typed = text.strip(" ?!.,").upper()
        if not _IN_EVERY_CODE.search(typed):
            return False
        if re.fullmatch(_OF_NO_MARK, typed):
            return True
        self._add_all()
        return any(
            typed.startswith(mark)
            and not mark.isdecimal()
            and re.fullmatch(_BEHIND_MARK if len(mark) > 1 else _BEHIND_LETTER, typed[len(mark) :])
            for mark in self._marks
        )

    def unknown(self, text: str) -> str:
        """Says of a text that is written as a code and that no part has; else empty."""
        code = code_in(text).strip(" ?!.,").upper()
        if code.startswith(BIN_MARK) or not self.is_written_as_code(code):
            return ""
        if any(score > NEAR for score in self.meant(code).values()):
            return ""
        mark = re.split(r"[-_./ ]", code)[0]
        strange = mark.isalpha() and mark not in self._marks
        whose = f"; nothing here has the mark {mark}" if strange else ""
        return f"No part has the code {code}{whose}"

    def _add_all(self) -> None:
        waiting, self._to_add = self._to_add, []
        for code in waiting:
            self.add(code)

    def _with_another(self, plain: str, near: dict[str, float]) -> dict[str, float]:
        """The next nearest code beside a single one that differs from the one that was typed."""
        if len(near) != 1:
            return near
        (only,) = near
        others = [code for code in self._plain if self._plain[code] != only]
        from rapidfuzz import process
        from rapidfuzz.distance import OSA

        closest = process.extractOne(plain, others, scorer=OSA.distance, score_cutoff=3)
        return near | {self._plain[closest[0]]: NEAR - 0.1} if closest else {}

    def _readings(self, plain: str, parted: bool) -> Iterable[tuple[str, str]]:
        """(code, typed check character) for each way to take the text apart.

        `parted`: the last character stands apart, so that it is the check character.
        """
        for cut in range(1, 4):
            mark, rest = plain[:cut], plain[cut:]
            tail = rest[-1:]
            digits = rest[:-1].translate(_SLIPS)
            known = digits.isdecimal() and (mark, int(digits)) in self._serials
            lettered = len(mark) > 1 and tail.isalpha() and tail not in _FIGURES
            if known and (parted or lettered or len(digits) >= _SERIAL_WIDTH):
                yield self._serials[mark, int(digits)], tail
            whole = rest.translate(_SLIPS)
            if parted or (whole[:1] == "0" and len(whole) > _SERIAL_WIDTH):
                continue
            enough = len(rest) >= 3 or (len(mark) > 1 and bool(rest))
            if enough and whole.isdecimal() and (mark, int(whole)) in self._serials:
                yield self._serials[mark, int(whole)], ""

    def _one_slip(self, plain: str) -> dict[str, float]:
        if len(plain) < 5 or sum(sign.isdigit() for sign in plain) < 3:
            return {}
        from rapidfuzz import process
        from rapidfuzz.distance import OSA

        near = process.extract(
            plain, list(self._plain), scorer=OSA.distance, score_cutoff=1, limit=5
        )
        return {self._plain[code]: NEAR for code, _, _ in near}


def _stands_in(plain: str, number: str) -> bool:
    """Whether it is a piece of a number of its own; 6202 is none of 162021."""
    at = number.find(plain)
    if at < 0:
        return False
    before, behind = number[at - 1 : at], number[at + len(plain) : at + len(plain) + 1]
    cut_before = plain[0].isdigit() and before.isdigit()
    return not (cut_before or (plain[-1].isdigit() and behind.isdigit()))


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
        inside = {number: 0.7 for number in self._sorted if _stands_in(plain, number)}
        if inside or len(plain) < 6:
            return dict(list(inside.items())[:MOST])
        from rapidfuzz import process
        from rapidfuzz.distance import OSA

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
