"""Which screw goes in which hole, said in one line: `cover: 2 long at 12 and 6, 3 short else`.

Such a line is cut into a piece for each sort of screw and the holes it goes into, so that the
figures of a clock face are never taken for counts, lengths or spanners.
"""

from __future__ import annotations

import re
from typing import NamedTuple

OTHER_HOLES = "all other holes"
"""The place of the screws for which no hole was named."""

_HOUR = r"(?:half past\s+)?(?:1[0-2]|[1-9])(?:[:.][0-5]\d|\s*½)?(?!\d)"
_JOIN = r"\s*(?:,\s*and\s|,|&|\+|\band\b)\s*"
_CLOCK = r"\s*o\s*['’]?\s*clock\b"
_NO_HOUR = r"(?![\w.,:½]*\s*(?:[x×]|(?:mm|off|long|short|of)\b))"
_HOURS = rf"{_HOUR}(?:{_CLOCK})?(?:{_JOIN}{_HOUR}(?:{_CLOCK})?{_NO_HOUR})*"
_AT = re.compile(
    rf"(?:\bat\s+|@\s*)(?P<hours>{_HOURS})(?![\w.:]*\s*(?:mm|N·?m|nm|lbf|°|deg))", re.I
)
_REST = re.compile(
    r"\b(?:everywhere\s+else|else(?:where)?|(?:in\s+)?(?:all\s+)?the\s+(?:rest|others?)"
    r"|(?:in\s+)?all\s+(?:the\s+)?others?(?:\s+holes)?|(?:in\s+)?the\s+other\s+holes)\b",
    re.I,
)
_END = re.compile(r"\s*(?:[,;+&]|\band\b|$)\s*", re.I)
_HEAD = re.compile(r"(?P<head>[^:;]*?(?:[^\W\d_]|\d/\d)[^:;]*?)\s*:\s+(?=\S)")
_COUNT = re.compile(r"(?P<count>\d+)\s*(?:[x×]\s*|\boff\b\s*|\s)(?P<rest>\S.*)", re.I)
_SORT = re.compile(
    r"(?:(?:the|very|extra)\s+)*(?:long|short|medium|middle)(?:er|est)?(?:\s+ones?)?"
    r"(?:\s+(?P<kind>screws?|bolts?|studs?|nuts?))?",
    re.I,
)
_SIZE = re.compile(r"(?:M\d|#\d|\d+/\d+|\d+\s?BA\b|\d+-\d+)", re.I)
_THREAD = re.compile(r"(?:M\d|#\d|\d+/\d+-|\d+\s?BA\b)", re.I)
_LENGTH = re.compile(
    r"(?P<length>\d+(?:[.,]\d+|(?:-\d+)?/\d+)?)(?:\s*(?:mm|in\b|\"))?(?:\s+long)?\b\s*(?P<rest>.*)",
    re.I,
)


class HoleGroup(NamedTuple):
    """One sort of screw and the holes it goes into."""

    screw: str
    """How many of which, as a text of fasteners: `2x screw`, `2x M6x45 hex`."""
    place: str
    """What was said of it besides, and the holes: `cover, long, 12 and 6 o'clock`."""


def hole_groups(text: str, *, goes_on: bool = False) -> list[HoleGroup]:
    """The sorts of screw in a text that says at which holes they sit; empty for any other text.

    `M6: 2x45 at 12 and 6, 3x25 else` gives the size once for all of them. `goes_on`: the text
    before it named holes, so that “else” alone says the others.
    """
    if not (_AT.search(text) or _REST.search(text)):
        return []
    head, body = _headed(text)
    found: list[tuple[str, str]] = []
    at = 0
    while at < len(body):
        place = _next_place(body, at)
        if place is None:
            return []  # something stands behind the last hole: the plain reader has it all
        where, begins, ends = place
        found.append((body[at:begins].strip(" ,;"), where))
        at = ends
    named = [where for _, where in found if where != OTHER_HOLES]
    if not (named or goes_on) or not all(said for said, _ in found):
        return []  # “else” alone is a word like any other
    if len(found) == 1 and not head and re.search(rf"{_HOUR}{_CLOCK}", body, re.I):
        return []  # the plain reader knows “long one at 6 o'clock”
    in_all = re.match(r"\d+(?=\s*(?:[x×]|off\b|\s)\s*[M#\d])", head, re.I)
    left = int(in_all[0]) - sum(map(_holes, named)) if in_all else 0
    return [_group(head, said, where, left) for said, where in found]


def named_line(text: str) -> tuple[str, str]:
    """What it is and its screws, typed as one: `cover: 2 long at 12 and 6, 3 short else`.

    Two empty texts when the text is not of that kind.
    """
    head, body = _headed(text)
    sound = head and not _SIZE.search(head) and hole_groups(body)
    return (head, body) if sound else ("", "")


def _holes(where: str) -> int:
    """How many holes are named."""
    return len(re.findall(_HOUR, where))


def _headed(text: str) -> tuple[str, str]:
    found = _HEAD.match(text) if ":" in text else None
    return (found["head"].strip(), text[found.end() :]) if found else ("", text)


def _next_place(text: str, at: int) -> tuple[str, int, int] | None:
    """The next holes: in words, where they begin, where the next sort begins."""
    for found in sorted(filter(None, (_AT.search(text, at), _REST.search(text, at))), key=_starts):
        end = _END.match(text, found.end())
        if end is not None:
            hours = found.groupdict().get("hours")
            return (_clock(hours) if hours else OTHER_HOLES), found.start(), max(end.end(), 1)
    return None


def _starts(found: re.Match[str]) -> int:
    return found.start()


def _clock(hours: str) -> str:
    each = re.findall(_HOUR, re.sub(_CLOCK, "", hours, flags=re.I), re.I)
    *first, last = each
    return f"{', '.join(first)} and {last} o'clock" if first else f"{last} o'clock"


def _group(head: str, said: str, where: str, left: int) -> HoleGroup:
    """One sort; where it was not said how many, as many as there are holes named or left."""
    counted = _COUNT.fullmatch(said)
    holes = left if where == OTHER_HOLES else _holes(where)
    count, rest = (counted["count"], counted["rest"]) if counted else (str(max(1, holes)), said)
    sized = bool(_SIZE.search(head))
    place = [] if sized or not head else [head]
    sort = _SORT.fullmatch(rest)
    if sort is not None:
        kind = (sort["kind"] or "").casefold().removesuffix("s") or ("" if sized else "screw")
        place.append(re.sub(r"\s+(?:screws?|bolts?|studs?|nuts?)$", "", rest, flags=re.I))
        rest = f"{_bare(head)} {kind}".strip() if sized else kind
    elif sized and (length := _LENGTH.fullmatch(rest)) and not _THREAD.match(rest):
        rest = _with_length(_bare(head), length["length"], length["rest"])
    elif sized and not _THREAD.search(rest):
        rest = f"{_bare(head)} {rest}"
    return HoleGroup(f"{count}x {rest}", ", ".join([*place, where]))


def _with_length(size: str, length: str, rest: str) -> str:
    """The length behind the thread, before head and class: `M6 hex 8.8`, 45 → `M6x45 hex 8.8`."""
    thread, blank, more = size.partition(" ")
    return f"{thread} x {length}{blank}{more} {rest}".strip()


def _bare(head: str) -> str:
    """The size without how many there are of it in all: `5x M6` is M6."""
    return re.sub(r"^\d+\s*(?:[x×]|off|\s)\s*(?=[M#\d])", "", head, flags=re.I)
