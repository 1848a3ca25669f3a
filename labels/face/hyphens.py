"""Where a word may be broken: at its own hyphen or slash, else between syllables.

The break between syllables is told from vowels and consonants alone (common practice, no source),
so it serves any language written in Latin letters; a dictionary would not know the trade's words.
"""

import unicodedata

HYPHEN = "\u2010"
"""The hyphen set at a break; a typed hyphen is another character and so is never lost."""
_VOWELS = frozenset("aeiouyæœøı")
_LEAST = 3
"""Letters that stay together before and after a break."""
_TOGETHER = frozenset(("ch", "ck", "ph", "sh", "th", "qu", "gh", "st", "sp"))


def breaks(word: str) -> list[tuple[int, str]]:
    """Places where a word may be broken, and what is set there: a hyphen, or nothing after one
    that is typed."""
    found = []
    for at in range(1, len(word)):
        if word[at - 1] in "-/,;·+×" and at > 1:
            found.append((at, ""))
        elif _between_syllables(word, at):
            found.append((at, HYPHEN))
    return found


def _between_syllables(word: str, at: int) -> bool:
    """After a vowel before one consonant and a vowel, or between two consonants and two vowels."""
    if not (
        word[max(0, at - _LEAST) : at + _LEAST].isalpha() and _LEAST <= at <= len(word) - _LEAST
    ):
        return False
    kinds = [_is_vowel(letter) for letter in word[at - 2 : at + 2]]
    if word[at - 1 : at + 1].lower() in _TOGETHER:
        return False
    return kinds[1:] == [True, False, True] or kinds == [True, False, False, True]


def _is_vowel(letter: str) -> bool:
    return unicodedata.normalize("NFD", letter)[0].lower() in _VOWELS
