"""What a typed query asks for: one place a word, each with all that the word may mean."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from itertools import pairwise

import msgspec

from tagbench.errors import BadInput
from tagbench.rules.find.fields import THREAD_SIGN, thread_word
from tagbench.rules.find.numbers import NumberBook
from tagbench.rules.find.pairs import phrase_words, phrases_in, trade_pairs
from tagbench.rules.find.vocabulary import Vocabulary
from tagbench.rules.find.words import STOP_WORDS, split, stem

NUMBER_SIGN = "№"
"""Stands before a plain part number, so that it is never taken for a word."""
_CALLED_A_NUMBER = re.compile(
    r"\b(?:part\s+)?(?:numbers?|no\b\.?|nr\b\.?|p/?n\b)[\s:]+(?=\S*\d\S*\d\S*\d)", re.IGNORECASE
)
"""What a part number is called before it is typed; three figures tell it from the `no 8` screw."""
_ASKED_HOW = re.compile(
    r"\bhow\s(?:tight|many|much|long|big|thick)\b|\bwhat\s(?:torque|size|colou?r)\b"
    r"|\bwhich\s(?:way|side|colou?r|size)\b",
    re.IGNORECASE,
)
"""What a question asks of a part, and does not call it: how tight are the head nuts."""
_BARE_METRIC = r"[0-9]{1,2}\s?[x×*]\s?[0-9][.,][0-9]{1,2}"
"""`12x1.25`, a metric thread without its M."""
LONGEST = 300
"""So many characters of a query are looked for."""
SHORTEST_PIECE, LONGEST_WORD = 3, 24
"""Letters of the words that one without blanks is taken apart into."""
LESS = 0.6
"""By how much less a word of a phrase means what it means alone."""
HALF_WORD = 4
"""So many letters of a word of a phrase may stand for it."""
LOOSE = 0.75
"""A meaning below this is loose: a trade pair of a slip, or words used loosely for one another."""


class AskedWord(msgspec.Struct, frozen=True):
    """One word of a query."""

    word: str
    """The word as typed, folded."""
    meanings: Mapping[str, float]
    """Compared forms it may mean, with how near each is (1 the very word)."""


def understand(text: str, vocabulary: Vocabulary, numbers: NumberBook) -> list[AskedWord]:
    """The words of a query without those that say nothing, each with what it may mean."""
    text = _CALLED_A_NUMBER.sub("", text[:LONGEST])
    text = _ASKED_HOW.sub(" ", text).strip() or text
    words = _worth_asking(split(text), vocabulary)
    asked = [dict(vocabulary.meanings(word)) for word in words]
    for begin, end, meanings in _spans(text, words, vocabulary, numbers):
        whole_thread = any(word.startswith(THREAD_SIGN) for word in meanings)
        phrase = " ".join(map(stem, words[begin:end])) in meanings and end - begin > 1
        for place in range(begin, end):
            if phrase:  # the wing of a wing nut is no mudguard
                loose = asked[place].items()
                asked[place] = {w: near if near == 1 else LESS * near for w, near in loose}
            if whole_thread:
                asked[place] = {w: near for w, near in asked[place].items() if not _is_figure(w)}
            for word, quality in meanings.items():
                asked[place][word] = max(quality, asked[place].get(word, 0.0))
    return [
        AskedWord(word, meanings) for word, meanings in zip(words, _told_apart(asked), strict=True)
    ]


def _is_figure(word: str) -> bool:
    """Whether it is a bare figure: the 10 and the 32 of 10-32 are no sizes of their own."""
    return word.replace(".", "", 1).isdecimal()


def _told_apart(asked: Sequence[Mapping[str, float]]) -> list[Mapping[str, float]]:
    """Leaves out loose meanings that another word has more nearly.

    So in `bracket mounting` the bracket alone does not answer both words.
    """
    nearest: dict[str, float] = {}
    for meanings in asked:
        for word, near in meanings.items():
            nearest[word] = max(near, nearest.get(word, 0.0))
    return [
        {word: near for word, near in meanings.items() if near >= LOOSE or near >= nearest[word]}
        for meanings in asked
    ]


def _worth_asking(words: Sequence[str], vocabulary: Vocabulary) -> list[str]:
    phrases = phrases_in([stem(word) for word in words])
    in_phrase = {place for begin, end, _ in phrases for place in range(begin, end)}
    telling = [
        word for at, word in enumerate(words) if word not in STOP_WORDS or at in in_phrase
    ] or list(words)
    return [piece for word in telling for piece in _taken_apart(word, vocabulary)]


def _taken_apart(word: str, vocabulary: Vocabulary) -> tuple[str, ...]:
    """`backingplate` → `backing`, `plate`, when the book knows both halves and not the whole."""
    if len(word) < 6 or word in vocabulary or stem(word) in vocabulary:
        return (word,)
    for cut in range(3, len(word) - 2):
        halves = word[:cut], word[cut:]
        if all(half in vocabulary or stem(half) in vocabulary for half in halves):
            return halves
    return _run_together(word, vocabulary) or (word,)


def _run_together(word: str, vocabulary: Vocabulary) -> tuple[str, ...]:
    """`leftbrakeshoe` → `left`, `brake`, `shoe`: the fewest known words that it is made of.

    Empty when some of it is in no word. Words that say nothing may stand between, and go.
    """
    best: list[tuple[str, ...] | None] = [()]
    for end in range(1, len(word) + 1):
        ways = [
            (*before, piece)
            for begin in range(max(0, end - LONGEST_WORD), end)
            if (before := best[begin]) is not None
            and _is_piece(piece := word[begin:end], vocabulary)
        ]
        best.append(min(ways, key=len, default=None))
    return tuple(piece for piece in best[-1] or () if piece not in STOP_WORDS)


def _is_piece(piece: str, vocabulary: Vocabulary) -> bool:
    if len(piece) < SHORTEST_PIECE:
        return len(piece) > 1 and piece in STOP_WORDS
    return piece in vocabulary or stem(piece) in vocabulary or piece in STOP_WORDS


def _spans(
    text: str, words: Sequence[str], vocabulary: Vocabulary, numbers: NumberBook
) -> list[tuple[int, int, Mapping[str, float]]]:
    """Meanings of several words taken together: trade phrases, joined words, part numbers."""
    spans: list[tuple[int, int, Mapping[str, float]]] = []
    for begin, end, phrase in phrases_in([_likeliest(word, vocabulary) for word in words]):
        spans.append((begin, end, {phrase: 1.0} | dict(trade_pairs()[phrase])))
    for begin, (first, second) in enumerate(pairwise(words)):
        joined = first + second
        if joined in vocabulary or stem(joined) in vocabulary:
            spans.append((begin, begin + 2, vocabulary.meanings(joined)))
    spans.extend(_typed_spans(text, words, numbers))
    return spans


def _likeliest(word: str, vocabulary: Vocabulary) -> str:
    """The compared form of a known word, or the nearest known one for a slip."""
    known = stem(word)
    if word in vocabulary or known in vocabulary or known in phrase_words():
        return known
    if len(word) >= HALF_WORD:  # air filt
        begun = [whole for whole in phrase_words() if whole.startswith(word)]
        if begun:
            return min(begun, key=lambda whole: (len(whole), whole))
    others = {form: near for form, near in vocabulary.meanings(word).items() if form != known}
    return max(others, key=others.__getitem__, default=known)


def _typed_spans(
    text: str, words: Sequence[str], numbers: NumberBook
) -> Iterator[tuple[int, int, Mapping[str, float]]]:
    """Pieces of the text with a figure in them, read as a part number or a thread."""
    typed = text.split()
    for begin in range(len(typed)):
        for end in range(begin + 1, min(begin + 4, len(typed)) + 1):
            piece = " ".join(typed[begin:end])
            if not any(sign.isdigit() for sign in piece):
                continue
            found = {NUMBER_SIGN + number: near for number, near in numbers.meant(piece).items()}
            thread = _thread_meant(piece)
            if thread:
                found[thread] = 1.0
            if found:
                for at, to in _places(split(piece), words):
                    yield at, to, found


@lru_cache(maxsize=4096)
def _thread_meant(text: str) -> str:
    """The word that stands for a thread in any of its spellings; empty when it is none."""
    from tagbench.trade.threads.designation import parse_thread

    try:
        bare = "M" if re.fullmatch(_BARE_METRIC, text.strip()) else ""
        return thread_word(parse_thread(bare + text.strip()).designation)
    except BadInput:
        return ""


def _places(piece: Sequence[str], words: Sequence[str]) -> list[tuple[int, int]]:
    """Where a row of words stands in another."""
    size = len(piece)
    return [
        (at, at + size)
        for at in range(len(words) - size + 1)
        if tuple(words[at : at + size]) == tuple(piece)
    ]
