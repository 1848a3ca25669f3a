"""What stands where a place would and is none: how a thing looks or is, and where it was put by.

`6 clips (plastic, black)`, `grub screws, cup point`, `nut to suit` and `keeper (in the pill box)`
name no part of a machine. Such words are kept as they were typed.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from tagbench.trade.fasteners.clauses import says_way_round
from tagbench.trade.fasteners.parsed_line import ParsedLine
from tagbench.trade.fasteners.parser.plain_places import tells_more
from tagbench.trade.fasteners.parser.state import tells_sort
from tagbench.trade.fasteners.remark_clauses import is_way_round, says_happened
from tagbench.trade.fasteners.sides import OPPOSITES, SIDES
from tagbench.trade.fasteners.tokens import Token, tokens
from tagbench.trade.fasteners.vocabulary import bench_words, fold, fold_words, look_up

#: Small words beside a describing one: the plain ones, very bendy.
_BESIDE = ("noise", "weak", "hedge", "condition")


def keep_described(lines: Sequence[ParsedLine]) -> None:
    """Takes what names no place from the places of its line; it is kept word for word."""
    told = [[said for said in line.place if names_none(said, line, lines)] for line in lines]
    for line, none in zip(lines, told, strict=True):
        if none:
            line.place = [said for said in line.place if said not in none]
            line.described += [said for said in none if not _is_kept(said, line)]


def _is_kept(said: str, line: ParsedLine) -> bool:
    return f" {said} " in f" {' '.join(line.words)} "


def names_none(said: str, line: ParsedLine, lines: Sequence[ParsedLine]) -> bool:
    """Whether words that were taken for a place of the line say no place."""
    words = fold_words(said)
    if not words:
        return False
    if describes(words):
        return not _tells_apart(line, lines)
    if fold(said) in _LONG and f"{said} " in line.text and _is_length(said, line.text):
        return not _tells_apart(line, lines)
    return (
        _is_remark_in_brackets(said, line.text)
        or says_no_place(said)
        or tells_more(said)
        or _is_small(words)
        or _is_said_of(said, line.text)
    )


def describes(words: Sequence[str]) -> bool:
    """Whether folded words say how a thing looks or is, and not where it was: the
    black of `6 clips (black)`, the cup point of `grub screws, cup point`.
    """
    if " ".join(words) in bench_words("describing"):
        return True
    told = [word for word in words if word in bench_words("describing")]
    return bool(told) and all(
        word in told or any(word in bench_words(role) for role in _BESIDE) for word in words
    )


def _tells_apart(line: ParsedLine, lines: Sequence[ParsedLine]) -> bool:
    """Whether another line is of another sort: 3 grub screws cup point, 2 dog point."""
    return any(
        one is not line
        and (one.kind == line.kind or not (one.kind and line.kind))
        and any(_tells_sort(said) for said in one.place)
        for one in lines
    )


def _tells_sort(said: str) -> bool:
    words = fold_words(said)
    sort = bool(words) and words[0] in bench_words("sort") and words[0] not in SIDES
    return sort or describes(words)


#: Of a figure right behind them they say what it measures: bolts M5 lng 16.
_LONG = frozenset(("long", "lng", "lg", "lang", "largo", "lungo"))
_FIGURE = re.compile(r"\s[0-9]+(?:\s?mm)?(?:$|[,;.])")


def _is_length(said: str, text: str) -> bool:
    behind = text[text.find(said) + len(said) :]
    return _FIGURE.match(behind) is not None


def _is_remark_in_brackets(said: str, text: str) -> bool:
    """The `new ones reqd` of `2 split pins (new ones reqd)`: no part, side or sort is named."""
    if f"({said})" not in text or said[-1:].isdigit() or fold(said) in _PITCHES:
        return False
    found = tokens(said)
    if _WAY_ROUND.match(said) or says_way_round(said) or is_way_round(found):
        return True  # (ears outward)
    return any(map(_tells, fold_words(said))) and not any(map(_may_say_where, found))


#: A word of these roles is none of an unknown part's name, as the crank of `nut (crank)` is.
_TELLING = (
    "verb",
    "chore",
    "negation",
    "absent",
    "condition",
    "hedge",
    "describing",
    "comparative",
)
_WISHES = frozenset(("ones", "reqd", "req'd", "pls", "please", "lol", "shd", "one's", "toast"))


#: Nouns as often as deeds: oil relief, grease cup.
_NOUNS = frozenset(("oil", "grease", "plate", "paint", "tap", "seal", "press", "file", "drill"))


def _tells(word: str) -> bool:
    if word in _NOUNS:
        return False
    known = word in _WISHES or any(word in bench_words(role) for role in _TELLING)
    return known or says_happened(word)


#: They are said of a thread, and are looked for in brackets: M10 (fine).
_PITCHES = frozenset(("fine", "coarse", "fein", "fin", "fino", "passo fine", "pas fin"))
#: Places on a small part: 2nd groove, third hole.
_SPOTS = frozenset(
    ("groove", "hole", "holes", "slot", "notch", "row", "step", "tooth", "loch", "trou")
)


def _may_say_where(token: Token) -> bool:
    entry = token.entry
    placed = entry is not None and (entry.place or entry.opens or bool(entry.kind))
    return placed or tells_sort(token) or fold(token.text) in {*bench_words("place"), *_SPOTS}


_VERBS = r"(?:made|cut|turned|bent|filed|machined|fashioned|cobbled)"
#: What is to be done with it, and what it is kept for.
_PURPOSE = re.compile(
    r"to (?:be|suit|fit|match|order|replace|renew|check|clean|buy|book|em|them|spec|size|length"
    r"|drawing|sample|pattern|measure|scale)\b"
    r"|for (?:(?:a|the) )?(?:new|pattern|spares?|now|later|ref|reference|scrap|something|all|good"
    r"|lengths?|size|sizing|soaking|cleaning|testing|checking|measuring|painting|plating|grinding"
    r"|welding|skip|museum|bin)\b|for (?:them|it)\b"
    r"|(?:for|at|to|from) (?:the )?(?:plater|welder|engineer|chromer|blaster|machinist|dealer"
    r"|supplier|machine shop|powder coater|garage|shop|store)['’]?s?\b"
    r"|on (?:refit|refitting|reassy|rebuild|reassembly|assembly|(?:back ?)?order|phone)\b"
    r"|next time\b|(?:don'?t|do not) \w",
    re.IGNORECASE,
)
#: Who said so, where it was bought and what it was made from.
_SOURCE = re.compile(
    r"(?:as )?per (?:the )?(?:label|book|manual|drawing|print|sketch|photo|pic|pack|spec|dozen"
    r"|tipo|misura|campione|ricambio)\b"
    r"|(?:from|off) (?:the )?(?:here|stock|memory|scrap|new|floor|spares|internet|net)\b"
    r"|(?:from|out of) (?:the |my )?spares\b"
    rf"|{_VERBS} (?:from|of|out of|up)\b|from (?:[^\W\d_]+ )?(?:cornflake|cereal|cardboard|shoe) "
    r"|an (?!achse|ein|aus|öl|am)[aeiou]\w+",
    re.IGNORECASE,
)
#: In what state it is, and how far or how often something was done.
_STATE = re.compile(
    r"in (?:(?:two|three|four|several) )?(?:bits|pieces|half|halves|pairs|two|three)\b"
    r"|in (?:order|use|that order|greece|grease)\b|in (?:the|a|here|there|every)(?: an all)?$"
    r"|in (?:good|bad|poor|fair|rough|nice|ok) [^\W\d_]+$|in a (?:[^\W\d_]+ )?(?:mess|state)\b"
    r"|(?:under|over) ?size\b|with (?:tape|tag|label)\b|home ?made\b|near enough\b"
    r"|a?bout (?:this|that|so)\b|left ?overs?\b"
    r"|wrong (?:size|length|way|side|end|part|thread|one)\b|right (?:size|length|thread)\b"
    r"|off (?:at last|now|(?:mon|tues?|wed|thurs?|fri|sat|sun)(?:day)?)\b"
    r"|by (?:an inch|themselves|itself|hand|eye|mistake)\b|on (?:hand|wire|string)\b"
    r"|thread \?|in\. |(?:in|on|over|up|goes on) (?:till?|until|when|after|before|twice|once"
    r"|again)\b|(?:back to front|inside out|upside down|end to end|side by side)\b",
    re.IGNORECASE,
)
#: The same in other languages.
_ABROAD = re.compile(
    r"da [^\W\d_]+(?:are|ere|ire)$|en vrac\b|en (?:croix|cruz)\b|über kreuz\b|sous tension\b"
    r"|(?:de|para|por|a|à) (?:montar|pedir|tirar|cambiar|limpiar|comprar|soldar|pintar|remplacer"
    r"|v[ée]rifier|changer|nettoyer|commander)\b|au (?:chromage|sablage|zingage|feutre)\b"
    r"|pour la longueur|(?:in|gegen)(?: der)? (?:lauf|fahrt|dreh)richtung"
    r"|von (?:hinten|vorne?|links|rechts|oben|unten|innen|au(?:ß|ss)en) [^\W\d_]+en$",
    re.IGNORECASE,
)
_REMARKS = (_PURPOSE, _SOURCE, _STATE, _ABROAD)
#: What the end of a screw or a spring is like: cup ended, dog end, flat ends.
_FORM_OF_END = re.compile(
    r"(?:cup|dog|cone|oval|spigot|flat|square|round|ground|pointed|hooked|looped|tapered|cut)"
    r"[- ](?:end(?:s|ed)?|point|pt)[!?.]*",
    re.IGNORECASE,
)
#: It says how its thread is cut, and not where it was: LH thd, fixed one LH thread.
_OF_THREAD = re.compile(
    r"(?:\b(?:unknown|[lr]/?h|left|right|hand|odd|fine|coarse|all|long|short"
    r"|part|full)\s)(?:thd|thread)[!?.]*$",
    re.IGNORECASE,
)
#: Which way round a part goes: arrow to the exhaust, cup faces up.
_WAY_ROUND = re.compile(
    r"(?:arrow|dot|mark|paint|ears?|cup|lips?|chamfer|shoulder|step|notch|tabs?|spring|flat)\s"
    r"(?:faces?|facing|to|up|down|outwards?|inwards?)\b|(?:faces|facing|outwards?|inwards?)\b"
    r"|(?:up|down)$",
    re.IGNORECASE,
)


def says_no_place(said: str) -> bool:
    """Whether words say what it is for, how it is or what it is kept in, and never where it was.

    The `to suit` of `nut to suit`, the `LH thd` of `screw (LH thd)`, `in the jam jar`.
    """
    words = fold_words(said)
    told = any(remark.match(said) is not None for remark in _REMARKS)
    told = told or _OF_THREAD.search(said) is not None or _FORM_OF_END.fullmatch(said) is not None
    return told or (bool(words) and _is_put_by(words))


#: What things are kept or soaked in on the bench, and no part of a machine.
_KEPT_IN = frozenset(
    ("bag", "bags", "tin", "jar", "tray", "tub", "bottle", "drawer", "envelope", "bench", "shelf",
     "vinegar", "diesel", "paraffin", "kerosene", "thinners", "oil", "petrol",
     "cupboard", "windowsill", "pocket", "shed", "fridge", "tüte", "tute", "beutel",
     "sachet", "bolsa", "busta", "sac", "werkbank", "regal", "etabli", "banco")
)  # fmt: skip
_IN = frozenset(("in", "on", "off", "from", "im", "auf", "dans", "sur", "en"))
#: They stand between, and name nothing.
_THE = frozenset(
    ("the", "a", "this", "same", "that", "my", "le", "la", "der", "dem", "el", "il", "here",
     "there", "every", "em", "them")
)  # fmt: skip


def _is_put_by(words: Sequence[str]) -> bool:
    """The `in the little film tub` that says where it is now, and not where it was."""
    if words[0] not in _IN or len(words) < 2:
        return False
    first = next((at for at, word in enumerate(words) if at and word not in _THE), 0)
    if words[-1] in _KEPT_IN:
        return not any(map(_is_part, words[1:-1]))  # in the battery tray
    behind = words[first + 1 : first + 2]
    goes_on = behind and (behind[0].isdecimal() or behind[0] in _GOES_ON)
    return words[first] in _KEPT_IN and bool(goes_on)


#: Behind what it is kept in another clause begins: in vinegar till Sunday.
_GOES_ON = frozenset(("till", "til", "until", "for", "with", "idk", "overnight", "since", "now"))


def _is_part(word: str) -> bool:
    known = look_up((word,))
    side = word in bench_words("place") or word in bench_words("sort")
    return known is not None and known[1].place and not side


def _is_small(words: Sequence[str]) -> bool:
    """The `holds the` of `this bag holds the five screws`: it opens a place, and none follows."""
    small = all(word in bench_words("opens") or word in _THE for word in words)
    return small and not any(word in bench_words("place") for word in words)


#: How big or how it is, and none of several sorts: this long, too short, 9 mm left.
_HOW = re.compile(r"\b(?:this|that|too|so|how|as|very|abou?t)\s$", re.IGNORECASE)
_LEFT_OVER = re.compile(
    r"(?:\d\s?(?:mm|cm|in|inch(?:es)?|thou|%|\"|turns?|links?|teeth)|\bhalf|\bplenty|\bsome"
    r"|\blots|\bmuch|\bnone)\s$",
    re.IGNORECASE,
)
#: How its thread or shank is, or how tight: the long of long thread, the hand of hand tight.
_OF_IT = re.compile(r"\s(?:thread|thd|shank|tight)\b", re.IGNORECASE)
#: The end that is worn, and not the end that it sat at: bent at the end, worn on one side.
_AT_END = re.compile(
    r"(?:(?:at|on|along|across|near) )?(?:the |one |both )*(?:ends?|sides?|corners?|edges?)$",
    re.IGNORECASE,
)
#: They stand between how it is and where: worn on one side.
_AT = frozenset(("at", "on", "along", "across", "near", "one", "the"))
#: An end that has a form: hooked ends, one chipped corner.
_END = re.compile(r"(?:ends?|corners?|edges?)\b", re.IGNORECASE)
_FORMED = re.compile(
    r"\b(?:[^\W\d_]+ed|round|square|open|blunt|flat|ground|cut|cup|dog|spigot|wrong)\s$",
    re.IGNORECASE,
)
#: What a side or a sort means is told behind it; a figure there counts or sizes it.
_MEANS = re.compile(r"\s?=\s?[^\W\d_]")
#: Behind what it was turned into, or is made of: swap to, made from.
_MADE = re.compile(
    r"\b(?:made|cut|turned|bent|bought|got|get|ordered|swap|swapped|change|changed|convert|converted"
    r"|machined|borrowed|nicked|filed|cobbled|fashioned)\s(?:up\s)?$",
    re.IGNORECASE,
)
_MADE_BY = re.compile(r"(?:from|for|to|of|out of|off)\b", re.IGNORECASE)


def _is_said_of(said: str, text: str) -> bool:
    """Whether what stands before it makes it a remark: `this long`, `made from a cornflake box`."""
    at = text.find(said)
    if at < 0:
        return False
    before, behind = text[:at], text[at + len(said) :]
    if _MEANS.match(behind):
        return all(word in bench_words("sort") for word in fold_words(said))  # left = LH thread
    if _MADE_BY.match(said):
        return _MADE.search(before) is not None
    if _AT_END.match(said) and _is_worn_there(before):
        return True
    if _END.match(said):
        return _FORMED.search(before) is not None
    words = fold_words(said)
    return len(words) == 1 and _tells_how(words[0], before, behind)


def _is_worn_there(before: str) -> bool:
    words = fold_words(before)
    while words and words[-1] in _AT:
        words.pop()
    return bool(words) and words[-1] in bench_words("condition") and words[-1] not in SIDES


def _tells_how(word: str, before: str, behind: str) -> bool:
    """The long of `this long` and of `long thread`, the left of `9 mm left`."""
    if word in (*_LONG, "short", "hand") and _OF_IT.match(behind):
        return True
    if word in bench_words("sort") and word not in SIDES:
        return _HOW.search(before) is not None
    if word == "bout":
        return behind.lstrip().startswith(("this", "that", "so "))
    return (
        word == "left"
        and _LEFT_OVER.search(before) is not None
        and not _names_other_side(f"{before} {behind}")
    )


def _names_other_side(text: str) -> bool:
    other = next(pair for pair in OPPOSITES if "left" in pair)[1]
    return other in fold_words(text)
