"""What is said not to be in the bag: it was lost, thrown away, or stays where it was."""

from __future__ import annotations

import re
from collections.abc import Sequence

from tagbench.trade.fasteners.remark_clauses import BESIDE_MISSING, counts_or_sizes
from tagbench.trade.fasteners.tokens import Token
from tagbench.trade.fasteners.vocabulary import bench_words, fold

#: What is not in the bag: it was thrown away, or stays where it is.
_GONE = re.compile(
    r"\b(?:missing|lost|gone|binned|chucked|tossed|scrapped|discarded|thrown|thrown away|"
    r"stays?(?:\s(?:in|on|put|there))?|(?:was|were|got)\s(?:cracked|broken|scrap)|"
    r"left\s(?:in|on)|se\s(?:qued[oó]|queda)|restée?s?\s(?:dans|sur)|rimast[aoei]|"
    r"(?:steckt|sitzt)\snoch|still\s(?:in|on|attached|fitted)|(?:schon\s)?weg|stuck\s(?:to|on|in)|buttat[aoei]|gettat[aoei]|jetée?s?|tirad[ao]s?|weggeworfen|entsorgt|"
    r"(?:is|are)\s(?:in|with)\s(?:the\s)?(?:bag|box|tin|tub|jar|other)|"
    r"in\s(?:the\s)?other\s(?:bag|box|tin|jar|tub)|(?:is|are)\s(?:with|w/)\s(?:the\s)?[^\W\d_]|"
    r"lieg(?:t|en)\s(?:beim?|im|in|auf)|siguen\s(?:en|puest)|in\s(?:the\s)?(?:coffee\s)?can\b|went\s(?:to|for|off)|(?:sent|given)\s(?:to|for|off|away)|(?:in|im|nel|nella|dans|en)\s(?:the\s|le\s|la\s)?"
    r"(?:bag|box|tin|jar|sacchetto|busta|scatola|sachet|boîte|bolsa|caja|bote|tüte|beutel|dose|kiste)\s"
    r"(?:n[o°.]{0,2}\s?)?[0-9]+|war(?:en)?\s(?:keine?|nicht)\s(?:da|dabei|drin)|msng|"
    r"(?:sont|est)\sdans|est[aá]n?\sen|(?:sono|è)\s(?:in|ne[il]|nella|nell')|(?:ist|sind)\s(?:im|in|beim|bei)|"
    r"(?:still\s)?on\s(?:the\s)?(?:bike|machine|engine|car|trike|lathe|mower|boat|frame)$|nil|"
    r"not\s(?:here|in\sthis|there|found)|(?:is\s|are\s)?(?:needed|required|req'?d|wanted|on\sorder))\b",
    re.IGNORECASE,
)


#: The rest of them are here: `2 washers, 1 missing`.
_SOME_GONE = re.compile(
    r"\b(?:none|one|two|three|[0-9]{1,2})\s(?:missing|lost|gone)\b", re.IGNORECASE
)


def is_gone(found: Sequence[Token], clause: str) -> bool:
    """`one nut missing`, `studs stay in`, `bolts are in bag 7`: pieces that are not here."""
    named = any(token.entry and token.entry.kind for token in found)
    sized = any(token.thread or token.kind in ("gauge", "bearing", "place") for token in found)
    counted = [one for one in found if fold(one.text) not in _ARTICLES]
    if _begins_missing(found) and not any(map(counts_or_sizes, counted)):
        return True  # falta la chaveta, il manque le cache
    if any(map(_is_absent, found)) and not (named or sized):
        counted = [one for one in counted if one.count or one.numbers]
        return len(found) > 1 and len(counted) < _PAIR and not _SOME_GONE.search(clause)
    return named and not sized and bool(_GONE.search(clause)) and not _SOME_GONE.search(clause)


#: More than one number says more than that a thing is missing.
_PAIR = 2


def _is_absent(token: Token) -> bool:
    return fold(token.text.strip("! ")) in bench_words("absent")


def _begins_missing(found: Sequence[Token]) -> bool:
    """Whether it begins with what says in another language that something is not there."""
    words = [fold(word) for token in found for word in token.text.split()]
    said = [word for word in words if word not in BESIDE_MISSING]
    return len(said) > 1 and said[0] in _MISSING_ABROAD


_ARTICLES = frozenset(("a", "an", "un", "una", "une", "uno", "ein", "eine", "einer"))
_MISSING_ABROAD = frozenset(
    ("falta", "faltan", "manque", "manquent", "fehlt", "fehlen", "manca", "mancano", "missing",
     "lost")
)  # fmt: skip


#: It is still where it was.
_STILL_THERE = re.compile(
    r"\b(?:(?:didn't|did\snot|couldn't|could\snot|can't|won't|not)\s(?:be\s)?"
    r"(?:remove|removed|come|shift|moved|taken)|left\sin\splace|still\s(?:in|on|stuck))\b",
    re.IGNORECASE,
)


def is_still_there(note: str) -> bool:
    """`bearing seized on shaft, didn't remove`."""
    return _STILL_THERE.search(note) is not None


def begins_gone(said: str) -> bool:
    """Whether words begin with that something is not here: missing, binned, stays in."""
    return _GONE.match(said) is not None
