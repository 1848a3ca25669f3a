"""Sizes of inch threads as people write them, and the threads there are in a size."""

from __future__ import annotations

import re
from fractions import Fraction

from tagbench.errors import BadInput
from tagbench.trade.threads.sizes import inch_by_size, inch_size
from tagbench.trade.threads.thread import Thread

_LONE_NUMBER = re.compile(r"^[0-9]{1,2}$")


def named_size(found: re.Match[str], tpi: Fraction | None, series: str) -> str:
    """The size in its standard spelling, from a match with the groups number, inch and mark.

    `tpi` and `series` help where `10` may be a number size or inches. BadInput for no size.
    """
    if found["number"]:
        return _number_size(int(found["number"]))
    text = found["inch"].replace(" ", "-")
    if _LONE_NUMBER.match(text):
        return text if found["mark"] else _number_or_inches(int(text), tpi, series)
    if "." in text:
        return _decimal_size(Fraction(text))
    parts = [int(part) for part in re.split("[-/]", text)]
    if parts[-1] == 0 or parts[-2] >= parts[-1]:
        raise BadInput(f"“{text}” is not a thread size; write a fraction such as 5/16.")
    fraction = Fraction(parts[-2], parts[-1])
    return f"{parts[0]}-{fraction}" if len(parts) == 3 else str(fraction)


def _number_size(number: int) -> str:
    if number > 14:
        raise BadInput(f"There is no number size #{number}; they run from #0 to #12.")
    return f"#{number}"


def _number_or_inches(number: int, tpi: Fraction | None, series: str) -> str:
    """`10-32` is a number size and `1-8` one inch: the tables decide, then what can be.

    `1 UNC` without a pitch is one inch, since nobody leaves it out of a number size that small.
    """
    sizes = (f"#{number}", str(number))
    for size in sizes if tpi else sizes[::-1]:
        for thread in inch_by_size().get(size, ()):
            same_pitch = tpi is None or abs(thread.threads_per_inch - float(tpi)) < 0.01
            if same_pitch and series in ("", thread.series):
                return size
    return str(number) if 0 < number <= 4 and (tpi is None or tpi < 40) else _number_size(number)


def _decimal_size(value: Fraction) -> str:
    for size in inch_by_size():
        if abs(inch_size(size) - value) < Fraction(6, 10000):
            return size
    raise BadInput(f"{float(value):g} in is not in the tables; write a fraction such as 5/16.")


def size_choices(size: str, series: str = "") -> str:
    """`write 1/4-20 UNC or 1/4-28 UNF`: the threads of a size, for the end of a message."""
    return write_one_of([t for t in inch_by_size().get(size, ()) if series in ("", t.series)])


def write_one_of(known: list[Thread]) -> str:
    """`write …` with these threads, or with examples when there are none."""
    names = " or ".join(thread.designation for thread in known)
    return f"write {names}" if names else "write it as 1/4-20, #10-32 or 1/4 BSW"
