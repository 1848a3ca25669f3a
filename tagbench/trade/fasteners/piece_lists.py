"""Lists of how many there are of each thing: `bolts - 4, nuts - 3`, `(4) bolts (3) nuts`.

However the items are written, they are put as `4 bolts, 3 nuts` before the note is read, and only
where every item of the list fits.
"""

from __future__ import annotations

import re

from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.vocabulary import fold_words, look_up

_N, _K = r"(?P<n>[0-9]{1,2})", r"(?P<k>[^\W\d_]{3,}(?:[ -][^\W\d_]{3,}){0,2})"
_UNITS = r"(?:off|of|pcs?|ea)\b"
#: How an item may be written, and whether only a plural is surely counted so.
_FORMS = (
    (re.compile(rf"\({_N}x?\)\s?{_K}(?![\w-])", re.I), False),
    (re.compile(rf"{_N}(?:\s?x\s?|-|\s?{_UNITS}\s|\s){_K}(?![\w-])", re.I), False),
    (re.compile(rf"{_K}\sx\s?{_N}(?![\w.,/]*\w)", re.I), False),
    (re.compile(rf"{_K}\s{_N}x(?![\w.,/]*\w)", re.I), False),
    (re.compile(rf"{_K}\s\(x?{_N}x?\)", re.I), False),
    (re.compile(rf"{_K}\s{_N}\s?{_UNITS}", re.I), False),
    (re.compile(rf"{_K}\s?(?:-|:|=|\s)\s?{_N}(?![\w.,/-]*\w)", re.I), True),
)
_JOIN = re.compile(r"\s?[,;+&]\s?|\.\s|\s/\s|\s(?:and|und|et|y|e)\s|\s", re.I)
_HEAD = re.compile(r"[^:()+,;]*?[^\W\d_][^:()+,;]*?(?::|\s-)\s(?=\S)")
_REST = re.compile(r"\s?(?:$|[,;(]|all\b|alle\b|M[0-9])", re.I)


def plain_pieces(text: str) -> str:
    """The text with such a list, if it has one, in its plainest form."""
    head = _HEAD.match(text) if ":" in text or " -" in text else None
    for begin in (0, head.end() if head else 0):
        for form, plural in _FORMS:
            items, end = _items(text, begin, form, plural)
            if len(items) > 1 and _REST.match(text, end):
                rest = text[end:]
                blank = " " if rest[:1].isalpha() else ""
                return f"{text[:begin]}{', '.join(items)}{blank}{rest}"
    return _DASHED.sub(_without_dash, text)


#: `4-bolts`, which are four of them.
_DASHED = re.compile(rf"(?<![\w.,/-]){_N}-{_K}(?![\w-])", re.I)


def _without_dash(found: re.Match[str]) -> str:
    return f"{found['n']} {found['k']}" if _name(found) and is_plural(found["k"]) else found[0]


#: Nobody writes so many of a thing in the singular.
_MANY = 10


def _is_size_before(many: str, name: str, text: str) -> bool:
    """The 14 of `2 rondelle rame 14 tappo olio`: one plug has no fourteen before it."""
    said = look_up(tuple(fold_words(name)))
    foreign = said is not None and said[1].foreign
    return foreign and int(many) >= _MANY and not is_plural(name, text)


def _items(text: str, begin: int, form: re.Pattern[str], plural: bool) -> tuple[list[str], int]:
    """The items from there on in their plain form, and where they end."""
    made: list[str] = []
    at, end = begin, begin
    while (found := form.match(text, at)) is not None:
        name = _name(found)
        if not name or (plural and not is_plural(name)) or _is_size_before(found["n"], name, text):
            break
        made.append(f"{found['n']} {name}")
        end = found.end() - len(found["k"]) + len(name)
        join = _JOIN.match(text, end)
        if join is None:
            break
        at = join.end()
    return made, end


def _name(found: re.Match[str]) -> str:
    """The words that name one kind of fastener; what stands behind an item is none of them."""
    words = found["k"]
    while words:
        folded = tuple(fold_words(words))
        said = look_up(folded)
        if said is not None and said[0] == len(folded) and said[1].kind:
            return words
        if found.end("k") < found.end():
            break
        words = re.sub(r"[ -]?[^ -]+$", "", words)
    return ""
