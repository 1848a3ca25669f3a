"""Notes dictated to a telephone: signs and sizes in words, `M six by twenty full stop`."""

from __future__ import annotations

import re
from types import MappingProxyType

from tagbench.trade.fasteners.vocabulary import count_said, fold

_ONES = (
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
)  # fmt: skip
_TENS = MappingProxyType(
    {"twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70,
     "eighty": 80, "ninety": 90}
)  # fmt: skip
_NUMBER = (
    rf"(?:(?:{'|'.join(_TENS)})(?:[\s-](?:{'|'.join(_ONES[:9])})\b)?"
    rf"|{'|'.join(sorted(_ONES, key=len, reverse=True))})"
)
_SIGNS = {"full stop": ".", "comma": ",", "new line": ";", "newline": ";", "semicolon": ";"}
_SIGN = re.compile(r"\s(full stop|comma|new\s?line|semicolon)(?=\s|$)", re.IGNORECASE)
_SIZE = re.compile(
    rf"\bM\s?(?P<thread>{_NUMBER}|[1-9][0-9]?)(?:\s(?:by|x|times)\s(?P<long>{_NUMBER}|[1-9][0-9]{{0,2}}))?\b",
    re.IGNORECASE,
)
#: A length behind a fraction of an inch: half inch by four, three eighths by one.
_INCHES = re.compile(
    rf"(?P<thread>\b(?:half|quarter|eighths?|sixteenths?|quarters?|inch))\sby\s(?P<long>{_NUMBER})\b"
    r"(?!\s(?:bolts?|screws?|nuts?|washers?|studs?)\b)",
    re.IGNORECASE,
)
#: A size without its M: three bolts six by sixteen.
_BARE_SIZE = re.compile(
    rf"(?<=s\s)(?P<a>{_NUMBER})\sby\s(?P<b>{_NUMBER})\b"
    r"(?!\s(?:bolts?|screws?|nuts?|washers?)\b)",
    re.IGNORECASE,
)
_QUANTITY = re.compile(rf"\b(?P<qty>qty|quantity)\.?:?\s(?P<n>{_NUMBER})\b", re.IGNORECASE)
#: The number of a bag or box, which counts nothing in it.
_BAG = re.compile(rf"\b(?P<bag>bag|box|tin|tray|jar)\s(?:number|no)\s(?P<n>{_NUMBER})\b", re.I)


def in_signs(text: str) -> str:
    """The text with the signs and sizes that were spelled out in it.

    >>> in_signs("four bolts M six by twenty five comma four washers full stop")
    'four bolts M6x25, four washers.'
    """
    if "“" in text:
        return text
    text = _SIGN.sub(lambda found: _SIGNS[" ".join(fold(found[1]).split())], text)
    text = _BAG.sub(lambda found: f"{found['bag']} {_many(found['n'])},", text)
    text = _QUANTITY.sub(lambda found: f"{found['qty']} {_many(found['n'])}", text)
    text = _BARE_SIZE.sub(lambda found: f"{_many(found['a'])}x{_many(found['b'])}", text)
    text = _INCHES.sub(lambda found: f"{found['thread']} x {_many(found['long'])}", text)
    return _SIZE.sub(_in_figures, text)


def _in_figures(found: re.Match[str]) -> str:
    if not (found["thread"][0].isalpha() or (found["long"] or "")[:1].isalpha()):
        return found[0]
    size = f"M{_many(found['thread'])}"
    return f"{size}x{_many(found['long'])}" if found["long"] else size


def _many(said: str) -> int:
    """The number that words say: 25 for twenty five."""
    words = fold(said).replace("-", " ").split()
    return sum(_TENS.get(word) or count_said(word) for word in words)
