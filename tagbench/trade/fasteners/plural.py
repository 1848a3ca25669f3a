"""Words of the bench that say several, in the languages that are read."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from tagbench.trade.fasteners.abroad import languages
from tagbench.trade.fasteners.vocabulary import fold, fold_words
from tagbench.trade.published import read_table

#: Words of one thing that end in s.
_SINGULAR = frozenset(("vis", "nails", "plus"))
#: Of these, what is one thing in French and Spanish, and several in English.
_SINGULAR_ABROAD = frozenset(("circlips",))
#: How words of several things end in German; a Bolzen or Stopfen may be one.
_GERMAN = (
    "schrauben", "schraubchen", "muttern", "scheiben", "federn", "nieten", "splinte", "splinten",
    "schellen", "stifte", "ringe", "bleche", "hulsen", "huelsen", "buchsen", "kugeln", "klammern",
    "klemmen", "dichtungen", "tullen", "tuellen", "speichen", "kerzen", "keile", "nagel", "naegel",
    "nadeln", "rollen", "einsatze", "schlosser", "stangen", "maden",
)  # fmt: skip
#: How a word of several things ends in Italian, and one of them: viti and vite.
_ITALIAN_ENDS = MappingProxyType({"e": ("a",), "i": ("o", "e", "a", "io")})


@cache
def _first_words() -> Mapping[str, frozenset[str]]:
    """The nouns that phrases of French, Spanish and Italian begin with → their languages."""
    found: dict[str, set[str]] = {}
    home = {fold_words(row["words"])[0] for row in read_table("fastener_words")}
    for row in read_table("fastener_words_abroad"):
        first, *_ = fold_words(row["words"])
        if row["kind"] and row["language"] != "de" and first not in home:
            found.setdefault(first, set()).add(row["language"])
    return MappingProxyType({word: frozenset(said) for word, said in found.items()})


@cache
def _languages_of_phrases() -> Mapping[tuple[str, ...], frozenset[str]]:
    found: dict[tuple[str, ...], set[str]] = {}
    for row in read_table("fastener_words_abroad"):
        found.setdefault(tuple(fold_words(row["words"])), set()).add(row["language"])
    return MappingProxyType({phrase: frozenset(said) for phrase, said in found.items()})


def is_plural(words: str, note: str = "") -> bool:
    """Whether a word of the bench says several: bolts, Schrauben, dadi, viti a brugola.

    `note` is all that was written, where a word is one in French and several in Italian.
    """
    said = fold(words).split() or [""]
    noun = said[0] if len(said) > 1 and said[0] in _first_words() else said[-1]
    if noun in _SINGULAR_ABROAD:
        return bool(note) and not languages(note)
    if noun.endswith("s"):
        short = noun.endswith(("ss", "cs")) and not noun.endswith(("discs", "locs"))
        return noun not in _SINGULAR and not short and noun != "ms"
    if noun.endswith(_GERMAN):
        return True
    return _is_italian_plural(noun) and not _is_french(noun, tuple(fold_words(words)), note)


def _is_french(noun: str, phrase: tuple[str, ...], note: str) -> bool:
    """The rondelle of `rondelle cuivre`, of which there is one."""
    spoken = _languages_of_phrases().get(phrase, frozenset())
    if len(spoken) != 1 and note:
        spoken = languages(note)
    return "fr" in _first_words()[noun] and spoken == {"fr"}


def _is_italian_plural(noun: str) -> bool:
    """The rondelle of a rondella, the viti of a vite."""
    known = _first_words()
    if "it" not in known.get(noun, ()):
        return False
    ends = _ITALIAN_ENDS.get(noun[-1:], ())
    return any("it" in known.get(f"{noun[:-1]}{end}", ()) for end in ends)


#: Italian plurals of parts.
PARTS_ITALIAN = (
    "staffe",
    "piastre",
    "leve",
    "molle",
    "coperchi",
    "supporti",
    "tappi",
    "tubi",
    "cavi",
)
#: How German words end that are the same for one and for several.
_SAME_IN_GERMAN = (
    "halter", "deckel", "hebel", "bugel", "kolben", "bolzen", "schalter", "riegel", "nippel",
    "reifen", "stecker", "spiegel", "blinker", "puffer", "dampfer",
)  # fmt: skip


def is_one_or_several(word: str) -> bool:
    """Whether a German word of a part is the same for one and for several: Halter, Deckel."""
    return fold(word).endswith(_SAME_IN_GERMAN)
