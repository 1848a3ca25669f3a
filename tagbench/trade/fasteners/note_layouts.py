"""How a note is laid out: things in sentences or columns of their own, with the time before them.

`Cap screw M6x20, 4 off. Plain washer M6, 4 off.` counts each thing behind its name, and
`reed block | M4x10 pan | 6` in a column beside it. Such a thing is put in a piece of its own, so
that no count gets to its neighbour; the hour at which a note was written counts nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise

from tagbench.trade.fasteners.counts.behind import LIST_SIGNS, listed_behind, with_counts_behind
from tagbench.trade.fasteners.listed_parts import names_part
from tagbench.trade.fasteners.note_columns import Columns
from tagbench.trade.fasteners.patterns import SMALL_COUNT, replaced
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.remark_clauses import names_piece
from tagbench.trade.fasteners.tokens import tokens
from tagbench.trade.fasteners.told_clauses import (
    COUNT_BEHIND,
    COUNT_WITHIN,
    TIMES_N,
    begins_remark,
    is_sure,
    is_thing,
)
from tagbench.trade.fasteners.vocabulary import bench_roles, count_said, fold

_N = rf"(?:{SMALL_COUNT})"
#: When it was written: 19:40, Sun 10:15, 2026-11-27 18.30 h.
_STAMP = re.compile(
    r"(?:(?:mon|tues?|wed(?:nes)?|thu(?:rs)?|fri|sat(?:ur)?|sun)(?:day)?\.?,?\s)?"
    r"(?:[0-9]{4}-[0-9]{2}-[0-9]{2},?\s|[0-9]{1,2}[./-][0-9]{1,2}[./-](?:[0-9]{2}|[0-9]{4}),?\s)?"
    r"(?:[01]?[0-9]|2[0-3]):[0-5][0-9](?:\s?(?:h|hrs?|am|pm|uhr)\b)?\s?(?:[,:-]\s?)?(?=\S)",
    re.IGNORECASE,
)
#: Where a sentence may end.
_ENDS = re.compile(r"(?<=[\w)?!\"])\.\s+(?=[\w(])")
#: A bare number there: Oil seal 20x35x7, 2.
_BARE_COUNT = re.compile(rf"(?<=,\s){_N}$", re.IGNORECASE)
#: How a sentence begins behind a word that may be shortened.
_BEGINS = re.compile(r"(?=[A-ZÄÖÜÉ])[^\W\d_]{2}")
#: What was where: Top: domed nut M10. Bottom: bolt M10x40.
_LABELLED = re.compile(rf"[^:,;()]{{1,24}}:\s(?=\S)(?!{_N}$)", re.IGNORECASE)
#: A letter or a word that is shortened ends no sentence.
_SHORTENED = frozenset(
    ("no", "nos", "nr", "dia", "approx", "ca", "max", "min", "incl", "inc", "assy", "brg", "hsg",
     "cyl", "exh", "gov", "mag", "ign", "carb", "adj", "o", "s", "l", "r", "h", "f", "v", "w", "c",
     "d", "off", "pcs", "stk", "st", "stück", "pz", "uds", "ea")
)  # fmt: skip
#: A count in brackets before its name: (3) WIRE NUT.
_BRACKETED = re.compile(r"(?:(?P<joint>,|\s-|\s?\+|:)\s|^|\s)\((?P<n>[1-9][0-9]?)\)\s(?=[^\W_])")
_FEWEST = 2


def laid_out(text: str) -> tuple[str, list[str]]:
    """The text with a `;` between the things that its layout parts, and the hours and codes in it.

    >>> laid_out("19:40 cap screw M6x20, 4 off. Plain washer M6, 4 off.")
    ('cap screw M6x20, 4 off; Plain washer M6, 4 off', ['19:40'])
    """
    if "“" in text:
        return text, []
    rows, stamps = [], []
    columns = Columns()
    for row in text.splitlines():
        stamp = _STAMP.match(row)
        if stamp is not None:
            stamps.append(stamp[0].strip(" ,:-"))
            row = row[stamp.end() :]
        in_columns = columns.read(row)
        rows.append(in_columns if in_columns != row else _by_sentences(row))
    return "\n".join(rows), [*stamps, *columns.kept]


def _by_sentences(row: str) -> str:
    """The things of a row in pieces, where its sentences count them behind their names."""
    sentences = list(_sentences(row.strip())) if _ENDS.search(row) else []
    behind = [one for one in sentences if COUNT_BEHIND.search(one) or COUNT_WITHIN.search(one)]
    labelled = [one for one in sentences if _LABELLED.match(one) and is_thing(one)]
    if len(sentences) < _FEWEST or max(len(behind), len(labelled)) < _FEWEST:
        row = _by_lists(sentences) if any(map(listed_behind, sentences)) else row
        return _by_brackets(_by_times(_by_signs(with_counts_behind(_by_each(row)))))
    sentences = [replaced(_BARE_COUNT, r"\g<0> off", one) for one in sentences]
    pieces = [sentences[0]]
    for before, sentence in pairwise(sentences):
        if begins_remark(sentence) or not is_thing(sentence):
            at = _spoken_of(sentence, pieces)
            pieces[at] += f", {sentence}"
        elif before is sentences[0] and _is_heading(before):
            pieces[-1] += f": {sentence}"
        else:
            pieces.append(sentence)
    return "; ".join(pieces)


def _spoken_of(remark: str, pieces: Sequence[str]) -> int:
    """Which piece a remark speaks of: the one that names the same thing, else the last."""
    kinds = _named(remark)
    found = [at for at, piece in enumerate(pieces) if kinds & _named(piece)]
    return found[-1] if found else len(pieces) - 1


def _named(piece: str) -> set[str]:
    entries = (token.entry for token in tokens(piece))
    return {entry.kind for entry in entries if entry is not None and entry.kind}


def _sentences(row: str) -> Iterator[str]:
    start = 0
    for end in _ENDS.finditer(row):
        words = re.findall(r"[\w/]+", row[start : end.start()])
        last = fold(words[-1]) if words else ""
        if last in _SHORTENED and not _BEGINS.match(row, end.end()):
            continue
        yield row[start : end.start()].strip()
        start = end.end()
    yield row[start:].strip().rstrip(".")


def _is_heading(sentence: str) -> bool:
    """Whether a sentence names one part of the machine, and counts nothing: seat."""
    found = tokens(sentence)
    return bool(found) and all(
        token.entry is not None and token.entry.place and not token.entry.kind for token in found
    )


#: It tells of something.
_IS = re.compile(r"\s(?:is|are|was|were|has|have|had)\s", re.IGNORECASE)


def _by_lists(sentences: Sequence[str]) -> str:
    """Sentences of which one is such a list, that one in pieces."""
    made = sentences[0]
    for before, sentence in pairwise(sentences):
        listed = listed_behind(sentence)
        if begins_remark(sentence) or _IS.search(sentence):
            made += f", {sentence}"
        else:
            parted = (listed or listed_behind(before)) and is_thing(before) and is_thing(sentence)
            made += f"{'; ' if parted else '. '}{listed or sentence}"
    first = listed_behind(sentences[0])
    return first + made.removeprefix(sentences[0]) if first else made


#: So many of each thing of a list: springs + cups + nuts, 4 of each.
_OF_EACH = re.compile(
    r"(?P<head>[^:;()]{2,40}?(?::|\s-)\s)?(?P<list>[^0-9:;()]+?),?\s"
    rf"(?P<n>{_N})\s(?:off\s|of\s)?each\.?(?P<rest>(?:,\s|\s-\s|\s\().*)?",
    re.IGNORECASE,
)


def _by_each(row: str) -> str:
    """`springs, 4 off; cups, 4 off` for `springs + cups, 4 of each`, where a name is not known."""
    found = _OF_EACH.fullmatch(row) if "each" in row.lower() else None
    names = re.split(r"\s?[+&,]\s?|\sand\s", found["list"]) if found is not None else []
    known = all(map(is_sure, names))
    if found is None or len(names) < _FEWEST or known or not all(map(is_plural, names)):
        return row
    things = "; ".join(f"{name}, {found['n']} off" for name in names)
    return f"{found['head'] or ''}{things}{found['rest'] or ''}"


#: So many parts make a list of a note.
_LISTED_PARTS = 3
#: Behind these a dash parts no thing.
_NO_THING = re.compile(r"(?:no|nein|non|oh|not|or|oder|ou|o)\b", re.IGNORECASE)


def _by_signs(row: str) -> str:
    """`Rear light: 2 screws; lens, cracked` for `Rear light - 2 screws - lens, cracked`.

    What is no thing stays with the one before it.
    """
    for sign in LIST_SIGNS:
        parts = [part.strip() for part in row.split(sign)]
        if len(parts) < _LISTED_PARTS or any(not part or _NO_THING.match(part) for part in parts):
            continue
        counted = [at for at, part in enumerate(parts) if at and _is_counted_part(part)]
        if sign == " / " and not counted and _are_parts(parts):
            return "; ".join(parts)  # choke lever / choke cable / main jet 72
        if not counted or any(map(_BARE.match, parts)) or _breaks_down(parts):
            continue  # M6x25 - variator cover - 7 no; bolts - 2 nuts - 2, M6
        alone = len(counted) < _FEWEST
        named = [at for at in range(counted[0], len(parts)) if _names_thing(parts[at], alone=alone)]
        things = sorted({*counted, *named})
        if len(things) < _FEWEST:
            continue
        return _joined(parts, things)
    return row


def _are_parts(parts: Sequence[str]) -> bool:
    """Whether each names a part of the machine; a heading before, and what is said of the last."""
    first, *between, last = parts
    own = (_HEADED.sub("", first), *between, _SAID_OF_LAST.sub("", last))
    return all(map(names_part, own))


_HEADED = re.compile(r"^[^:;,()]{2,30}?(?::|\s-)\s(?=\S)")
_SAID_OF_LAST = re.compile(r"(?:,\s|\s\(|\s-\s).*$")
#: A size and nothing else; a count, likewise or before a comma or a bracket.
_BARE = re.compile(
    r"(?:M[0-9][0-9.x ]*(?:\s?mm)?|[0-9][0-9/x. -]*(?:\s?mm|\s?in|\")?|[0-9]+BA)\.?$"
    rf"|x?\s?{_N}\s?(?:off|no|pcs|x|of\s\w+)?\.?(?:$|[,;]\s|\s\()",
    re.IGNORECASE,
)
#: A part of a list that begins with its count: 2 screws, 6x 3/8 bolts, (2) clips.
_BEGINS_COUNT = re.compile(
    rf"\(?{_N}\)?(?:x|\soff|\spcs?)?\s(?!(?:off|no|nos|of|stk|stck|st|pz|uds|each|ea|per|sets?|pcs?|more|in|at|on|x|mm|and|und|et|y|e)\b)"
    r"(?P<name>[^\W\d_]{3,}|M[0-9]|#?[0-9]+[/-][0-9])",
    re.IGNORECASE,
)


def _is_counted_part(part: str) -> bool:
    """Whether a part of a list is a thing with its count: 2 rubbers front, felt strip x2."""
    found = _BEGINS_COUNT.match(part)
    if found is not None:
        return not bench_roles(fold(found["name"]))  # 4 long 4 short
    return COUNT_BEHIND.search(part) is not None and _NAME.search(part) is not None


def _breaks_down(parts: Sequence[str]) -> bool:
    """Whether one part says of what the pieces of another are: 8 nuts - six M8 and two M7."""
    counts = [[count_said(one) for one in _A_COUNT.findall(part)] for part in parts]
    wholes = {many[0] for many in counts if len(many) == 1}
    return any(len(many) >= _FEWEST and sum(many) in wholes for many in counts)


_A_COUNT = re.compile(
    rf"(?<![\w.,/#-])(?<!x)\(?({_N})(?=x?\)|x?\s?(?:@|M[0-9]|[^\W\d_]{{2}}))", re.IGNORECASE
)


def _names_thing(part: str, *, alone: bool) -> bool:
    """Whether it names a fastener or a part of the machine, and does not tell of one.

    `alone`: only one thing was counted, so that a part of the machine may be where that was.
    """
    words = re.findall(r"[^\W\d_]+", part)
    told = bool(words) and bool(bench_roles(fold(words[0])) - {"noise"})  # new gasket reqd
    named = any(map(names_piece, tokens(part))) or (names_part(part) and not alone)
    return named and not told and not begins_remark(part)


def _joined(parts: Sequence[str], things: Sequence[int]) -> str:
    made = parts[0]
    headed = not any(map(names_piece, tokens(parts[0])))
    for at, part in enumerate(parts[1:], 1):
        if at not in things:
            made += f", {part}"
        elif at == things[0] and headed and _is_heading(parts[0]):
            made += f": {part}"
        else:
            made += f"; {part}"
    return made


def _by_times(row: str) -> str:
    """`ramp plate x1; slider x3` for `ramp plate x1, slider x3`, where a name is not known."""
    clauses = _LISTED.split(row)
    times = [at for at, clause in enumerate(clauses) if _TIMES.search(clause)]
    unread = any(not is_sure(clauses[at]) for at in times)
    bare = any(not _NAME.search(clauses[at]) for at in times)  # 3x18 x1, 3x24 x1
    if len(times) < _FEWEST or bare or not unread or _OF_ALL.search(row):
        return row
    made = clauses[0]
    for at, clause in enumerate(clauses[1:], 1):
        parted = at in times and any(one < at for one in times)
        made += f"; {clause}" if parted else f", {clause}"
    return made


#: The comma between two things, in no brackets.
_LISTED = re.compile(r",\s(?![^(]*\))")
_TIMES = re.compile(rf"{TIMES_N}(?:\s\([^()]*\))?(?:\.\s.*)?$", re.IGNORECASE)
_NAME = re.compile(r"[^\W\d_]{3}|M[0-9]")
#: What is said of all of them keeps them together.
_OF_ALL = re.compile(
    r"\b(?:all|each|both|alle|tous|toutes|todos|todas|tutti|tutte)\b", re.IGNORECASE
)


def _lends_size(name: str) -> bool:
    """Whether it has its size from the bolt before it: the (4) nuts of M6 bolts."""
    found = tokens(name)
    sized = any(token.kind in ("thread", "numbers", "gauge") for token in found)
    kinds = {token.entry.kind for token in found if token.entry is not None and token.entry.kind}
    return not sized and any("nut" in kind or "washer" in kind for kind in kinds)


def _by_brackets(row: str) -> str:
    """`; 3 off WIRE NUT` for the `, (3) WIRE NUT` of a list that counts in brackets."""
    found = list(_BRACKETED.finditer(row)) if "(" in row else []
    if len(found) < _FEWEST or not any(one["joint"] for one in found) or _OF_ALL.search(row):
        return row
    ends: Sequence[int] = [one.start() for one in found[1:]] + [len(row)]
    names = [row[one.end() : end] for one, end in zip(found, ends, strict=True)]
    made, start = "", 0
    for one, name in zip(found, names, strict=True):
        made += row[start : one.start()]
        opened = start or (one["joint"] == "," and row[: one.start()].endswith(")"))
        parted = one["joint"] not in (":", None) and opened and not _lends_size(name)
        made += f"; {one['n']} off " if parted else one[0]
        start = one.end()
    return made + row[start:]
