"""Notes in German, French, Spanish and Italian: what people shorten in them is written out.

Most of what is shortened means something else in another language: `m.` is mit, `re.` right,
`post.` rear. It is written out only where another word of the note is of that language alone, so
that a note in English is never changed.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping
from functools import cache, lru_cache
from types import MappingProxyType

from tagbench.trade.fasteners.patterns import replaced
from tagbench.trade.fasteners.vocabulary import (
    NO_LENGTH,
    count_said,
    fold,
    fold_words,
    look_up,
)
from tagbench.trade.published import read_table

#: Shorter words are of several languages by chance.
_TELLS = 4
#: Short names of screws that are said in one language only.
_SURE = frozenset(("vis", "chc", "fhc", "btr", "tcei", "tbei", "skt", "6kt"))


@cache
def _languages_of() -> Mapping[str, frozenset[str]]:
    """Each word that is of other languages only → those languages, by their two letters."""
    english = {word for row in read_table("fastener_words") for word in fold_words(row["words"])}
    found: dict[str, set[str]] = {}
    for table in ("fastener_words_abroad", "part_words"):
        for row in read_table(table):
            words = fold_words(row["words"])
            if row["language"] == "en":
                english |= set(words)
            else:
                for word in words:
                    found.setdefault(word, set()).add(row["language"])
    return MappingProxyType(
        {
            word: frozenset(languages)
            for word, languages in found.items()
            if word not in english and (len(word) >= _TELLS or word in _SURE)
        }
    )


#: `d'axe`, `dell'olio`.
_ELIDED = re.compile(r"\b(?:d|l|dell|all|nell|sull)'(?=[^\W\d_]{3})", re.IGNORECASE)


#: A sign that stands in German alone; not in the Ø sizes and units of a note.
_SHARP_S = re.compile(r"[^\W\d_]ß|ß[^\W\d_]")


@lru_cache(maxsize=256)
def languages(text: str) -> frozenset[str]:
    """The language, by its two letters, that most words of a note are of; none for English.

    Several only where as many words are of one as of the other.
    """
    votes = Counter(
        language for word in re.findall(r"[^\W_]+", text) for language in _of_word(fold(word))
    )
    votes.update(("fr", "it") if _ELIDED.search(text) else ())
    votes.update(("de",) if _SHARP_S.search(text) else ())
    most = max(votes.values(), default=0)
    return frozenset(language for language, many in votes.items() if many == most)


@lru_cache(maxsize=4096)
def _of_word(word: str) -> frozenset[str]:
    known = _languages_of()
    for said in (word, word.removesuffix("s"), word.removesuffix("n"), word.removesuffix("e")):
        if said in known:
            return known[said]
    found = look_up((word,)) if len(word) > _TELLS else None
    german = found is not None and found[1].foreign and word not in known
    return frozenset(("de",)) if german else frozenset()


@cache
def _short_words() -> Mapping[str, tuple[tuple[re.Pattern[str], str], ...]]:
    """Language → what is shortened in it, and what it is in full."""
    found: dict[str, list[tuple[re.Pattern[str], str]]] = {}
    for row in read_table("short_words_abroad"):
        short = row["words"]
        ends = (
            r"(?:\.(?=[\s,;)+&]|$)|\s?$)" if row["point"] else r"(?:\.(?=[\s,;)+&]|$)|(?![\w./]))"
        )
        if short.endswith("/"):
            ends = r"\s?(?=[^\W\d_]|[0-9])"
        elif len(short) == 1:
            ends = r"\.\s?(?=\S)"
        pattern = re.compile(rf"(?<![\w./'-]){re.escape(short)}{ends}", re.IGNORECASE)
        found.setdefault(row["language"], []).append((pattern, f"{row['full']} "))
    return MappingProxyType({language: tuple(rows) for language, rows in found.items()})


#: `v. li.` is vorn links; `v. Fußraste` is von.
_FRONT = re.compile(r"(?<![\w.])v\.\s?(?=(?:li|re|o|u)\b|[,)]|$)|(?<![\w.])v\.?$", re.IGNORECASE)
_REAR = re.compile(r"(?<![\w.])h\.\s?(?=(?:li|re|o|u)\b|[,)]|$)", re.IGNORECASE)
#: `Bremsbelag-Nieten`: two words of which the second says what it is.
_HYPHENED = re.compile(r"(?<![\w-])([^\W\d_]{3,})-([^\W\d_]{3,})(?![\w-])")
#: `8er Scheiben`, of an M8; a `13er Schlüssel` is a spanner.
_SIZED = re.compile(r"(?<![\w.,/])([1-9][0-9]?)er[\s-](?=[^\W\d_]{4})", re.IGNORECASE)
_SPANNERS = re.compile(
    r"(?<![\w.,/])([1-9][0-9]?)er[\s-](?:Schlüssel|Schluessel|Nuss|Nuß|Ringschlüssel"
    r"|Maulschlüssel|Gabelschlüssel)\b",
    re.IGNORECASE,
)
#: `d.12`, `diam. 12`, `Durchm. 12`.
_ACROSS = re.compile(
    r"(?<![\w.])(?:d[.=]|dm\.?|diam(?:[èe]tre|etro)?\.?|durchm(?:esser)?\.?|di[áa]m(?:etro)?\.?)"
    r"\s?:?\s?(?=[0-9])",
    re.IGNORECASE,
)
#: The 2 of `2 TH M6` counts hexagon heads, and is not how thick they are.
_HEADS = re.compile(r"(?<![\w.,/x-])([1-9][0-9]?)\s(?=T[HF]\b)")
#: `alle 4 noch gut`, behind what was counted by nothing else: there are four.
_ALL_OF = re.compile(
    r"(?<=,\s)(?:alle|toutes\sles|tous\sles|todos\slos|todas\slas|tutt[ie]\se)\s([2-9]|1[0-9])\s(?=\S)",
    re.IGNORECASE,
)
_COUNTED = re.compile(r"^[1-9][0-9]?x?\s|\bx\s?[1-9]|\b[1-9][0-9]?\s(?:St|Stk|off|uds|pz)", re.I)
#: `écrou M12x150`, `bouchon 10x100`: a pitch in hundredths, on what has no length.
_HUNDREDTHS = re.compile(
    r"(?<![\w.,/])M?([6-9]|1[0-9]|2[0-9])x(75|100|125|150|175)(?![\w./]|,[0-9])"
)
_NO_LENGTH = NO_LENGTH | {"plug", "drain plug", "spark plug"}
#: The OR of `OR 18x2` is an O-ring.
_O_RING = re.compile(r"(?<![\w.])OR(?=\s[0-9]{1,3}(?:[.,][0-9]+)?x[0-9])", re.IGNORECASE)
#: The un of `un peu plus longue` counts nothing; `je mit 2` is mit je 2.
_A_LITTLE = re.compile(
    r"\b(?:une?|un|ein)\s(?=(?:peu|poco|po'|bisschen|wenig)(?![\w]))", re.IGNORECASE
)
#: The longer ones of a lot, where the plus joins nothing: 2 plus longues.
_PLUS = re.compile(
    r"(?<=[0-9]\s)(?:plus|pi[ùu]|m[áa]s)\s(?=(?:long|court|gross?|épais|larg|petit|grand|lung|cort|grand|spess"
    r"|gros|delgad|finn?|sottil|piccol)[^\W\d_]*\s(?:M\s?)?[0-9])",
    re.IGNORECASE,
)
#: How long in French, behind a number: 60 de long x2.
_OF_LENGTH = re.compile(
    r"(?<=[0-9])(?:\s?mm)?\s(?:de\slong(?:ueur)?|de\slargo|di\slunghezza)\b", re.I
)
#: A few in Italian: un po' di.
_SOME = re.compile(r"\bun\spo(?:'|co)?\sd(?:i\s|')", re.IGNORECASE)
#: How many behind a size in Italian: dadi da 8 x 2.
_FOR_COUNT = re.compile(r"\b(da\s[1-9][0-9]?)\sx\s?([1-9]|1[0-2])(?![\w.,/])", re.IGNORECASE)
#: So many on either side: je Seite, par côté, por lado, per lato.
_PER_SIDE = re.compile(
    r"\b(?:(?:je|pro)\s(?:Seite|Ende)|(?:par|de chaque)\sc[oô]t[eé]|por\s(?:cada\s)?lado"
    r"|per\slato)\b",
    re.IGNORECASE,
)
_EACH_WITH = re.compile(r"\bje\smit\s(?=[1-9])", re.IGNORECASE)
#: The son of `vis + son écrou`, which is a verb in Spanish.
_THEIR = re.compile(r"(?<![\w'-])(?:son|sa)\s(?=[^\W\d_]{3})", re.IGNORECASE)
#: `je 1 links und rechts`: as many on either side.
_SIDE = r"links|rechts|vorne?|hinten|oben|unten|innen|außen"
_ON_SIDES = re.compile(
    r",?\s?\b(?:je|jeweils)\s(?P<many>[1-9]|eine?|einer|einen|zwei|drei|vier)\s(?:Stk\.?\s|Stück\s)?"
    rf"(?P<first>{_SIDE})\s?(?:u\.|und|\+|&|/)\s?(?P<second>{_SIDE})\b",
    re.IGNORECASE,
)


def _on_sides(found: re.Match[str]) -> str:
    many = count_said(found["many"], 1)
    return f", x{2 * many} ({found['first']} und {found['second']})"


def _opened(found: re.Match[str]) -> str:
    """A compound with a hyphen as two words, where the second says what it is."""
    first, second = fold(found[1]), fold(found[2])
    whole, last = look_up((first, second)), look_up((second,))
    known = whole is not None and whole[0] > 1
    kind = last is not None and last[1].foreign and bool(last[1].kind)
    place = last is not None and last[1].place and second in _languages_of()
    return found[0] if known or not (kind or place) else f"{found[1]} {found[2]}"


def _sized(found: re.Match[str]) -> str:
    """M8 before what is named by its thread; the 8er Inbus is an 8 mm key as often."""
    rest = found.string[found.end() :].split()
    said = look_up((fold(rest[0]),)) if rest else None
    named = said is not None and ("washer" in said[1].kind or "nut" in said[1].kind)
    named = named or (said is not None and said[1].kind in ("screw", "stud", "bolt"))
    return f"M{found[1]} " if named else found[0]


def _pitched(text: str) -> str:
    """The text with M12x1.5 for the 12x150 of a nut or a plug."""
    found = _HUNDREDTHS.search(text)
    if found is None:
        return text
    words = [fold(word) for word in re.findall(r"[^\W\d_]+", text[: found.start()])]
    kinds = [said[1].kind for at in range(len(words)) if (said := look_up(tuple(words[at:])))]
    named = [kind for kind in kinds if kind]
    if not named or named[-1] not in _NO_LENGTH:
        return text
    thread = f"M{found[1]}x{int(found[2]) / 100:g}"
    return f"{text[: found.start()]}{thread}{text[found.end() :]}"


#: Something more: Kettenschloss, dazu 2 Spanner.
_DAZU = re.compile(r",?\sdazu\s(?=[1-9]|(?:eine?|zwei|drei|vier)\b)", re.IGNORECASE)


def in_full(text: str) -> str:
    """A note in plain signs with what is shortened in its language written out."""
    if "“" in text or "note:" in text:
        return text
    spoken = languages(text)
    if not spoken:
        return text
    plain = _pitched(_ACROSS.sub("Ø", replaced(_HEADS, r"\1 off ", text)))
    if not _COUNTED.search(plain):
        plain = replaced(_ALL_OF, r"x\1 ", plain)
    if "de" in spoken:
        plain = _HYPHENED.sub(_opened, _REAR.sub("hinten ", _FRONT.sub("vorn ", plain)))
        plain = _SIZED.sub(_sized, replaced(_SPANNERS, r"SW \1", _DAZU.sub(" + ", plain)))
    if "it" in spoken:
        plain = _O_RING.sub("O-ring", plain)
        plain = replaced(_FOR_COUNT, r"\1, x\2", _SOME.sub("alcuni ", plain))
    plain = _OF_LENGTH.sub(" long", _PLUS.sub("", plain))
    if "fr" in spoken:
        plain = _THEIR.sub("", plain)
    for language in sorted(spoken):
        for pattern, full in _short_words()[language]:
            plain = pattern.sub(full, plain)
    plain = _PER_SIDE.sub("per side", _EACH_WITH.sub("mit je ", _A_LITTLE.sub("", plain)))
    plain = re.sub(r"\s(?=[,).;]|$)", "", " ".join(plain.split()))
    return _ON_SIDES.sub(_on_sides, plain) if "de" in spoken else plain
