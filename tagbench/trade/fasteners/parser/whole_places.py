"""The names of places kept whole: the `primary` of `primary case` belongs to where it sat.

A part of a machine is known by its noun; what stands right beside the noun tells which one it is,
known or not. Torn from it, `case` would be told as the place and `primary` be left over.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tagbench.trade.fasteners.parsed_line import ParsedLine
from tagbench.trade.fasteners.parser.remarks import is_unread
from tagbench.trade.fasteners.parser.state import tells_sort
from tagbench.trade.fasteners.remark_clauses import says_happened
from tagbench.trade.fasteners.tokens import Token
from tagbench.trade.fasteners.vocabulary import bench_words, fold

#: So many words nobody knows may tell which part it is; more of them are a remark.
_MOST_UNREAD = 2
#: They say what happened, what to do or which way round, and name no part.
_TELLING = (
    "verb",
    "chore",
    "negation",
    "facing",
    "noise",
    "opens",
    "count",
    "others",
    "place",
    "set",
    "describing",
    "condition",
    "absent",
    "hedge",
)


def keep_places_whole(found: Sequence[Token], lines: Sequence[ParsedLine]) -> None:
    """Puts the unread words beside a part's name with it, in each line that names a thing."""
    for line in lines:
        if not (line.thing and line.place and line.words):
            continue
        for run in _runs(found, line):
            unread = [token for token in run if is_unread(token)]
            if 0 < len(unread) <= _MOST_UNREAD and len(unread) < len(run):
                _join(line, run, unread)


def _runs(found: Sequence[Token], line: ParsedLine) -> Iterator[list[Token]]:
    """Tokens of places and unread words with nothing but a blank between them."""
    run: list[Token] = []
    for token in found:
        if not line.start <= token.start < line.end or not (
            _is_name(token, line) or _may_belong(token, line)
        ):
            yield run
            run = []
            continue
        if run and line.text[run[-1].end : token.start] not in (" ", "-", ""):
            yield run
            run = []
        run.append(token)
    yield run


def _is_name(token: Token, line: ParsedLine) -> bool:
    """Whether it names a part in the place of the line: a case, but no front and no long."""
    entry = token.entry
    said = fold(token.text)
    side = said in bench_words("place") or said in bench_words("pair of sides")
    if entry is None or not entry.place or entry.opens or side or tells_sort(token):
        return False
    return any(f" {token.text} " in f" {place} " for place in line.place)


def _may_belong(token: Token, line: ParsedLine) -> bool:
    said = fold(token.text)
    small = any(said in bench_words(role) for role in _TELLING)
    named = token.text.isalpha() and not small and not says_happened(said)  # boss glued
    return is_unread(token) and named and token.text in line.words


def _join(line: ParsedLine, run: Sequence[Token], unread: Sequence[Token]) -> None:
    """Writes the run as one place where its first part stood."""
    whole = line.text[run[0].start : run[-1].end]
    parts = [place for place in line.place if f" {place} " in f" {whole} "]
    if not parts or whole in line.place:
        return
    first = line.place.index(parts[0])
    kept = [place for place in line.place if place not in parts]
    line.place[:] = [*kept[:first], whole, *kept[first:]]
    for token in unread:
        if token.text in line.words:  # one of two alike may stand elsewhere in the note
            line.words.remove(token.text)
