"""The short ways through the reading of words give what the long one gives."""

from __future__ import annotations

import re

from hypothesis import example, given, strategies as some

from tagbench.rules.find import words
from tagbench.rules.find.words import split

_LONG = re.compile(
    re.sub(r"\(\?P<letters>.*\n\s*\|", "", words._WORD), re.VERBOSE
)  # every word by all its readings
PIECES = some.sampled_from(
    (
        *(
            "m",
            "M5",
            "x",
            "0.8",
            "12",
            "mm",
            "ba",
            "BA",
            "no",
            "no.",
            "#8",
            "-32",
            "/",
            "1/4",
            "in",
        ),
        *("nor", "max", "xyz", "thd", "left hand", "thread", "lh", "l/h", "13", "spanner"),
        *(" ", " ", "  ", "'", "o'clock", ",", ".", "_", "-", "²", "Ⅷ", "٣", "é", "Ø", "ß"),
        *("№", "in", "af"),
    )
)


def the_long_way(text: str) -> tuple[str, ...]:
    """As `split` says it, without any of its short ways."""
    bare = words.fold(text).replace("o'clock", "oclock").replace("'", "")
    found: list[str] = []
    for match in _LONG.finditer(words._as_properties(bare)):
        found += [words._plain(match[0])] if match.lastgroup == "plain" else words._words_of(match)
    return tuple(found)


def test_the_long_way_is_one() -> None:
    """The pattern that is compared with knows all readings but the short one."""
    known = set(re.compile(words._WORD, re.VERBOSE).groupindex)
    assert set(_LONG.groupindex) == known - {"letters"}


@given(some.lists(PIECES, max_size=8).map("".join) | some.text(max_size=20))
@example("4x M5x.8x12 pan")
@example("bag Bag 380")
@example("5xabc 4x5abc abc5 abc_5 no8-32 nor 8-32 mmm 5")
@example("left hand thread 1/4-20")
def test_short_ways_give_the_same_words(text: str) -> None:
    """Words of letters alone, and texts without a figure, are most of a book."""
    assert split(text) == the_long_way(text)
