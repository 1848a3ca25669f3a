"""The last look at the lines of a bag note: what is doubtful is asked or kept, never claimed.

The parser takes a word for what it most likely is. These few rules hold whatever it took: no word
is lost, a size has nothing unread before it, a part of a sum is not added to it, and where the
words that were kept say another number of pieces than the line, how many is asked.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

import msgspec

from tagbench.trade.fasteners.parsed_line import Figure, ParsedLine
from tagbench.trade.fasteners.parser.asked_counts import LIKELY_COUNT, ask_how_many
from tagbench.trade.fasteners.parser.parts_of_sums import counted_once
from tagbench.trade.fasteners.parser.plain_places import keep_remarks
from tagbench.trade.fasteners.parser.remarks import is_unread
from tagbench.trade.fasteners.parser.state import tells_sort
from tagbench.trade.fasteners.parser.whole_places import keep_places_whole
from tagbench.trade.fasteners.patterns import patterns
from tagbench.trade.fasteners.thread_words import ThreadFound, ThreadOption
from tagbench.trade.fasteners.tokens import Token, tokens
from tagbench.trade.fasteners.vocabulary import (
    NO_LENGTH,
    THREADED_KINDS,
    bench_roles,
    bench_words,
    fold,
)

#: Roles of words that say nothing when they stand in no run of kept words.
_SMALL = ("weak", "hedge", "all", "ditto", "sizes", "set", "per")
#: They say nothing of their own beside a thread or a kind of head, but something beside a word
#: that was not understood: cyl head, course thread; and `testa` alone is a cylinder head.
_HEADS = frozenset(("head", "heads", "hd", "kopf", "testa", "cabeza", "tete"))
_NOUNS = _HEADS | {
    "thread",
    "threads",
    "threaded",
    "type",
    "gewinde",
    "filetage",
    "filet",
    "rosca",
    "filetto",
    "size",
}
_OR = frozenset(("or", "oder", "ou", "o"))
_OR_SERIES = re.compile(
    r"\s?(?:or|oder|ou|o)\s(?P<series>UN[CF]|UNEF|BS[FW]|Whit(?:worth)?|CEI|cycle)\b\??",
    re.IGNORECASE,
)


def doubted(found: Sequence[Token], lines: list[ParsedLine]) -> list[ParsedLine]:
    """The lines with each doubt written into them."""
    for line in lines:
        _one_or_the_other(line)
        _unread_before_size(found, line)
        _several_lengths(line)
    lines = counted_once(lines)
    for line in lines:
        ask_how_many(found, line)
    _keep_unknown_thread(found, lines)
    _give_to_next(found, lines)
    for line in lines:
        _say_which(found, line)
    keep_places_whole(found, lines)
    keep_remarks(lines)
    _keep_lost(found, lines)
    return lines


def _give_to_next(found: Sequence[Token], lines: Sequence[ParsedLine]) -> None:
    """The keeper of `valve spring, keeper pin 1/8` and the tiny of `screw and the tiny washer` say
    something of what is named right behind them, and nothing of what stands before the comma."""
    for before, line in pairwise(lines):
        first = next((i for i, one in enumerate(found) if one.start >= line.start), 0)
        begin = first
        while begin and (_is_article(found[begin - 1]) or found[begin - 1].text in before.words):
            begin -= 1
        own = [one for one in found[begin:first] if not _is_article(one)]
        joined = begin and found[begin - 1].kind == "join" and found[begin - 1].name != ":"
        if own and joined and line.kind and len(own) <= _FEW_WORDS and all(map(is_unread, own)):
            gone = [token.text for token in own]
            before.words = [word for word in before.words if word not in gone]
            line.words[:0] = [token.text for token in own]
            line.start = own[0].start


_HOW_MANY = ("few", "some", "several", "various", "many", "more", "another")


def _say_which(found: Sequence[Token], line: ParsedLine) -> None:
    """The pawl of `pawl spring broke`, the dial of `dial grub screw lost` say which one it is, as
    the name of a part that is known does, and not what broke."""
    named = line.kind_token
    at = next((i for i, one in enumerate(found) if one is named), 0)
    begin = at
    while begin and is_unread(found[begin - 1]) and found[begin - 1].text in line.words:
        begin -= 1
    own = found[begin:at]
    if any(bench_roles(fold(one.text)) or fold(one.text) in _HOW_MANY for one in own):
        return  # a few pins; remember washer
    if not set(line.words) - {one.text for one in own}:
        return  # clinch nut: nothing else is kept that it could be said of
    close = all(line.text[a.end : b.start] == " " for a, b in pairwise([*own, *found[at : at + 1]]))
    if own and close and len(own) <= _FEW_WORDS and all(one.text.isalpha() for one in own):
        gone = [token.text for token in own]
        line.words = [word for word in line.words if word not in gone]
        line.place.insert(0, line.text[own[0].start : own[-1].end])


def _is_article(token: Token) -> bool:
    return token.kind != "join" and fold(token.text) in ("a", "an", "the", "one", "1")


#: More words before the name of a thing are a remark on what was named before.
_FEW_WORDS = 2


def _one_or_the_other(line: ParsedLine) -> None:
    """`bolt M10 or 3/8`: the figure is no length, but what the thread may be instead."""
    thread = line.thread
    if thread is None or thread.thread is None or thread.options:
        return
    end = line.text.find(line.thread_text, line.start) + len(line.thread_text)
    if series := _OR_SERIES.match(line.text, end):
        _ask_series(line, thread, series)
        return
    begin = end - len(line.thread_text)
    for figure in line.figures:
        if fold(line.text[figure.token.end : begin].strip()) in _OR:  # 1/4 or M6
            line.words = [word for word in line.words if fold(word) not in _OR]
            line.figures = [one for one in line.figures if one is not figure]
            line.thread_text = line.text[figure.token.start : end]
            options = (ThreadOption(thread.thread.designation),)
            line.thread = ThreadFound(end, line.thread_text, options=options)
            return
        between = line.text[end : figure.token.start].strip()
        if fold(between) in _OR:
            said = f"{line.thread_text} {between} {figure.token.text}"
            line.figures = [one for one in line.figures if one is not figure]
            line.words = [word for word in line.words if fold(word) not in _OR]
            options = (ThreadOption(thread.thread.designation),)
            line.thread = ThreadFound(figure.token.end, said, options=options)
            line.thread_text = said
            return


def _ask_series(line: ParsedLine, thread: ThreadFound, series: re.Match[str]) -> None:
    """`5/16 BSF or UNF?`: two threads of one size."""
    other = next(iter(tokens(f"{thread.size.split()[0]} {series['series']}")), None)
    second = other.thread.thread if other is not None and other.thread else None
    if thread.thread is None or second is None:
        return
    said = f"{line.thread_text} {series[0].strip()}"
    gone = {fold(word) for word in series[0].split()}
    line.words = [word for word in line.words if fold(word) not in gone]
    options = tuple(ThreadOption(one.designation) for one in (thread.thread, second))
    line.thread = ThreadFound(thread.end, said, options=options)
    line.thread_text = said


def _unread_before_size(found: Sequence[Token], line: ParsedLine) -> None:
    """The 22mm of `stuck out 22mm` is no length: a word that nobody understood claims it."""
    kept = []
    for figure in line.figures:
        token = figure.token
        at = next((at for at, one in enumerate(found) if one.start == token.start), 0)
        before = found[at - 1] if at else None
        follower = found[at + 1] if at + 1 < len(found) else None
        named = follower is not None and (
            follower.thread or bool(follower.entry and follower.entry.kind)
        )
        sure = named or token.cross or token.behind or len(token.numbers) > 1
        if not sure and token.numbers and token.numbers[0].unit and is_unread(before):
            line.words.append(token.text)
        else:
            unsure = not sure and is_unread(follower)
            kept.append(msgspec.structs.replace(figure, unsure=unsure) if unsure else figure)
    line.figures = kept


def _several_lengths(line: ParsedLine) -> None:
    """`3 bolts 5/16 BSF 1 1/2, 1 3/4, 2"`: none of the lengths is that of all three."""
    lengths = [figure for figure in line.figures if _is_length(figure)]
    if line.thread is None or line.kind in NO_LENGTH or len(lengths) < 2:
        return
    between = [
        line.text[one.token.end : other.token.start].strip() for one, other in pairwise(lengths)
    ]
    listed = all(gap in (",", "and", "&", "und", "et", "y", "e") for gap in between)
    if listed or (len(lengths) > 2 and not any(between)):
        line.words += [figure.token.text for figure in lengths]
        line.figures = [figure for figure in line.figures if figure not in lengths]


def _is_length(figure: Figure) -> bool:
    token = figure.token
    if not token.numbers:
        return False  # the number of a bearing
    number = token.numbers[0]
    sized = number.unit or "/" in number.text or number.value > LIKELY_COUNT
    alone = len(token.numbers) == 1 and not token.cross
    return alone and bool(sized) and token.behind in ("", "long")


def _is_noun(token: Token, beside: Sequence[Token]) -> bool:
    said = fold(token.text)
    if said not in _NOUNS:
        return said == "plate"
    described = any(one.entry and (one.entry.head or one.entry.drive) for one in beside)
    described = described or any(one.kind == "tool" for one in beside)
    unread = any(is_unread(one) or fold(one.text) in bench_words("condition") for one in beside)
    return unread or (said in _HEADS and not described)


def _keep_unknown_thread(found: Sequence[Token], lines: Sequence[ParsedLine]) -> None:
    """`5/16 - thread unknown, 22 tpi?`: what is told all the same is not said for certain."""
    for token in found:
        if token.kind != "phrase" or not patterns()["unknown_thread"].fullmatch(token.text):
            continue
        owner = next((line for line in reversed(lines) if line.start <= token.start), lines[0])
        threadless = bool(owner.kind) and owner.kind not in THREADED_KINDS
        if owner.thread is not None or owner.tpi is not None or threadless:
            owner.words.append(token.text)


def _is_form_letter(found: Sequence[Token], at: int) -> bool:
    """The A of `DIN 6885 A 5x5x20` and of A8.4, which is the form by the standard."""
    token = found[at]
    if len(token.text) != 1 or not token.text.isupper():
        return False
    before = found[at - 1] if at else None
    follower = found[at + 1] if at + 1 < len(found) else None
    tight = follower is not None and bool(follower.numbers) and follower.start == token.end
    standard = any(one.kind == "standard" or (one.thread and one.text[:1] in "Gg") for one in found)
    return standard and (
        tight or (before is not None and before.kind in ("standard", "numbers", "thread"))
    )


def _keep_lost(found: Sequence[Token], lines: Sequence[ParsedLine]) -> None:
    """No word that was typed is lost, whatever it was taken for."""
    kept = " ".join(
        " ".join(
            (
                *line.words,
                *line.place,
                *line.notes,
                *line.tools,
                line.kind_words,
                line.thread_text if line.thread and line.thread.options else "",
                *(word for lock in line.locks for word in (lock.place, lock.tool, *lock.words)),
            )
        )
        for line in lines
    )
    for at, token in enumerate(found):
        placed = token.entry is not None and token.entry.place
        before = found[at - 1].entry if at else None
        metal = before is not None and bool(before.material) and fold(token.text) not in _HEADS
        beside = (*found[max(0, at - 1) : at], *found[at + 1 : at + 2])
        noun = _is_noun(token, beside) and not metal  # zinc plate is a finish
        form = _is_form_letter(found, at)
        if token.kind not in ("word", "quoted") and not placed and not noun and not form:
            continue
        if not form and any(fold(token.text) in bench_words(role) for role in _SMALL):
            continue
        said = token.name or token.text
        if form and f" {said} " in f" {kept} ":
            continue
        if (
            not said.strip('“”"., ')
            or (said in kept and not form)
            or not any(map(str.isalpha, said))
        ):
            continue
        if token.kind == "phrase" and tells_sort(token) and fold(said) in fold(kept):
            continue
        owner = next((line for line in reversed(lines) if line.start <= token.start), lines[0])
        owner.words.append(said)
        kept = f"{kept} {said}"
