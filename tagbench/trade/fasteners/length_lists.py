"""Lists of how many there are of each length: `M6: 25mm - 3, 40mm - 2`, `M6 (3 @ 25, 2 @ 40)`.

However the items are written, they are put as `3 x 25, 2 x 40` before the note is read, and only
where every item of the list fits.
"""

from __future__ import annotations

import re

from tagbench.trade.fasteners.patterns import SIZE

_N, _L = r"(?P<n>[0-9]{1,2})", r"(?P<l>[0-9]{2,3})(?P<u>\s?mm)?"
_FORMS = (
    re.compile(
        rf"{_N}\s?(?:x|@|off|of|de|da|di|von|zu|à|long|lang|largo|lungh?[ei]?)\s?{_L}", re.I
    ),
    re.compile(rf"{_N}(?:\s-)?\s(?P<l>[0-9]{{2,3}})(?P<u>\s?mm)", re.I),
    re.compile(rf"{_L}\s?x\s?{_N}", re.I),
    re.compile(rf"{_L}\s?\({_N}\)", re.I),
    re.compile(rf"(?P<l>[0-9]{{2,3}})(?P<u>\s?mm)\s-\s{_N}", re.I),
)
_BEGINS = re.compile(r"(?:^|(?<=:)\s|,\s|\s?\(|(?<=[0-9])\s(?=[0-9]))(?=[0-9])")
_JOINS = re.compile(r"\s?[,;+&]\s?|\s/\s|\s(?:and|und|et|y|e)\s", re.I)
_TAIL = re.compile(r"(?:\s?,)?(?P<tail>\s(?:all(?:e|es)?\s)?M[0-9][0-9.x]*)$", re.I)
#: What is said of all of them behind the list, and the clauses behind that.
_OF_ALL = re.compile(
    r"(?:\s?,)?\s(?:all(?:e|es)?|tous|toutes|todos|todas|tutti|tutte)\s"
    r"(?P<of_all>M[0-9][0-9.x]*(?:\s[^\W\d_]+){0,3})(?P<rest>(?:,\s|\s-\s|\s\().*)?$",
    re.I,
)
#: Sizes with their threads, each counted in brackets behind it: M6x25(3) M6x35(2).
_COUNTED_SIZE = rf"{SIZE}\s?\((?:x\s?)?[1-9][0-9]?(?:\s?(?:off|x|pcs))?\)"
_COUNTED_SIZES = re.compile(rf"{_COUNTED_SIZE}(?:\s?(?:[,;+&]|\band\b)?\s?{_COUNTED_SIZE})+", re.I)
#: The 5 bolts that stand before them: 5 bolts - M6x25(3) M6x35(2).
_WHOLE = re.compile(
    r"(?P<head>(?:.*:\s)?(?P<n>[1-9][0-9]?)x?\s[^0-9(),:]*[^0-9(),:\s-])(?P<sign>\s-|:|,)?\s", re.I
)
_ONE_SIZE = re.compile(rf"(?P<size>{SIZE})\s?\((?:x\s?)?(?P<n>[0-9]+)[^)]*\)", re.I)
#: Things of several sizes, each counted right behind it: thrust washers 0.5 2x, 0.8 1x.
_SIZE_AND_COUNT = (
    r"(?:(?:[0-9]+[.,][0-9]+|[.,][0-9]+|[0-9]+/[0-9]+)(?:\s?mm|\"|\s?thou)?|[0-9]+(?:mm|\"|\s?thou))\s?"
    r"(?:[1-9][0-9]?x|x\s?[1-9][0-9]?|\([1-9][0-9]?x?\)|[1-9][0-9]?\s(?:off|pcs?\.?|stk\.?|st\.?))"
)
_SIZES_COUNTED = re.compile(
    r"(?:^|(?<=,\s))(?P<what>[^\W\d_]{3,}(?:\s[^\W\d_]{3,}){0,2})\s"
    rf"(?P<list>{_SIZE_AND_COUNT}(?:\s?(?:[,;+&]|\band\b|\bund\b|\bet\b)\s?{_SIZE_AND_COUNT})+)(?![\w./])",
    re.IGNORECASE,
)
_COUNTED_ONE = re.compile(
    r"(?P<size>.+?)\s?(?:x\s?|\(|(?<![0-9.,/]))(?P<n>[1-9][0-9]?)(?:x|x?\)|\s(?:off|pcs?\.?|stk\.?|st\.?))?"
)
_BEFORE = re.compile(r":\s|\bM[0-9.x]+\s", re.I)
#: A length is longer, in mm, and a count smaller.
_SHORTEST, _MOST = 13, 24
_THREAD = re.compile(r"M[0-9]", re.I)


def plain_lengths(text: str) -> str:
    """The text with such a list, if it has one, in its plainest form."""
    if (listed := _COUNTED_SIZES.search(text)) is not None:
        text = _as_sum(text[: listed.start()], listed, text[listed.end() :])
    text = _SIZES_COUNTED.sub(_each_counted, text)
    if not _THREAD.search(text):
        return text
    for begin in _BEGINS.finditer(text):
        rest, tail, behind = text[begin.end() :], "", ""
        if of_all := _OF_ALL.search(rest):
            rest, tail, behind = (
                rest[: of_all.start()],
                f" {of_all['of_all']}",
                of_all["rest"] or "",
            )
        elif found := _TAIL.search(rest):
            rest, tail = rest[: found.start()], found["tail"]
        if "(" in begin[0] and rest.endswith(")"):
            rest = rest[:-1]
        items = _items(rest)
        if begin[0].startswith(",") and not _is_sum(text[: begin.start()], items):
            continue
        if items:
            head = f"{text[: begin.start()].rstrip(' :')}{tail}".strip()
            return f"{head}: {', '.join(items)}{behind}" if head else text
    return text


def _each_counted(found: re.Match[str]) -> str:
    """`2 thrust washers 0.5, 1 thrust washers 0.8` for `thrust washers 0.5 2x, 0.8 1x`."""
    items = [_COUNTED_ONE.fullmatch(one[0]) for one in re.finditer(_SIZE_AND_COUNT, found["list"])]
    return ", ".join(f"{one['n']} {found['what']} {one['size']}" for one in items if one)


def _as_sum(head: str, listed: re.Match[str], rest: str) -> str:
    """`5 bolts: 3 x M6x25, 2 x M6x35` for `5 bolts - M6x25(3) M6x35(2)`."""
    whole = _WHOLE.fullmatch(head)
    items = [(int(one["n"]), one["size"]) for one in _ONE_SIZE.finditer(listed[0])]
    counted = whole is not None and int(whole["n"]) == sum(n for n, _ in items)
    if whole is None or not (counted or whole["sign"]):
        return f"{head}{listed[0]}{rest}"
    return f"{whole['head']}: {', '.join(f'{n} x {size}' for n, size in items)}{rest}"


def _is_sum(head: str, items: list[str]) -> bool:
    """The 8 of `8 screws M6, 6 of 25 and 2 of 40`: what stands behind the comma breaks it down."""
    many = re.match(r"[0-9]{1,3}\b", head)
    return many is not None and int(many[0]) == sum(int(item.split()[0]) for item in items)


def is_item(text: str) -> bool:
    """Whether a piece of a text is nothing but such an item, or the thread of a list of them."""
    return bool(_fitting([_TAIL.sub("", text).strip()]))


def ends_in_item(text: str) -> bool:
    """Whether the last thing that a piece of a text says is such an item."""
    return is_item(_JOINS.split(_BEFORE.split(text)[-1])[-1])


def is_thread(text: str) -> bool:
    """Whether a piece is nothing but a thread."""
    return _TAIL.fullmatch(f" {text.strip()}") is not None


def _items(text: str) -> list[str]:
    typed = _JOINS.split(text.strip())
    return _fitting(typed) if len(typed) > 1 else []


def _fitting(typed: list[str]) -> list[str]:
    """The items in their plain form, when all are written alike; else none."""
    for form in _FORMS:
        found = [form.fullmatch(item) for item in typed]
        fitting = [one for one in found if one and _is_sound(one)]
        if len(fitting) == len(typed):
            return [f"{one['n']} x {one['l']}{one['u'] or ''}" for one in fitting]
    return []


def _is_sound(found: re.Match[str]) -> bool:
    return int(found["l"]) >= _SHORTEST and 0 < int(found["n"]) <= _MOST
