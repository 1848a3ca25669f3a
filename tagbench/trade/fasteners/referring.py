"""A sentence about what was named before: `1 bolt + 1 shim; the shim goes against the bearing`."""

from __future__ import annotations

import re
from collections.abc import Sequence

from tagbench.trade.fasteners.parser.prepared_words import ONE, how_many
from tagbench.trade.fasteners.parser.state import tells_sort
from tagbench.trade.fasteners.remark_clauses import DEGREES, is_state_counted
from tagbench.trade.fasteners.tokens import Token, tokens
from tagbench.trade.fasteners.vocabulary import (
    bench_roles,
    bench_words,
    count_said,
    fold,
    fold_words,
    look_up,
)

_THE = r"the|both|der|die|das|le|la|les|el|los|las|il|lo|gli|i"
_ONE = r"a|an|one|eine?r?|une?|una|uno"
_VERB = (
    r"is|are|was|were|isn't|aren't|goes|go|fits?|sits?|has|have|had|needs?|must|should|comes?|came"
    r"|belongs?|faces?|wants?|looks?|stays?|ist|sind|war|waren|geht|gehen|kommt|kommen|sitzt"
    r"|sitzen|hat|haben|muss|müssen|braucht|gehört|gehören|est|sont|était|va|vont|doit|doivent"
    r"|es|son|está|están|van|lleva|tiene|era|è|sono|vanno|sta|stanno|deve"
)
_SENTENCE = re.compile(
    rf"(?:(?:and|but|und|et|y|e)\s)?(?:(?P<the>{_THE})|(?P<one>{_ONE})|(?P<sort>[^\W\d_]+))\s"
    r"(?:[^\W\d_]+\s){0,2}?"
    rf"(?P<noun>[^\W\d_]{{3,}})\s(?:{_VERB})(?P<rest>(?:\s.+)?)$",
    re.IGNORECASE,
)
#: One of several that is unlike the others: `longer screw is top`, `the shorter bolt at the back`.
_COMPARED = re.compile(
    r"(?:the\s)?(?:longer|shorter|thicker|thinner|bigger|smaller|larger|fatter|wider|longest|shortest"
    r"|thickest|thinnest)\s(?!ones?\b)[^\W\d_]{3,}(?<!s)\s(?:is|was|goes|sits|at|on|in|near|by|to|under|behind|next)\s"
    r"(?!.*[0-9])",
    re.IGNORECASE,
)
#: What became of one of several: `one stud came out with nut`.
_HAPPENED = re.compile(
    r"(?:one|1)\s(?:stud|bolt|screw|nut)\s(?:came|broke|snapped|sheared|stripped|seized|wouldn't|fell"
    r"|spun|turned)\b(?!.*[0-9])",
    re.IGNORECASE,
)
#: One of several has the other hand: 2 nuts 1/2 BSF, one left hand.
_HANDED = re.compile(
    r"(?:one|1)\s(?:is\s|has\s)?(?:a\s)?(?:(?:left|right)[\s-]?hand(?:ed)?|[lr]/?h|backwards?|reverse)"
    r"(?:\s(?:thread(?:ed)?|thd))?",
    re.IGNORECASE,
)
#: One more than there should be: 1 snap ring extra??
_EXTRA = re.compile(
    r"(?:one|1)\s(?:[^\W\d_]+\s){1,3}(?:extra|over|left\sover|too\smany)[?!\s]*", re.IGNORECASE
)
#: One of them beside the others: one spring longer than the other.
_THAN_OTHERS = re.compile(
    r"(?:one|1)\s(?:[^\W\d_]+\s){1,2}[^\W\d_]+er\sthan\s(?:the\s)?others?", re.IGNORECASE
)
#: What is to be bought for it is no second one: key chewed buy one.
_NEW_ONE = re.compile(
    r"(?<=\w),?\s(?:buy|get|needs?|order|find|make)\s(?:an?\s)?(?:new\s|another\s)?one$",
    re.IGNORECASE,
)
#: How many of them are so, behind how they are: nut cracked 1 off.
_OFF_BEHIND = re.compile(r"(?P<said>[^0-9]+?),?\s(?P<n>[1-9])\s(?:off|of)", re.IGNORECASE)
#: So many of a thing that is named: 2 nuts, x4, 3 off.
_SEVERAL = re.compile(
    r"(?<![\w.,/])(?:[2-9]|1[0-9]|two|three|four|five|six|seven|eight|nine|ten|twelve)"
    r"(?:(?=x?\s[^\W\d_]{3}|\sM[0-9]|\s[0-9]+/[0-9]+\s[^\W\d_]{3})|\s?(?:off|x)\b)|\bx\s?[2-9](?![\w./])",
    re.IGNORECASE,
)
_A_VERB = re.compile(rf"\s(?:{_VERB})(?:\s|$)", re.IGNORECASE)
#: A size or a count is news, and no remark: the nut is M8.
_NEWS = re.compile(r"[0-9]")
_ORDINAL = re.compile(r"[0-9](?:st|nd|rd|th)\b", re.IGNORECASE)
#: What is named may stand in the plural before, and in Italian with another vowel: rondelle.
_ENDING = re.compile(r"(?:es|en|s|n|e|i|a|o)$")


def refers_back(clause: str, before: str) -> bool:
    """Whether a clause is a sentence about a thing that was named before, and names no second one.

    With `a` or `one` there must have been several: `4 nuts; one nut is rounded`.
    """
    said = _NEW_ONE.sub("", clause.strip(" .()"))
    words = re.findall(r"[^\W_]+", fold(before))
    if behind := _OFF_BEHIND.fullmatch(said):
        return refers_back(f"{behind['n']} {behind['said']}", before)  # nut cracked 1 off
    if _is_one_of_several(said, before, words):
        return True
    if _tells_how(said, before) or names_again(said, before):
        return True
    found = _SENTENCE.match(said) if _A_VERB.search(said) else None
    found = found or _in_state(said)
    if found is None or _NEWS.search(_ORDINAL.sub("", found["rest"])):
        return False
    if any(word in bench_words("count") for word in re.findall(r"[^\W_]+", fold(found["rest"]))):
        return False
    noun = fold(found["noun"])
    sort = _ENDING.sub("", fold(found["sort"] or ""))
    if sort and len(sort) > _SHORT and sort in {_ENDING.sub("", word) for word in words}:
        return True  # the hook of the spring
    if noun in ("one", "ones"):
        return bool(found["the"]) and any(map(_says_several, words))
    stem = _ENDING.sub("", noun)
    named = [at for at, word in enumerate(words) if _ENDING.sub("", word) == stem]
    if found["the"] or fold(found["sort"] or "") in bench_words("sort"):
        return bool(named)
    if found["sort"]:
        return False
    return any(any(map(_says_several, words[max(0, at - _REACH) : at])) for at in named)


def _is_one_of_several(said: str, before: str, words: Sequence[str]) -> bool:
    """`one left hand`, `1 snap ring extra`: some of those of which several were counted."""
    if _HAPPENED.match(said):
        return any(map(_says_several, words)) and _names_kind_of(said, words)
    if _COMPARED.match(said):
        return any(map(_says_several, words))
    again = _EXTRA.fullmatch(said) or _THAN_OTHERS.fullmatch(said)
    told = _HANDED.fullmatch(said) or (again and _names_kind_of(said, words))
    return bool(told) and _SEVERAL.search(before) is not None


def _names_kind_of(said: str, words: Sequence[str]) -> bool:
    """Whether every thing that is named was named before: 5 snap rings, 1 snap ring extra."""
    kinds = [token for token in tokens(said) if token.entry is not None and token.entry.kind]
    stems = {_ENDING.sub("", word) for word in words}
    return bool(kinds) and all(
        _ENDING.sub("", fold(token.text).split()[-1]) in stems for token in kinds
    )


def names_again(clause: str, before: str) -> bool:
    """Whether a clause names only what was named before, and says how it is: `washer no good`.

    With `one` there must have been several: `4 nuts; one nut rusted solid on`. What may tell a
    second one, as its size, how many or which sort, is none of it.
    """
    found = [token for token in tokens(clause) if token.kind != "join"]
    kinds = [token for token in found if token.entry is not None and token.entry.kind]
    rest = [token for token in found if token not in kinds]
    counted = [token for token in rest if token.count or token.numbers]
    if not kinds or any(
        token.kind not in ("count", "numbers", "phrase", "word") for token in found
    ):
        return False
    if len(counted) > 1 or any(how_many(token) != 1 for token in counted):
        return False
    others = [fold(word) for token in rest if token not in counted for word in token.text.split()]
    wished = "please" in others  # new washers please
    told = any(bench_roles(word) & _TOLD or _is_abbreviation(word) for word in others)
    if not (wished or told or "wrong" in others):  # one nut wrong thread
        return False
    one = bool(counted) or any(word in ONE for word in others)
    told_apart = any(tells_sort(token) or fold(token.text) in _OF_ANOTHER for token in rest)
    if told_apart and not wished:
        return False
    words = re.findall(r"[^\W_]+", fold(before))
    for token in kinds:
        stem = _ENDING.sub("", fold(token.text).split()[-1])
        named = [at for at, word in enumerate(words) if _ENDING.sub("", word).endswith(stem)]
        several = any(
            any(map(_says_several, words[max(0, at - _REACH) : at + _REACH])) for at in named
        )
        if not named or (one and not several):
            return False
    return True


_STOP = re.compile(r"(?<=\w)\.\s+(?P<said>[^.;:()]+)")
#: One of them with how it is, where no sign stands before it: nuts 4 one nut wrong thread.
_ONE_BEHIND = re.compile(
    r"(?<=[\w)])\s(?P<said>one\s[^\W\d_]{3,}(?:\s[^\W\d_]+){1,4})(?=\s?[!.]*(?:$|[,;(]|\s-\s))",
    re.IGNORECASE,
)


def part_remarks(note: str) -> str:
    """The note with a comma before each sentence that speaks of what was named before it.

    `woodruff key, for the mower. KEY HALF SHEARED get new`: no word before the point is known.
    """
    if "“" in note:
        return note
    if ". " in note:
        note = _STOP.sub(_with_comma, note)
    return _ONE_BEHIND.sub(_with_comma, note) if " one " in note.lower() else note


def _with_comma(found: re.Match[str]) -> str:
    before = found.string[: found.start()]
    first = found["said"].split(",")[0].strip(" .!")
    again = refers_back(first, before) or is_state_counted(tokens(first))
    return f", {found['said']}" if again else found[0]


def _tells_how(clause: str, before: str) -> bool:
    """Whether a clause names first what was named before, and then how it is: `gasket hard`.

    Where it stood with a word of its own before, `washer flat, washer dished`, they are two.
    """
    found = [token for token in tokens(clause) if fold(token.text) not in _ARTICLES]
    if len(found) < _NAME_AND_STATE or not _names(found[0]):
        return False
    told = bool(bench_roles(fold(found[1].text)) & {"condition", "absent"})  # worn thin
    if any(map(_may_tell_apart, found[1:2] if told else found[1:])):
        return False
    stem = _ENDING.sub("", fold(found[0].text).split()[-1])
    behind = re.findall(rf"\b\w*{re.escape(stem)}(?:es|en|s|n|e|i|a|o)?\b(.{{0,3}})", fold(before))
    return bool(behind) and not any(re.match(r"\s[a-z]{2}", rest) for rest in behind)


_ARTICLES = frozenset(
    ("the", "der", "die", "das", "le", "la", "les", "el", "los", "las", "il", "lo", "gli", "i")
)  # fmt: skip
#: So many words name a thing and say how it is.
_NAME_AND_STATE = 2


def _names(token: Token) -> bool:
    """Whether it names a fastener or a part of the machine."""
    entry = token.entry
    return token.kind == "phrase" and entry is not None and bool(entry.kind or entry.place)


def _may_tell_apart(token: Token) -> bool:
    """Whether a word behind a name may part it from another of the kind."""
    entry = token.entry
    if token.kind not in ("phrase", "word") or how_many(token) or tells_sort(token):
        return True
    if fold(token.text) in _OF_SECOND or (entry is not None and not entry.noise):
        return not bench_roles(fold(token.text)) & _TOLD
    return False


#: They part a second one from the first even behind its name: nut spare.
_OF_SECOND = frozenset(
    ("spare", "spares", "odd", "different", "other", "another", "extra", "second", "too", "also")
)


def _is_abbreviation(word: str) -> bool:
    """The nbg or nfg of a washer, which nobody has told the tables."""
    short = len(word) <= _SHORT and word.isalpha()
    return short and not bench_roles(word) and look_up((word,)) is None


#: A word of these roles says how a thing is, that it is not there, or what becomes of it.
_TOLD = frozenset(("condition", "absent", "negation", "verb", "chore"))
#: They part a second one from the first: nut, spare nut.
_OF_ANOTHER = frozenset(
    ("new", "old", "spare", "spares", "odd", "different", "good", "left", "loose", "tight", "split",
     "plated", "painted", "solo", "sola", "seul", "seule", "einzeln", "nuovo", "nuova", "vecchio",
     "vecchia", "viejo", "vieja", "nuevo", "nueva", "neuwertig", "clean", "used", "bit")
)  # fmt: skip


#: The same without a verb: `one spindle bent`.
_STATED = re.compile(
    rf"(?:(?P<the>the)|(?P<one>{_ONE}|1)|(?P<sort>[^\W\d_]+))\s(?P<noun>[^\W\d_]{{3,}})(?P<rest>(?:\s[^\W\d_]+){{1,3}})$",
    re.IGNORECASE,
)


def _in_state(clause: str) -> re.Match[str] | None:
    found = _STATED.match(clause)
    states = {*bench_words("condition"), *bench_words("absent")}
    words = fold_words(found["rest"]) if found is not None else []
    told = bool(states & set(words)) and set(words) <= states | DEGREES
    return found if told else None


#: Shorter words are said of many things.
_SHORT = 3
#: So far before a noun its count may stand: 4 copper washers.
_REACH = 3


def _says_several(word: str) -> bool:
    return count_said(_TIMES.sub("", word)) > 1


#: The x of x4 and of 4x.
_TIMES = re.compile(r"^x(?=[0-9])|(?<=[0-9])x$")
