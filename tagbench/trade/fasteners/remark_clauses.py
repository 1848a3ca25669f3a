"""What a clause that names no fastener says: a state, something to be done, a comparison."""

from __future__ import annotations

import re
from collections.abc import Sequence
from types import MappingProxyType

from tagbench.trade.fasteners.parser.remarks import is_unread
from tagbench.trade.fasteners.parser.state import tells_sort
from tagbench.trade.fasteners.tokens import Token
from tagbench.trade.fasteners.vocabulary import bench_roles, bench_words, fold, look_up

#: They refer to what was said before, or to pieces that it did not name.
_REFERS = ("ditto", "all", "each", "per", "others", "comparative", "hedge", "set", "sizes", "weak")
#: What a clause of a remark may begin with; a noun alone may be a further thing.
SAYS = ("condition", "absent", "verb", "negation")


def says_something(found: Sequence[Token]) -> bool:
    """Whether words that name no fastener are a remark: clean before refit, does not fit."""
    words = [fold(word) for token in found for word in token.text.split()]
    last = found[-1].entry
    if words[0] == "left" and len(words) > 1 and last is not None and last.place:
        return False  # left blower cover
    if begins_chore(found) or words[0] in bench_words("verb"):
        return True
    if len(words) == 1:
        return words[0] in bench_words("condition")
    told = [word for word in words if word != "left" or not _is_side(found)]
    says = any(word in bench_words(role) for word in told for role in SAYS)
    return says and not any(_refers(word) for word in words)


def _is_side(found: Sequence[Token]) -> bool:
    """Whether the left among the words is a side: `brush holders left + right`; `one left in` is
    none."""
    at = next(at for at, token in enumerate(found) if "left" in fold(token.text).split())
    follower = found[at + 1].entry if at + 1 < len(found) else None
    part = any(
        token.entry is not None and token.entry.place and token is not found[at] for token in found
    )
    return part and not (follower is not None and follower.opens)


def is_way_round(found: Sequence[Token]) -> bool:
    """`dished side out`, `chamfer inwards`, `cut out`: which way it goes, and no size."""
    *before, last = [fold(word) for token in found for word in token.text.split()]
    if last not in bench_words("facing") or not before or any(map(counts_or_sizes, found)):
        return False
    first = found[0].entry
    opens = first is not None and (first.opens or (first.place and not tells_sort(found[0])))
    faces = any(word in ("faces", "facing", "goes", "go", "face") for word in before)
    return not opens and (faces or not any(token.entry and token.entry.kind for token in found))


def counts_or_sizes(token: Token) -> bool:
    """Whether it says how many or how big; the `one` of `check this one` does not."""
    return fold(token.text) not in ("one", "ones") and token.kind not in ("word", "join", "phrase")


def names_piece(token: Token) -> bool:
    """Whether it counts, sizes or names a piece; a metal alone does not: alloy strips."""
    entry = token.entry
    if token.kind == "phrase" and entry is not None:
        return bool(entry.kind or entry.head or entry.drive)
    return token.kind not in ("word", "join", "phrase")


def is_compared(found: Sequence[Token]) -> bool:
    """`the middle one 10 mm longer than the others`: one of those that were counted."""
    words = [fold(word) for token in found for word in token.text.split()]
    compared = any(word in bench_words("comparative") for word in words) and "than" in words
    return compared and not any(
        token.thread or (token.entry and token.entry.kind) for token in found
    )


def begins_chore(found: Sequence[Token]) -> bool:
    """Whether the first word says what to do: `oil before refit`, but not `oil filler cap`."""
    words = [fold(word) for token in found for word in token.text.split()]
    if len(words) > 1 and _is_to_be_done(words[0], words[1]):
        return True
    if len(words) > 2 and tuple(words[:2]) in _NOT_TO:
        return True
    if words[0] not in bench_words("chore"):
        return False
    if words[0] not in _NOUN_CHORES or len(words) == 1:
        return True
    roles = ("opens", "noise", "weak", "all", "verb")
    return words[1] in _ADVERBS or any(words[1] in bench_words(role) for role in roles)


#: Before what is to be done in Italian, German, Spanish and French, and how its verbs end.
_TO_BE = MappingProxyType(
    {"da": ("are", "ere", "ire", "arsi"), "zu": ("en", "ern"), "por": ("ar", "er", "ir"),
     "para": ("ar", "er", "ir"), "a": ("er", "ir", "re")}
)  # fmt: skip


def _is_to_be_done(first: str, second: str) -> bool:
    """`da cambiare`, `zu erneuern`, `à changer`: a verb, and no part of a machine."""
    if first not in _TO_BE:
        return False
    known = look_up((second,))
    verb = len(second) > _SHORT and second.endswith(_TO_BE[first]) and known is None
    return second in bench_words("chore") or verb


#: A shorter word is no verb of another language.
_SHORT = 4
#: What is not to be done: do not wash, ne pas étirer.
_NOT_TO = frozenset((("do", "not"), ("ne", "pas"), ("nicht", "zu"), ("never", "to")))
#: They name a thing as often as they say what to do.
_NOUN_CHORES = frozenset(
    ("oil", "grease", "paint", "lube", "tap", "drill", "test", "torque", "note", "mark", "turn",
     "push", "pull", "lift", "wash", "plate", "store", "label", "return", "measure", "swap",
     "handle")
)  # fmt: skip
_ADVERBS = frozenset(
    (
        "before",
        "after",
        "when",
        "well",
        "lightly",
        "gently",
        "carefully",
        "again",
        "first",
        "only",
        "both",
        "out",
        "off",
        "round",
        "towards",
        "back",
        "up",
        "down",
    )
)


def forbids(found: Sequence[Token]) -> bool:
    """Whether it begins with what is not to be done: `do not wash`."""
    return tuple(fold(token.text) for token in found[:2]) in _NOT_TO


def is_chore(found: Sequence[Token]) -> bool:
    """`keep with bearings`: what is to be done, with what it is done to."""
    first, last = fold(found[0].text.split()[0]), fold(found[-1].text.strip("!. "))
    if _NEW_GERMAN.fullmatch(first) and last in _TO_BE_USED:
        return not any(token.count or token.numbers or token.thread for token in found)
    told = begins_chore(found) and (forbids(found) or first not in _NO_CHORES)
    return told and len(found) > 1 and not any(map(counts_or_sizes, found))


#: What is to be done stands last in German: neuen Dichtring nehmen.
_NEW_GERMAN = re.compile(r"neue[nrsm]?")
_TO_BE_USED = frozenset(
    ("nehmen", "besorgen", "kaufen", "verwenden", "bestellen", "rein", "einbauen", "einsetzen",
     "benutzen", "montieren", "drauf", "draufmachen")
)  # fmt: skip
#: They stand before a thing as often as they say what to do: clean screws, fitted bolt.
_NO_CHORES = frozenset(
    ("same", "again", "clean", "fitted", "plated", "painted", "left", "do", "used", "note", "mark")
)


#: How much something is bent or worn.
DEGREES = frozenset(
    ("slightly", "badly", "very", "quite", "rather", "completely", "totally", "half", "a", "bit",
     "little", "leicht", "stark", "etwas", "ganz", "ziemlich", "un", "peu", "tres", "bien", "poco",
     "muy", "molto", "completamente")
)  # fmt: skip


def is_state(found: Sequence[Token]) -> bool:
    """`one damaged`, `one stuck in the case`, `falta uno`: some of the pieces counted before."""
    first, *rest = _without_article(found)
    if _are_missing(found) or _is_state_of_sort(found) or is_of_feature(found):
        return True
    if is_state_counted(found):
        return True
    many = first.count or (first.numbers and first.numbers[0].whole and not first.cross)
    many = many or _ORDINAL.fullmatch(fold(first.text)) is not None
    rest = [token for token in rest if fold(token.text) not in DEGREES]
    states = [fold(token.text) for token in rest]
    if not many or not states:
        return False
    unknown = len(rest) == 2 and is_unread(rest[0]) and states[1] in bench_words("condition")
    if unknown or (len(rest) == 2 and states[1] == "left"):
        return True  # one vane split, one tab left
    if all(word in bench_words("condition") for word in states):
        return True
    if states[0] in bench_words("negation") and len(rest) > 1:
        return not any(map(names_piece, rest))  # two not original
    opened = next((at for at, token in enumerate(rest) if token.entry and token.entry.opens), None)
    if not says_happened(states[0]) or any(map(names_piece, rest[:opened])):
        return False
    said = [token for token in rest if fold(token.text) not in bench_words("condition")]
    if not said or _is_of_place_or_thread(said):
        return True
    return len(rest) == 1 or any(
        fold(rest[1].text.split()[0]) in bench_words(role)
        for role in ("opens", "noise", "verb", "hedge", "condition", "facing")
    )


def is_state_counted(found: Sequence[Token]) -> bool:
    """`slot chewed 1 off`: how some are of those counted before, with how many of them behind."""
    told, last = found[:-1], found[-1] if found else None
    if not told or last is None or not last.count or last.text.isalpha():
        return False
    states = {*bench_words("condition"), *bench_words("absent")}
    named = any(one.entry is not None and one.entry.kind for one in told)
    plain = not named and not any(map(counts_or_sizes, told))
    return plain and fold(told[-1].text) in states


_THREADS = frozenset(
    ("thread", "threads", "filetto", "filetti", "gewinde", "filet", "filets", "rosca", "roscas")
)


#: What a thing has so many of, and what is never booked by itself.
MADE_OF = frozenset(
    ("layers", "teeth", "links", "vanes", "splines", "glieder", "zahne", "maglie", "denti",
     "maillons", "dents", "dientes", "eslabones")
)  # fmt: skip


def is_of_feature(found: Sequence[Token]) -> bool:
    """`2 vanes gone`, `3 teeth chipped`: what is wrong with what a part has on it."""
    if len(found) == _PAIR and counts_or_sizes(found[0]):
        return fold(found[1].text.strip("! ")) in MADE_OF  # shim pack, 5 layers
    if len(found) < _SHORTEST_STATE or not counts_or_sizes(found[0]):
        return False
    noun, *states = (fold(token.text.strip("! ")) for token in found[1:])
    told = {*bench_words("condition"), *bench_words("absent"), *DEGREES}
    return (noun in _THREADS or noun in bench_words("feature")) and all(
        word in told or says_happened(word) for word in states
    )


#: That nothing is wrong with them.
_FINE = frozenset(
    ("clean", "cleaned", "fine", "gut", "bon", "bonne", "bons", "bonnes", "bien", "bueno", "buena",
     "buenos", "buenas", "buono", "buona", "buoni", "buone")
)  # fmt: skip


def is_state_of_all(found: Sequence[Token]) -> bool:
    """`all good`, `alle verrostet`, `tous abîmés`: how all of them are."""
    words = [fold(word) for token in found for word in token.text.strip("!. ").split()]
    first, rest = words[:1], words[1:]
    states = {*bench_words("condition"), *_FINE}
    small = {*states, *DEGREES, *bench_words("verb")}
    told = bool(rest) and any(word in states for word in rest)
    return (
        told
        and first[0] in (*bench_words("all"), "both", "beide", "ambos", "entrambi")
        and all(word in small for word in rest)
    )


def _is_state_of_sort(found: Sequence[Token]) -> bool:
    """`top one marked`, `the long one bent`."""
    found = _without_article(found)
    words = [fold(word) for token in found for word in token.text.split()]
    which = len(words) >= _SHORTEST_STATE and bench_roles(words[0]) & {"sort", "place"}
    if not which:
        return False
    compared = words[2] in bench_words("comparative")  # the middle one longer
    if words[1] not in ("one", "ones") or not (says_happened(words[2]) or compared):
        return False
    return not any(map(names_piece, found[2:]))  # top one marked with paint


_SHORTEST_STATE = 3
#: A feature with how many it has of it.
_PAIR = 2
#: How words of what happened to a thing end: dropped, pasado, rovinato.
_HAPPENED = re.compile(r"\w{3,}(?:ed|ado|ido|ato|ito|uto)")
_PARTICIPLES = frozenset(
    ("spun", "still", "stuck", "swollen", "bust", "split", "came", "fell", "broke")
)


#: What is used again is not renewed.
_REUSED = frozenset(("reuse", "reused", "reusable", "wiederverwenden", "wiederverwendbar"))


def says_reused(words: str) -> bool:
    """Whether kept words say that a thing is used again."""
    return any(fold(word.strip(".,!")) in _REUSED for word in words.split())


def says_happened(word: str) -> bool:
    """Whether a folded word says what happened to a thing: dropped, stuck, pasado."""
    unknown = look_up((word,)) is None
    known = word in bench_words("condition") or word in _PARTICIPLES
    return known or (unknown and _HAPPENED.fullmatch(word) is not None)


def is_warning(found: Sequence[Token], clause: str) -> bool:
    """`attention ressort sous tension`: what to look out for, and no piece of this bag."""
    words = [fold(word) for token in found for word in token.text.split()]
    warns = words[0] in WARNINGS and len(words) > 1
    return warns and not any(map(counts_or_sizes, found)) and "+" not in clause


WARNINGS = frozenset(
    ("attention", "achtung", "vorsicht", "cuidado", "ojo", "atencion", "attenzione", "caution",
     "careful", "beware", "warning", "mind", "watch")
)  # fmt: skip


def _are_missing(found: Sequence[Token]) -> bool:
    """`falta uno`, `il en manque une`: some of the pieces that were counted are not there."""
    words = [fold(word) for token in found for word in token.text.split()]
    small = [word for word in words if word not in bench_words("absent")]
    counted = [word for word in small if word in bench_words("count")]
    told = len(small) < len(words) and bool(counted) and fold(found[0].text) not in counted
    return told and all(word in counted or word in BESIDE_MISSING for word in small)


#: What stands beside a word that says that some are missing: il en manque, ne manca, es fehlt.
BESIDE_MISSING = frozenset(("il", "en", "ne", "es", "me", "nos", "noch", "aun", "ancora", "encore"))
#: The 4e of `le 4e cassé dans le carter`, in other languages than English.
_ORDINAL = re.compile(
    r"[0-9]{1,2}(?:e|[ei]?[eè]me|a|o|ª|º|°)|letzter?|derniere?|premiere?|ultim[oa]|prim[oa]|erster?"
)


def _without_article(found: Sequence[Token]) -> Sequence[Token]:
    """The words behind le, la, der: le 4e cassé."""
    first = found[0].entry
    article = first is not None and first.noise and len(found) > 1
    return found[1:] if article else found


def _is_of_place_or_thread(said: Sequence[Token]) -> bool:
    """The de rosca of `1 pasado de rosca`, the dans le carter of `une cassée dans le carter`."""
    first = fold(said[0].text)
    abroad = first in _OPENS_ABROAD
    return abroad and not any(names_piece(token) for token in said)


#: What opens in other languages where, or of what, some are broken.
_OPENS_ABROAD = frozenset(
    ("de", "del", "dans", "au", "im", "am", "nel", "nella", "en", "sur", "sul", "di")
)


def may_be_piece(token: Token) -> bool:
    """Whether it may say something of a fastener, or count or name a further thing."""
    if token.kind == "word":
        said = fold(token.text)
        known = any(said in bench_words(role) for role in SAYS)
        near = not known and not is_unread(token) and look_up((said,)) is None
        return near and not any(said in bench_words(role) for role in ("noise", "opens"))
    entry = token.entry
    if token.kind != "phrase" or entry is None:
        return True
    return not (entry.place or entry.opens or entry.noise)


def _refers(word: str) -> bool:
    return any(word in bench_words(role) for role in _REFERS)
