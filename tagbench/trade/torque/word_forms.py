"""Words of a name, made alike: accents, case, plurals in five languages, slips of the finger."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

_WORD = re.compile(r"[a-z]+")
_LIGATURES = str.maketrans({"œ": "oe", "æ": "ae", "ø": "o"})
#: The accents of Latin letters, once they are apart from them; other marks are rare.
_ACCENTS = dict.fromkeys(range(0x300, 0x370))
#: Endings that make a plural (or a feminine) and what they replace, by language.
_ENDINGS: dict[str, tuple[tuple[str, str], ...]] = {
    "en": (("", "s"), ("", "es"), ("y", "ies"), ("fe", "ves"), ("f", "ves")),
    "de": (("", "n"), ("", "en"), ("", "e"), ("", "er"), ("", "s"), ("", "es"), ("", "ern")),
    "fr": (("", "s"), ("", "x"), ("al", "aux"), ("eau", "eaux")),
    "es": (("", "s"), ("", "es"), ("z", "ces")),
    "it": (
        ("o", "i"),
        ("a", "e"),
        ("e", "i"),
        ("co", "chi"),
        ("ca", "che"),
        ("go", "ghi"),
        ("io", "i"),
    ),
}
#: German umlauts as they are typed without the key.
_UMLAUTS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue"})


def folded(text: str) -> str:
    """`text` in small letters without accents: `Stoßdämpfer` → `stossdampfer`."""
    if text.isascii():
        return text.lower()
    spread = unicodedata.normalize("NFKD", text.casefold().translate(_LIGATURES))
    bare = spread.translate(_ACCENTS)
    if bare.isascii():
        return bare
    return "".join(letter for letter in bare if not unicodedata.combining(letter))


def words_in(text: str) -> list[str]:
    """The words of `text` as `folded` writes them; hyphens and apostrophes part them."""
    return _WORD.findall(folded(text))


def roots(word: str, language: str) -> set[str]:
    """`word` folded; a German one also with its umlauts as two letters."""
    found = {folded(word)}
    if language == "de":
        found.add(folded(word.casefold().translate(_UMLAUTS)))
    return found


@lru_cache(maxsize=8192)
def inflected(word: str, language: str) -> tuple[str, ...]:
    """`word` (one word, as typed in a table) and its plurals, folded, each once."""
    found: dict[str, None] = {}
    for root in sorted(roots(word, language)):
        found[root] = None
        for ending, plural in _ENDINGS[language]:
            if root.endswith(ending) and len(root) >= 3:
                found[root.removesuffix(ending) + plural] = None
    return tuple(found)


def letters_off(left: str, right: str) -> int:
    """How many kinds of letters one word has and the other lacks: so many slips at least."""
    return max(len(set(left).difference(right)), len(set(right).difference(left)))


def slips(left: str, right: str, most: int) -> bool:
    """Whether `left` becomes `right` by at most `most` slips.

    A slip is a letter left out, added, changed, or two neighbours swapped (optimal string
    alignment distance).
    """
    if abs(len(left) - len(right)) > most or letters_off(left, right) > most:
        return False
    before: list[int] = []
    row = list(range(len(right) + 1))
    for i, one in enumerate(left, 1):
        older, before, row = before, row, [i]
        for j, other in enumerate(right, 1):
            cost = min(before[j] + 1, row[j - 1] + 1, before[j - 1] + (one != other))
            if i > 1 and j > 1 and one == right[j - 2] and left[i - 2] == other:
                cost = min(cost, older[j - 2] + 1)
            row.append(cost)
        if min(row) > most:
            return False
    return row[-1] <= most


_SOUNDS = (("ck", "k"), ("ph", "f"), ("c", "k"), ("x", "ks"), ("z", "s"), ("gh", ""))


@lru_cache(maxsize=8192)
def skeleton(word: str) -> str:
    """The consonants of an English word by sound, doubled ones once: `blaid`, `blade` → `bld`."""
    for letters, sound in _SOUNDS:
        word = word.replace(letters, sound)
    return re.sub(r"(.)\1", r"\1", re.sub("[aeiouy]", "", word))


def swapped_or_added(said: str, right: str) -> bool:
    """Whether a short word is `right` with two neighbours swapped or one letter too many."""
    if len(said) == len(right):
        return said != right and sorted(said) == sorted(right) and slips(said, right, 1)
    return len(said) == len(right) + 1 and slips(said, right, 1)


def first_sound(word: str) -> str:
    """The sound that a word begins with; few people slip there, but for c and k, f and ph."""
    return {"c": "k", "p": "f"}.get(word[0], word[0])
