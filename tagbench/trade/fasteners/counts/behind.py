"""Lists whose counts stand behind the names: `springs 2 cups 4`, `Rear hub - nut 1 - rubbers 5`."""

from __future__ import annotations

import re
from collections.abc import Sequence

from tagbench.trade.fasteners.listed_parts import names_part
from tagbench.trade.fasteners.patterns import SMALL_COUNT, replaced
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.told_clauses import is_sure
from tagbench.trade.fasteners.vocabulary import count_said

_N = rf"(?:{SMALL_COUNT})"
_FEWEST = 2
#: What such a list is headed with: bag 7: ..., rear hub - ...
_HEADED = re.compile(r"(?P<head>[^:;,()+&]{2,30}?(?::|\s-)\s)(?=[^\W\d_])")
#: Where all of it was, behind the last dash.
_TAIL = re.compile(r"(?P<list>.*[0-9])\s-\s(?P<tail>[^\W\d_][^0-9;:-]*)")


#: Without a count behind a name there is no such list.
_COUNT_BEHIND_NAME = re.compile(
    r"[^\W\d_][.,)]?\s(?:-\s)?(?:[1-9]|one|two|three|four|five|six|seven|eight|nine|ten|eleven"
    r"|twelve)",
    re.IGNORECASE,
)


def with_counts_behind(row: str) -> str:
    """The row with its things in pieces, where each is counted behind its name.

    A heading may stand before the list, and a place behind its last dash.
    """
    if not _COUNT_BEHIND_NAME.search(row):
        return row
    ends = row.removesuffix(".") if row[-2:-1].isdigit() else row
    if (made := _listed(ends)) != ends:
        return made
    tail = _TAIL.fullmatch(row)
    if tail is not None and (made := _listed(tail["list"])) != tail["list"]:
        return f"{made}, {tail['tail']}"
    headed = _HEADED.match(row)
    if headed is not None:
        made = with_counts_behind(rest := row[headed.end() :])
        return row if made == rest else headed["head"].rstrip(" -:") + f": {made}"
    return row


def _listed(row: str) -> str:
    parts = row.split(" - ")
    if len(parts) > _FEWEST and _counts_before_dashes(parts):
        return _between_dashes(parts)
    return _by_dashes(_by_counts_behind(row))


#: What parts the things of a list: dashes, strokes.
LIST_SIGNS = (" - ", " / ")
#: A thing with its count behind it, between two dashes: cush rubbers 5 (1 perished).
_BETWEEN_DASHES = re.compile(
    rf"(?P<what>[^\W\d_][^,;:()0-9]*?),?\s(?P<n>{_N})(?P<rest>\s\([^()]*\)|[,;]\s.*)?",
    re.IGNORECASE,
)


def _by_dashes(row: str) -> str:
    """`Rear hub: nut, 1 off; rubbers, 5 off` for `Rear hub - nut 1 - rubbers 5`."""
    for sign in LIST_SIGNS:
        parts = row.split(sign)
        counted = [_BETWEEN_DASHES.fullmatch(part.strip()) for part in parts]
        start = 0 if counted[0] is not None else 1
        if len(parts) < start + _FEWEST or not all(map(_is_counted_thing, counted[start:])):
            continue
        things = [f"{one['what']}, {one['n']} off{one['rest'] or ''}" for one in counted if one]
        heading = f"{parts[0]}: " if start else ""
        return heading + "; ".join(things)
    return row


def _is_counted_thing(found: re.Match[str] | None) -> bool:
    """Whether the number counts what stands before it: nut 1, rubbers 5, but not circlip 25."""
    return found is not None and (count_said(found["n"]) == 1 or is_plural(found["what"]))


#: A plural with its count behind it, one after the other: springs 2 retainers 2, cups 4x.
_NAME_AND_COUNT = re.compile(
    r"(?<![^\W\d_])(?P<what>[^\W\d_]+(?:\s[^\W\d_]+){0,3})\s(?P<n>[1-9]|1[0-2])(?P<x>x?)"
    r"(?P<size>\sM[0-9]{1,2}(?:x[0-9]{1,3})?)?(?P<rest>\s\([^()]*\))?(?:,\s|\s|$)"
)
_FEWEST_BEHIND = 3


def _by_counts_behind(row: str) -> str:
    """`springs, 2 off; retainers, 2 off` for `springs 2 retainers 2`, where a name is not known."""
    items = list(_NAME_AND_COUNT.finditer(row))
    whole = "".join(one[0] for one in items)
    if len(items) < _FEWEST_BEHIND or not row.startswith(whole) or ":" in row:
        return row
    rest = row[len(whole) :]
    if not all(map(_is_count_behind, items)) or re.search(r"[0-9]", rest):
        return row
    if all(is_sure(one["what"]) and not one["size"] for one in items):
        return row
    return _with_off(items) + (f", {rest}" if rest else "")


def _is_count_behind(item: re.Match[str]) -> bool:
    return item["n"] == "1" or bool(item["x"]) or is_plural(item["what"])


def _with_off(items: Sequence[re.Match[str]]) -> str:
    return "; ".join(
        f"{one['what']}{one['size'] or ''}, {one['n']} off{one['rest'] or ''}" for one in items
    )


def listed_behind(sentence: str) -> str:
    """`clips, 5 off; pins, 2 off` for a sentence that is nothing but `clips 5 pins 2`; else ""."""
    items = list(_NAME_AND_COUNT.finditer(sentence))
    whole = "".join(one[0] for one in items) == sentence
    fits = whole and len(items) >= _FEWEST and all(map(_is_count_behind, items))
    return _with_off(items) if fits else ""


def _counts_before_dashes(parts: Sequence[str]) -> bool:
    """Whether each count is of what stands before its dash: bolts - 2 nuts - 4 gearbox."""
    first, *behind = parts
    if not all(map(_A_BARE_COUNT.match, behind)) or re.search("[0-9]", first):
        return False
    names = [_behind_count(part).strip() for part in behind]
    named = all(is_sure(name) or names_part(name) or is_plural(name) for name in names[:-1])
    ends = names[-1][:1] in ("", "(", ",", ";")  # no name is left for the last count
    sure = is_sure(first) or (ends and is_plural(first))
    return named and sure and not is_sure(names[-1])


def _between_dashes(parts: Sequence[str]) -> str:
    """`bolts - 2, nuts - 4, gearbox`; `cups, 2 off; collets, 4 off` where a name is not known."""
    first, *behind = parts
    if all(is_sure(_behind_count(part)) for part in behind[:-1]):
        commas = [replaced(_LEADING_COUNT, r"\g<0>,", part, count=1) for part in behind]
        return " - ".join([first, *commas])
    made = first
    for part in behind:
        name = _behind_count(part)
        joint = "" if name[:1] in (",", ";", "") else "," if part is parts[-1] else ";"
        made += f", {part.removesuffix(name)} off{joint}{name}"
    return made


def _behind_count(part: str) -> str:
    """The name of the next thing, behind the count of the one before it."""
    return _A_BARE_COUNT.sub("", part, count=1)


#: A count that stands alone, or before the name of the next thing.
_A_BARE_COUNT = re.compile(
    rf"^{_N}(?=$|\s(?!(?:and|und)\b)[^\W\d_]{{3}}|[,;]\s|\s\()", re.IGNORECASE
)
_LEADING_COUNT = re.compile(rf"^{_N}(?=\s[^\W\d_]{{3}})", re.IGNORECASE)
