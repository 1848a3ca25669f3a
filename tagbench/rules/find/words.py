"""Typed text into the words that find compares: folded, singular, numbers as digits."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from functools import cache, lru_cache

NUMBER_WORDS = {
    word: str(value)
    for value, word in enumerate(
        (
            *("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"),
            *("ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen"),
            *("seventeen", "eighteen", "nineteen", "twenty"),
        )
    )
} | {"couple": "2", "pair": "2", "both": "2", "dozen": "12", "single": "1"}
"""Number words and the digits they stand for."""

STOP_WORDS = frozenset(
    (
        *("a", "an", "and", "are", "at", "did", "do", "does", "find", "for", "from", "have", "i"),
        *("im", "in", "is", "it", "its", "me", "my", "of", "off", "on", "or", "our", "please"),
        *("put", "show", "some", "that", "the", "their", "them", "there", "these", "this"),
        *("those", "to", "was", "were", "what", "where", "which", "who", "with", "x"),
    )
)
"""Words that say nothing about the thing looked for."""

# Letters that no Unicode decomposition takes apart.
_LETTERS = str.maketrans(
    {
        "ø": "o",
        "ł": "l",
        "đ": "d",
        "ð": "d",
        "þ": "th",
        "æ": "ae",
        "œ": "oe",
        "ı": "i",
        "ŋ": "n",
        "ħ": "h",
        "×": "x",
        "′": "'",
        "’": "'",
        "‘": "'",
        "″": '"',
        "“": '"',
        "”": '"',
        "⁄": "/",
        "–": "-",
        "—": "-",
        "‐": "-",
        "‑": "-",
    }
)

_WORD = r"""
      (?P<letters>[^\W\d_]{3,}(?!\w))
    | (?<![^\W_])m\s?(?P<d>\d+(?:[.,]\d+)?)(?![\d.,]*[a-wyz])
          (?:\s*[x*-]\s*(?P<m1>\d*[.,]?\d+))?(?:\s*[x*]\s*(?P<m2>\d*[.,]?\d+))?(?:\s?mm)?
    | (?:\#|\bno\.?\s?)(?P<number>\d{1,2})-(?P<numbertpi>\d{2,3})
    | \#(?P<gauge>\d{1,2})(?!\d)
    | (?<!\d)(?P<whole>\d{1,2}[-\s])?(?P<top>\d{1,2})/(?P<bottom>2|4|8|16|32|64)(?!\d)
          (?:-(?P<tpi>\d{1,3})(?!\d))?(?:"|\s?in(?:ch(?:es)?)?\b)?
    | (?P<ba>\d{1,2})\s?ba\b
    | (?P<mm>\d*[.,]?\d+)\s?mm\b
    | \b(?P<side>[lrno])\s?/\s?(?P<hand>[hs])\b
    | (?P<by>(?<=\d)\s?[x*]\s?(?=[\d.,])|(?<=\d)\s?x\b)
    | (?P<decimal>\d*[.,]\d+)
    | (?P<times>\d+)(?=x(?:\b|[\d.,]))
    | (?P<plain>[^\W_]+)
    """


@cache
def _pattern(text: str) -> re.Pattern[str]:
    """A pattern that few texts need, compiled for the first that does."""
    return re.compile(text, re.VERBOSE if text is _WORD else 0)


_FIGURE = re.compile(r"\d")
_LETTERS_ONLY = re.compile(r"[^\W_]+")
"""The words of a text without figures and strokes: most texts, and much quicker."""


@lru_cache(maxsize=65536)
def fold(text: str) -> str:
    """`text` without case, accents and typographic variants, for comparing in any script."""
    if text.isascii():
        return text.lower()
    # Twice, since taking apart may give capitals (™) and folding may give new accents (İ).
    once = unicodedata.normalize("NFKD", text).casefold()
    apart = unicodedata.normalize("NFKD", once).casefold()
    bare = "".join(sign for sign in apart if not unicodedata.combining(sign))
    return bare.translate(_LETTERS)


LEFT_HAND = "lefthandthread"
"""The word for a left-hand thread, so that it is no thread on the left."""
_LEFT_HAND = r"\b(?:left[- ]?hand(?:ed)?|lh|l/h|reverse)\s(?:thread(?:ed|s)?|thd)\b"
_SPANNER = (
    r"(?P<size>\d{1,2}/\d{1,2}|\d{1,2}(?:[.,]\d)?)\s?(?:mm|in(?:ch)?|\")?\s?-?\s?"
    r"(?:spanner|wrench|a/?f|socket|ring\sspanner|across\sflats)\b"
    r"|(?:spanner|wrench|socket|across\sflats)\s(?P<behind>\d{1,2}/\d{1,2}|\d{1,2}(?:[.,]\d)?)"
)


SPANNER = "spanner"
"""How the word for a spanner size begins."""


def spanner_word(size: str) -> str:
    """One word for a spanner size, `13` or `7/16`, so that it is no length or diameter."""
    return f"{SPANNER}{figure(size).replace('/', 'over')}"


def _as_properties(text: str) -> str:
    """A left-hand thread and a spanner size in one word each."""
    if "thread" in text or "thd" in text:
        text = _pattern(_LEFT_HAND).sub(LEFT_HAND, text)
    if "spanner" in text or "wrench" in text or "af" in text or "socket" in text or "a/f" in text:
        found = _pattern(_SPANNER)
        text = found.sub(lambda m: f" {spanner_word(m['size'] or m['behind'])} ", text)
    return text


@lru_cache(maxsize=65536)
def split(text: str) -> tuple[str, ...]:
    """The words of `text` in order, folded, as typed otherwise; threads in comparable spellings.

    `4x M5x.8x12 pan` gives `4 m5 m5x0.8 12mm pan`; `1/4-20` gives `1/4 1/4-20`.
    """
    bare = text.lower() if text.isascii() else fold(text)
    if bare.isascii() and bare.isalpha():
        return (bare,)
    if "'" in bare:
        bare = bare.replace("o'clock", "oclock").replace("'", "")
    bare = _as_properties(bare)
    if "/" not in bare and not _FIGURE.search(bare):
        return tuple(_LETTERS_ONLY.findall(bare))
    found: list[str] = []
    for match in _pattern(_WORD).finditer(bare):
        if match.lastgroup == "letters":  # most are: no other reading begins with three
            found.append(match[0])
        elif match.lastgroup == "plain":
            found.append(_plain(match[0]))
        else:
            found += _words_of(match)
    return tuple(found)


def _words_of(match: re.Match[str]) -> Iterable[str]:
    part = match.groupdict()
    if part["d"]:
        yield from _metric(part["d"], [text for text in (part["m1"], part["m2"]) if text])
    elif part["number"]:
        yield from (f"#{part['number']}", f"#{part['number']}-{part['numbertpi']}")
    elif part["gauge"]:
        yield f"#{part['gauge']}"
    elif part["top"]:
        size = f"{(part['whole'] or '').strip(' -')} {part['top']}/{part['bottom']}".strip()
        yield size
        if part["tpi"]:
            yield f"{size}-{part['tpi']}"
    elif part["ba"]:
        yield f"{int(part['ba'])}ba"
    elif part["mm"]:
        yield f"{figure(part['mm'])}mm"
    elif part["side"]:
        yield part["side"] + part["hand"]
    elif not part["by"]:
        yield _plain(part["times"] or part["decimal"])


def _metric(diameter: str, rest: list[str]) -> Iterable[str]:
    """M5x0.8x12 and M5x12: a second figure is the pitch only when it is small enough for one."""
    size = figure(diameter)
    yield f"m{size}"
    if rest and float(figure(rest[0])) <= 0.3 * float(size):
        yield f"m{size}x{figure(rest.pop(0))}"
    yield from (f"{figure(length)}mm" for length in rest)


def _plain(word: str) -> str:
    if word.isdecimal():
        return str(int(word))
    return figure(word) if word[0] in ".,0123456789" and word[-1].isdecimal() else word


def figure(text: str) -> str:
    """A decimal figure in one spelling: `,80` and `0.8` are both `0.8`; other text unchanged."""
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        return text
    return f"{value:.6f}".rstrip("0").rstrip(".")


@lru_cache(maxsize=65536)
def stem(word: str) -> str:
    """The word in the singular, a number word as digits: the form that is compared."""
    if word in NUMBER_WORDS:
        return NUMBER_WORDS[word]
    if len(word) < 4 or not word.endswith("s") or word.endswith(("ss", "us", "is")):
        return word
    if word.endswith("ies") and len(word) > 4:
        return word[:-3] + "y"
    if word.endswith(("sses", "ches", "shes", "xes", "zes")):
        return word[:-2]
    return word[:-1]


def stems(text: str) -> tuple[str, ...]:
    """The words of `text` in the form that is compared."""
    return tuple(map(stem, split(text)))
