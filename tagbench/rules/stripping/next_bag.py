"""The bag after this one: `Shelf A / Box 2 / Bag 7` → `Shelf A / Box 2 / Bag 8`."""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import count

_LAST_NUMBER = re.compile(r"^(.*?)([0-9]+)([^0-9]*)$")


def next_bag(text: str, taken: Iterable[str], by: int = 1) -> str:
    """The first free bin after a typed one, numbered on; leading zeros keep their width.

    With `by` -1 the bin numbered one lower, whether it is free or not; the lowest is 1.

    `taken` are the bins there are, as they are typed. A bin without a number goes on with 2, an
    empty text begins with `Bag 1`.
    """
    used = {one.casefold() for one in taken}
    *outer, last = text.rpartition("/")
    found = _LAST_NUMBER.match(last)
    head, digits, tail = found.groups() if found else (f"{last} ", "1", "")
    if by < 0:
        number = max(1, int(digits) - 1)
        return "".join([*outer, head, f"{number:0{len(digits)}d}", tail]) if found else text
    if not text.strip():
        head, digits, tail = "Bag ", "0", ""
    numbers = (f"{number:0{len(digits)}d}" for number in count(int(digits) + 1))
    bags = ("".join([*outer, head, number, tail]) for number in numbers)
    return next(bag for bag in bags if bag.casefold() not in used)
