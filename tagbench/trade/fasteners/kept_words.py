"""The words of a line that were not understood, as they were typed and in their order."""

from __future__ import annotations

import re
from collections.abc import Sequence

from tagbench.trade.fasteners.vocabulary import bench_words, fold

#: What was understood stands between, or another clause begins.
_PARTS = re.compile(r"[,;.]\s|[^\W_]")
#: Behind these no comma parts two clauses.
_ENDS = (",", ";", ".", "!", "?")


def in_order(words: Sequence[str], text: str, start: int) -> str:
    """The words as they stand in the text, with the small words between two of them."""
    spans: list[tuple[int, int]] = []
    lost: list[str] = []
    for word in filter(None, words):
        place = _place(word, text, start, spans)
        if place is None:
            lost.append(word)
        else:
            spans.append(place)
    said: list[str] = []
    last = None
    for begin, end in sorted(spans):
        gap = text[last:begin] if last is not None else ""
        if _is_small(gap):
            said.append(gap)
        elif (
            said and re.search(r"[,;.]\s", gap) and not said[-1].endswith((",", ";", ".", "!", "?"))
        ):
            said[-1] += ","  # cracked, cap ok: two clauses
        said.append(text[begin:end])
        last = end
    return " ".join(" ".join([*said, *lost]).split())


def _place(
    word: str, text: str, start: int, taken: Sequence[tuple[int, int]]
) -> tuple[int, int] | None:
    begin = text.find(word, start)
    while begin >= 0:
        end = begin + len(word)
        inside = text[begin - 1 : begin].isalnum() and word[0].isalpha()
        if not inside and all(end <= first or begin >= last for first, last in taken):
            return begin, end
        begin = text.find(word, begin + 1)
    return None


def _is_small(gap: str) -> bool:
    words = gap.split()
    return bool(words) and all(
        fold(word) in bench_words("noise") or word.lower() == "its" for word in words
    )
