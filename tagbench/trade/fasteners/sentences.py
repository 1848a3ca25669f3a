"""A note that is several sentences: each begins another clause, as behind a comma."""

from __future__ import annotations

import re

from tagbench.trade.fasteners.vocabulary import bench_roles, fold, look_up

_END = re.compile(r"(?<![\w.])(?P<last>[^\W\d_]{4,}[)!]?)\.\s+(?=[^\W_])(?!x\s?[0-9])")

_VOWEL = re.compile(r"[aeiouy]")


def in_clauses(note: str) -> str:
    """The note with a comma for each full stop that ends a sentence.

    Behind a word that is shortened, `rear susp. bolts`, the point stays.
    """
    if "“" in note or ". " not in note:
        return note
    return _END.sub(lambda found: f"{found['last']}, " if _is_whole(found) else found[0], note)


def _is_whole(found: re.Match[str]) -> bool:
    """Whether the word before the point is one that is known as it stands."""
    word = fold(found["last"].rstrip(")!"))
    spelled_out = _VOWEL.search(word) is not None
    return spelled_out and (look_up((word,)) is not None or bool(bench_roles(word)))
