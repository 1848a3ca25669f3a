"""What is said not to be in the bag: it was lost, thrown away, or stays where it was."""

from __future__ import annotations

import re
from collections.abc import Sequence

from tagbench.trade.fasteners.remark_clauses import BESIDE_MISSING, counts_or_sizes
from tagbench.trade.fasteners.tokens import Token, tokens
from tagbench.trade.fasteners.vocabulary import bench_words, fold, look_up

#: What is not in the bag: it was thrown away, or stays where it is.
_GONE = re.compile(
    r"\b(?:missing|lost|gone|binned|chucked|tossed|scrapped|discarded|thrown|thrown away|"
    r"stays?(?:\s(?:in|on|put|there))?|stayed\s(?:in|on|put|there|with)|(?:was|were|got)\s(?:cracked|broken|scrap)|"
    r"left\s(?:in|on)|se\s(?:qued[oó]|queda)|restée?s?\s(?:dans|sur)|rimast[aoei]|"
    r"(?:steckt|sitzt)\snoch|still\s(?:in|on|attached|fitted)|(?:schon\s)?weg|stuck\s(?:to|on|in)|buttat[aoei]|gettat[aoei]|jetée?s?|tirad[ao]s?|weggeworfen|entsorgt|"
    r"(?:is|are)\s(?:in|with)\s(?:the\s)?(?:bag|box|tin|tub|jar|other)|"
    r"in\s(?:the\s)?(?:other|another|next|second|separate|[lr]/?h|[no]/s|left|right)\s"
    r"(?:hand\s)?(?:bag|box|tin|jar|tub)|wanting(?=[!.]*$)|adrift|(?<!be\s)refitted"
    r"|cut\s(?:it|them|'?em)\soff|(?:is|are)\s(?:with|w/)\s(?:the\s)?[^\W\d_]|"
    r"lieg(?:t|en)\s(?:beim?|im|in|auf)|siguen\s(?:en|puest)|in\s(?:the\s)?(?:coffee\s)?can\b|went\s(?:to|for|off)|(?:sent|given)\s(?:to|for|off|away)|(?:in|im|nel|nella|dans|en)\s(?:the\s|le\s|la\s)?"
    r"(?:bag|box|tin|jar|sacchetto|busta|scatola|sachet|boîte|bolsa|caja|bote|tüte|beutel|dose|kiste)\s"
    r"(?:n[o°.]{0,2}\s?)?[0-9]+|war(?:en)?\s(?:keine?|nicht)\s(?:da|dabei|drin)|msng|"
    r"(?:sont|est)\sdans|est[aá]n?\sen|(?:sono|è)\s(?:in|ne[il]|nella|nell')|(?:ist|sind)\s(?:im|in|beim|bei)|"
    r"(?:still\s)?on\s(?:the\s)?(?:bike|machine|engine|car|trike|lathe|mower|boat|frame)$|nil|"
    r"not\s(?:here|in\s(?:here|this|the\s(?:bag|box|tin|jar))|there|found)|(?:is\s|are\s)?(?:needed|required|req'?d|wanted|on\sorder)"
    r"|to\s(?:get|buy|order|find|source)(?=[!.]*$))\b",
    re.IGNORECASE,
)


#: The rest of them are here: `2 washers, 1 missing`.
_SOME_GONE = re.compile(
    r"\b(?:none|one|two|three|[0-9]{1,2})\s(?:missing|lost|gone)\b", re.IGNORECASE
)


def is_gone(found: Sequence[Token], clause: str) -> bool:
    """`one nut missing`, `studs stay in`, `bolts are in bag 7`: pieces that are not here."""
    named = any(map(_names_kind, found))
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
    r"(?:remove|removed|come|shift|moved|taken)|left\s(?:in\splace|on\s(?:the\s)?(?:bike|machine|engine|car|lathe|mower|boat|frame))"
    r"|still\s(?:in|on|stuck)|not\sfound(?=[!.]*$)|stayed\s(?:in|on|put)|not\s(?:here|in\s(?:here|th[ei]s?\s(?:bag|box|tin|jar))))\b",
    re.IGNORECASE,
)


def is_still_there(note: str) -> bool:
    """`bearing seized on shaft, didn't remove`."""
    return _STILL_THERE.search(note) is not None


def begins_gone(said: str) -> bool:
    """Whether words begin with that something is not here: missing, binned, stays in."""
    return _GONE.match(said) is not None


#: What is to be bought is not in the bag: to buy: leather belt.
_TO_BUY = re.compile(
    r"(?:to\s(?:buy|get|order)|buy|need(?:ed)?|wanted|shopping(?:\slist)?"
    r"|(?:à\s)?acheter|(?:por\s|para\s)?comprar|(?:da\s)?comprare|(?:zu\s)?kaufen|besorgen"
    r"|bestellen)\s?:\s",
    re.IGNORECASE,
)
_GET = re.compile(
    r"(?:(?:to|must|please)\s)?(?:buy|get|order|need)\s(?!to\b)(?=[^\W_])", re.IGNORECASE
)


def is_shopping(note: str) -> bool:
    """Whether all of a note is a list of what is to be bought: `to buy: leather belt`."""
    return _TO_BUY.match(note) is not None


def begins_to_get(note: str) -> bool:
    """`get copper washer 14`: what is to be bought; `get new, 2 springs worn` is a remark."""
    first = re.split(r"[,;.(]", note)[0]
    return _GET.match(note) is not None and any(map(_names_kind, tokens(first)))


#: One of these is in every note that says that something is not here.
_SIGN = re.compile(
    r"missing|gone\b|lost\b|binned|chucked|thrown|wanting|adrift|not\s(?:here|in|found)|stayed"
    r"|left\s(?:in|on)\b|still\s(?:in|on)\b|\bcut\s|fitted|\sno\s|\bin\s",
    re.IGNORECASE,
)
#: What is not here behind a name and a sign: spring - NOT here; nut: dropped, not found.
_BEHIND_SIGN = re.compile(
    r"(?P<what>[^\W\d_]{3,})(?:\s?:|\s-)\s"
    r"(?P<how>(?:(?:dropped|fell|rolled\soff|pinged\soff),?\s(?:and\s)?)?)"
    r"(?P<gone>not\s(?:here|found|in\s(?:here|this\s[^\W\d_]+))|gone|missing|lost|binned)"
    r"(?=\s?[!.]*(?:$|[,;(]|\.\s|\s-\s))",
    re.IGNORECASE,
)
#: A sentence behind a word that is shortened or not known: good uns. nuts cut em off.
_SENTENCE = re.compile(r"(?<=[^\W\d_])\.\s+(?P<said>[^.,;:()]+)")
#: It was not there: no nut was fitted.
_NONE_FITTED = re.compile(
    r"(?<=[^\W_])\s(?=no\s(?:[^\W\d_]+\s){1,2}(?:(?:was|were|is|are)\s)?"
    r"(?:fitted|used|there|here|found|present|supplied)\b)",
    re.IGNORECASE,
)
#: A thing and what became of it, at the end of a clause that names another one first.
_LAST_GONE = re.compile(
    r"\s(?P<said>(?:(?:the|its|[1-9])\s)?(?P<what>[^\W\d_]{3,})\s(?:(?:is|are|was|were)\s)?"
    r"(?:missing|gone|lost|binned|chucked|wanting|not\s(?:here|found|in\shere)|stayed\s(?:in|on)"
    r"|(?:left|still)\s(?:in|on)\s[^,;.()]+))(?=\s?[!.]*(?:$|[,;(]|\s-\s))",
    re.IGNORECASE,
)
#: The same the other way round: 4 screws missing nut.
_MISSING_KIND = re.compile(
    r"\s(?P<said>(?:missing|lost|minus)\s(?:(?:the|its|a|one)\s)?(?P<what>[^\W\d_]{3,}))"
    r"(?=\s?[!.]*(?:$|[,;(]|\s-\s))",
    re.IGNORECASE,
)
#: What is surely not here, whatever is named behind it.
_SURELY = re.compile(
    r"\bnot\s(?:here|in\s(?:here|this))\b|\bstayed\s(?:in|on|put)\b|\b(?<!be\s)refitted\b"
    r"|\bstill\s(?:in|on)\b|\b(?:binned|chucked|lost|missing)[!.]*$",
    re.IGNORECASE,
)


def is_surely_gone(clause: str) -> bool:
    """`studs stayed put` before `, nuts M8 x4`: nothing of it is in the bag, none counted."""
    if not _SURELY.search(clause):
        return False
    found = tokens(clause.strip("() ."))
    return bool(found) and not any(map(counts_or_sizes, found)) and is_gone(found, clause)


def part_absent(note: str) -> str:
    """The note with a comma before what is not in the bag, where nobody wrote one.

    `lever pinch bolt 1/4 bsf nut missing`: the nut is none of the bolt's.
    """
    if "“" in note or not _SIGN.search(note):
        return note
    note = _BEHIND_SIGN.sub(_without_sign, note)
    note = _SENTENCE.sub(_with_comma, note)
    note = _NONE_FITTED.sub(_before_none, note)
    note = _MISSING_KIND.sub(_before_missing, note)
    return _LAST_GONE.sub(_before_gone, note)


def _is_kind(word: str) -> bool:
    said = look_up((fold(word),))
    return said is not None and bool(said[1].kind)


def _without_sign(found: re.Match[str]) -> str:
    if not _is_kind(found["what"]):
        return found[0]
    return f"{found['what']} {found['how'].replace(',', '')}{found['gone']}"


def _with_comma(found: re.Match[str]) -> str:
    said = found["said"].strip()
    return f", {found['said']}" if is_gone(tokens(said), said) else found[0]


def _clause_before(found: re.Match[str]) -> list[Token]:
    """The words before a match, back to the last comma or other sign."""
    before = re.split(r"[,;:()]|\.\s|\s-\s", found.string[: found.start()])[-1]
    return tokens(before.strip())


def _names_kind(token: Token) -> bool:
    return token.entry is not None and bool(token.entry.kind)


def _before_none(found: re.Match[str]) -> str:
    return ", " if any(map(_names_kind, _clause_before(found))) else found[0]


def _before_missing(found: re.Match[str]) -> str:
    other = _is_kind(found["what"]) and any(map(_names_kind, _clause_before(found)))
    return f", {found['said']}" if other else found[0]


def _before_gone(found: re.Match[str]) -> str:
    """A comma behind the size or count of another thing: bolt 1/4 bsf, nut missing."""
    if not _is_kind(found["what"]):
        return found[0]
    before = _clause_before(found)
    other = any(map(_names_kind, before))
    ends = bool(before) and bool(before[-1].thread or before[-1].numbers)
    return f", {found['said']}" if other and ends else found[0]
