"""The words of the bench for fasteners, in five languages, read from the tables once."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping
from functools import cache, lru_cache
from types import MappingProxyType

import msgspec

from tagbench.records import Fastener
from tagbench.trade.published import read_table

#: Kinds that have a thread; the others are known by a diameter.
THREADED_KINDS = frozenset(
    (
        "screw", "set screw", "bolt", "U-bolt", "stud", "nut", "castle nut", "lock nut", "thin nut",
        "self-locking nut", "captive nut", "rivet nut", "insert", "plug", "drain plug",
        "spark plug", "bleed screw", "fitting", "grease nipple", "spoke", "spoke nipple",
    )
)  # fmt: skip
#: Of these, the ones that have no length of their own.
NO_LENGTH = frozenset(kind for kind in THREADED_KINDS if "nut" in kind) | {"spoke nipple"}
#: Parts of a machine that are called as heads of screws are.
PARTS_LIKE_HEADS = frozenset(("pan", "flange", "cap"))
#: Rings and discs: named by their inside, then their outside, then how thick they are.
RINGS = frozenset(
    (
        "washer", "penny washer", "thrust washer", "wave washer", "cup washer", "lock washer",
        "star washer", "tab washer", "crush washer", "bonded washer", "conical spring washer",
        "shim", "spacer", "bush", "O-ring", "oil seal", "dust seal", "felt seal", "seal", "gasket",
        "bearing", "needle bearing", "taper roller bearing", "thrust bearing", "grommet", "olive",
    )
)  # fmt: skip
#: Of these, the ones that may be longer than they are wide.
LONG_RINGS = frozenset(
    ("spacer", "bush", "bearing", "needle bearing", "taper roller bearing", "thrust bearing")
)
#: Kinds that are read by a number in the table of their own.
NUMBERED = frozenset(("wood screw", "self-tapping screw", "drive screw", "taper pin", "key"))

#: Washers of these materials are crushed to seal and so renewed.
_CRUSHED_MATERIALS = ("copper", "fibre", "aluminium")
#: What a kind is called when it keeps another fastener from coming loose.
_LOCKS = {"washer": "plain washer", "insert": "", "captive nut": "", "spring nut": ""}
_LOCKING_KINDS = frozenset(
    (
        "nut", "castle nut", "lock nut", "thin nut", "self-locking nut", "cotter pin", "R-clip",
        "circlip", "lock wire", "O-ring", "gasket", "spacer", "linch pin", "bonded washer",
        "spring",
    )
)  # fmt: skip
Phrase = tuple[str, ...]


def open_thread(fastener: Fastener) -> bool:
    """Whether it has a thread that is not yet known: an open question for a measuring card."""
    return fastener.kind in THREADED_KINDS and not fastener.thread


class PhraseMeaning(msgspec.Struct, frozen=True):
    """What a phrase of the bench says."""

    kind: str = ""
    head: str = ""
    drive: str = ""
    material: str = ""
    locks: str = ""
    """What it is called when it keeps another fastener from coming loose."""
    place: bool = False
    """It says where or which one: left, upper, long; or names a part of the machine."""
    opens: bool = False
    """It opens a place: from, behind, für, pour."""
    noise: bool = False
    """It says nothing of its own."""
    foreign: bool = False
    """It stands in the tables of other languages only."""


@cache
def bench_words(role: str) -> Mapping[str, int]:
    """The small words of one role, folded, with their value: count, place, sort, opens, noise
    or condition."""
    return {
        fold(row["words"]): int(row["value"] or 0)
        for row in read_table("bench_words")
        if row["role"] == role
    }


def count_said(word: str, otherwise: int = 0) -> int:
    """How many a figure or a number word says: 3, three, drei; `otherwise` for any other word."""
    return int(word) if word.isdecimal() else bench_words("count").get(fold(word), otherwise)


@cache
def _bench_roles() -> Mapping[str, frozenset[str]]:
    roles: dict[str, set[str]] = {}
    for row in read_table("bench_words"):
        roles.setdefault(fold(row["words"]), set()).add(row["role"])
    return {word: frozenset(found) for word, found in roles.items()}


def bench_roles(word: str) -> frozenset[str]:
    """The roles of a folded word among the small words of the bench; none for any other."""
    return _bench_roles().get(word, frozenset())


@cache
def fold(word: str) -> str:
    """A word in lower case without accents or points, as words are compared."""
    lower = word.lower().strip(".,:'").replace("’", "'").replace("ß", "ss")
    if lower.isascii():
        return lower
    apart = unicodedata.normalize("NFKD", lower)
    return "".join(sign for sign in apart if not unicodedata.combining(sign))


#: A hyphen or slash between letters.
_JOINT = re.compile(r"(?<=[^\W\d_])[-/](?=[^\W\d_])")


def fold_words(text: str) -> list[str]:
    """The words of a text folded, hyphens and slashes between letters opened."""
    opened = _JOINT.sub(" ", text)
    return [word for word in map(fold, opened.split()) if word]


@cache
def phrases() -> Mapping[Phrase, Mapping[str, str]]:
    """Phrase → what it says: any of kind, head, drive, material."""
    heads = {phrase: {"head": head} for phrase, head in _head_phrases().items()}
    home = _said_in("fastener_words")
    return MappingProxyType(
        _said_in("fastener_words_abroad") | heads | _with_last_shortened(home) | home
    )


#: How the last word of a phrase is shortened: thrust wshr, machine scr.
_SHORTENED = {
    "washer": ("wshr", "washr"), "screw": ("scr", "scrw"), "bolt": ("blt",), "nut": ("nt",),
    "gasket": ("gskt",), "spring": ("sprng",),
}  # fmt: skip


def _with_last_shortened(said: Mapping[Phrase, dict[str, str]]) -> dict[Phrase, dict[str, str]]:
    return {
        (*phrase[:-1], short): fields
        for phrase, fields in said.items()
        if len(phrase) > 1
        for short in _SHORTENED.get(phrase[-1], ())
    }


def _said_in(table: str) -> dict[Phrase, dict[str, str]]:
    fields = ("kind", "head", "drive", "material")
    return {
        tuple(fold_words(row["words"])): {name: row[name] for name in fields if row[name]}
        for row in read_table(table)
    }


@cache
def _head_phrases() -> Mapping[Phrase, str]:
    """Phrase → the head that it says and nothing else."""
    return {
        tuple(fold_words(words)): row["head"]
        for row in read_table("heads")
        for words in row["words"].split("|")
    }


@cache
def locking_phrases() -> Mapping[Phrase, str]:
    """Phrase → what keeps the fastener from coming loose, in its standard word."""
    return {tuple(fold_words(row["words"])): row["means"] for row in read_table("locking_words")}


@cache
def _single_use() -> frozenset[str]:
    return frozenset(row["means"] for row in read_table("locking_words") if row["single_use"])


@cache
def lexicon() -> Mapping[Phrase, PhraseMeaning]:
    """Every phrase that is understood, folded, with what it says."""
    said_at_home = _said_in("fastener_words")
    home = said_at_home.keys() | _with_last_shortened(said_at_home).keys() | _head_phrases().keys()
    found: dict[Phrase, PhraseMeaning] = {}
    for row in read_table("part_words"):
        found[tuple(fold_words(row["words"]))] = PhraseMeaning(place=True)
    roles = {
        "noise": PhraseMeaning(noise=True),
        "place": PhraseMeaning(place=True),
        "sort": PhraseMeaning(place=True),
    }
    roles |= {"pair of sides": PhraseMeaning(place=True), "opens": PhraseMeaning(opens=True)}
    for role, said in roles.items():
        found |= {tuple(fold_words(word)): said for word in bench_words(role)}
    for phrase, fields in phrases().items():
        said = msgspec.convert(dict(fields), PhraseMeaning)
        foreign = phrase not in home
        found[phrase] = msgspec.structs.replace(said, locks=_locks(fields), foreign=foreign)
    for phrase, means in locking_phrases().items():
        entry = found.get(phrase, PhraseMeaning())
        if entry.place or entry.noise:
            entry = PhraseMeaning()
        found[phrase] = msgspec.structs.replace(entry, locks=means)
    return _with_umlauts(found)


def _locks(fields: Mapping[str, str]) -> str:
    kind, material = fields.get("kind", ""), fields.get("material", "")
    if kind == "washer" and material:
        return f"{material} washer"
    if kind in _LOCKS:
        return _LOCKS[kind]
    return kind if kind.endswith("washer") or kind in _LOCKING_KINDS else ""


def _with_umlauts(found: dict[Phrase, PhraseMeaning]) -> Mapping[Phrase, PhraseMeaning]:
    """Adds the spellings with ue, oe and ae for people without these keys."""
    for name in ("fastener_words_abroad", "part_words"):
        for row in read_table(name):
            typed = row["words"].lower()
            if row["language"] == "de" and any(sign in typed for sign in "äöü"):
                for sign, spelled in (("ä", "ae"), ("ö", "oe"), ("ü", "ue")):
                    typed = typed.replace(sign, spelled)
                found.setdefault(tuple(fold_words(typed)), found[tuple(fold_words(row["words"]))])
    return MappingProxyType(found)


@cache
def words_with_figures() -> frozenset[str]:
    """The first words of phrases that hold a figure: 12, 6kt, v2a."""
    return frozenset(phrase[0] for phrase in lexicon() if any(s.isdigit() for s in phrase[0]))


#: German nouns are made longer in front: a Deckelschraube is a Schraube. The longest end is taken.
_GERMAN_ENDS = (
    ("stiftschrauben", "stud"), ("stiftschraube", "stud"), ("blechschrauben", "self-tapping screw"),
    ("blechschraube", "self-tapping screw"), ("ablassschrauben", "drain plug"),
    ("ablassschraube", "drain plug"), ("verschlussschraube", "plug"), ("schrauben", "screw"),
    ("schraube", "screw"), ("schraubchen", "screw"), ("schraeubchen", "screw"),
    ("blechschr", "self-tapping screw"), ("schr", "screw"), ("kronenmuttern", "castle nut"),
    ("kronenmutter", "castle nut"), ("stoppmutter", "self-locking nut"),
    ("kontermutter", "lock nut"), ("muttern", "nut"), ("mutter", "nut"),
    ("anlaufscheibe", "thrust washer"), ("anlaufscheiben", "thrust washer"),
    ("ausgleichsscheiben", "shim"), ("ausgleichsscheibe", "shim"), ("scheiben", "washer"),
    ("scheibe", "washer"), ("dichtungen", "gasket"), ("dichtung", "gasket"),
    ("wellendichtringe", "oil seal"), ("wellendichtring", "oil seal"),
    ("dichtringe", "crush washer"), ("dichtring", "crush washer"),
    ("sicherungsringe", "circlip"), ("sicherungsring", "circlip"),
    ("sprengringe", "circlip"), ("sprengring", "circlip"), ("federring", "lock washer"),
    ("federringe", "lock washer"), ("stifte", "pin"), ("stift", "pin"), ("stehbolzen", "stud"),
    ("bolzen", "pin"), ("splinte", "cotter pin"), ("splint", "cotter pin"),
    ("schlauchschellen", "hose clip"), ("schlauchschelle", "hose clip"), ("schellen", "clamp"),
    ("schelle", "clamp"), ("kerzen", "spark plug"), ("kerze", "spark plug"),
    ("nadellager", "needle bearing"), ("lager", "bearing"), ("passfedern", "key"),
    ("passfeder", "key"), ("federn", "spring"), ("feder", "spring"), ("nieten", "rivet"),
    ("niete", "rivet"), ("niet", "rivet"), ("klammern", "clip"), ("klammer", "clip"),
    ("buchsen", "bush"), ("buchse", "bush"), ("distanzhulse", "spacer"), ("tulle", "grommet"),
    ("kabelbinder", "cable tie"), ("lagerkugeln", "ball"), ("kugeln", "ball"),
)  # fmt: skip
#: So are the names of parts: a Bremsankerplatte is a plate of the brake. Folded.
_GERMAN_PARTS = (
    "abdeckung", "achse", "antrieb", "armatur", "aufnahme", "ausgang", "backe", "backen", "bank",
    "blech", "brucke", "deckel", "dampfer", "einlass", "eingang", "flansch", "gabel",
    "gehause", "geber", "getriebe", "gestange", "glocke", "griff", "halter", "halterung", "haube",
    "hebel", "holm", "kabel", "kasten", "klappe", "kolben", "korb", "krummer", "kupplung",
    "lampe", "lasche", "leitung", "leuchte", "nabe", "nocken", "platte", "pumpe",
    "rahmen", "raste", "rasten", "ritzel", "rohr", "schalter", "schale", "scharnier", "schild",
    "schlauch", "schloss", "schutz", "schwinge", "seite", "seil", "sieb", "sitz", "spule",
    "stander", "stange", "steg", "strebe", "streben", "stutze", "stutzen", "topf",
    "trager", "trommel", "verkleidung", "verteiler", "walze", "wanne", "welle", "zug", "zylinder",
)  # fmt: skip
#: Words that are run together on bags: wheelnuts, headbolts, axlewashers.
_ENGLISH_ENDS = ("bolt", "nut", "screw", "washer", "stud", "rivet")
#: What the people of a bench leave off: M8s are M8 screws, nylocs are nyloc nuts.
_ENDINGS = ("s", "es", "n", "en", "x", "e")


@lru_cache(maxsize=8192)
def look_up(words: tuple[str, ...]) -> tuple[int, PhraseMeaning] | None:
    """The longest phrase that folded `words` begin with: how many words, and what it says."""
    known = lexicon()
    for length in range(min(7, len(words)), 0, -1):
        phrase = words[:length]
        if phrase in known:
            return length, known[phrase]
        last = phrase[-1]
        for ending in _ENDINGS if len(last) > 3 else ("s",):
            if last.endswith(ending) and len(last) > len(ending) + 1:
                singular = (*phrase[:-1], last[: -len(ending)])
                small = length == 1 and singular in known
                if small and (known[singular].noise or known[singular].opens):
                    continue
                if singular in known:
                    return length, known[singular]
        if length > 1 and (said := _stemmed().get(tuple(map(_stem, phrase)))) is not None:
            return length, said
    return (_compound(words[0]) or _elided(words)) if words else None


#: What stands before an apostrophe in French and Italian, folded: d'huile, dell'olio.
_ELIDED = frozenset(
    ("d", "l", "all", "dall", "dell", "nell", "sull", "un", "jusqu", "quell", "coll")
)


def _elided(words: tuple[str, ...]) -> tuple[int, PhraseMeaning] | None:
    """`d'embrayage`, `dell'olio`: the part behind the apostrophe, if it is one of a machine."""
    before, sign, noun = words[0].partition("'")
    if not sign or before not in _ELIDED:
        return None
    said = look_up((noun, *words[1:]))
    return said if said is not None and said[1].place else None


def _stem(word: str) -> str:
    """A word without its ending, so that écrous frein is écrou frein, viti autofilettanti one."""
    plain = word[:-1] if len(word) > 4 and word[-1] in "snx" else word
    return plain[:-1] if len(plain) > 4 and plain[-1] in "aeio" else plain


@cache
def _stemmed() -> Mapping[Phrase, PhraseMeaning]:
    """Phrases of other languages of several words, each word without its ending."""
    return {
        tuple(map(_stem, phrase)): entry
        for phrase, entry in lexicon().items()
        if len(phrase) > 1 and entry.foreign and entry.kind
    }


@lru_cache(maxsize=8192)
def _compound(word: str) -> tuple[int, PhraseMeaning] | None:
    ends = [(end, kind) for end, kind in _GERMAN_ENDS if _ends_in(word, end)]
    if ends:
        _, kind = max(ends, key=lambda one: len(one[0]))
        return 1, PhraseMeaning(kind=kind, locks=_locks({"kind": kind}), foreign=True)
    singular = word.removesuffix("s")
    for kind in _ENGLISH_ENDS:
        if _ends_in(singular, kind):
            return 1, PhraseMeaning(kind=kind, locks=_locks({"kind": kind}))
    for opened in dict.fromkeys((word, _without_e(word))):
        if any(_ends_in(opened, end) for end in _GERMAN_PARTS):
            return 1, PhraseMeaning(place=True)
    return None


def _ends_in(word: str, end: str) -> bool:
    return word.endswith(end) and len(word) > len(end) + 2


def _without_e(word: str) -> str:
    """A folded word typed with ae, oe or ue as it is folded when it has its umlaut: haeuse."""
    return word.replace("ae", "a").replace("oe", "o").replace("ue", "u")


def is_single_use(kind: str, material: str, locking: tuple[str, ...]) -> bool:
    """True when something on the line is renewed at every rebuild.

    Cotter pins by AC 43.13-1B 7-127; lock, tab and crush washers, self-locking nuts, gaskets
    and washers of copper, fibre or aluminium by common practice.
    """
    return bool(single_use_items(kind, material, locking))


def single_use_items(kind: str, material: str, locking: tuple[str, ...]) -> tuple[str, ...]:
    """What on the line is renewed at every rebuild, the fastener itself first."""
    items = (kind, *map(lock_item, locking))
    found = [item for item in items if item in _single_use()]
    crushed = any(word in _CRUSHED_MATERIALS for word in material.split())
    if kind in ("washer", "thrust washer") and crushed:
        found.insert(0, f"{material} washer")
    return tuple(dict.fromkeys(found))


def without_size(item: str) -> str:
    """`cotter pin 3.2x32` without its size."""
    return re.sub(r" [0-9].*", "", item)


@cache
def lock_item(item: str) -> str:
    """What keeps a fastener from coming loose by its standard name: Federring is a lock washer."""
    plain = without_size(item)
    said = look_up(tuple(fold_words(plain)))
    return said[1].locks if said is not None and said[1].locks else plain


#: Words of these roles are no slips for a fastener: länger is no Lager.
_NO_SLIPS = (
    "comparative",
    "condition",
    "absent",
    "verb",
    "negation",
    "hedge",
    "chore",
    "ditto",
    "all",
)


#: A slip in the plural of a longer word is told as well: cirlcips.
_LONG_SLIP = 5


@lru_cache(maxsize=4096)
def nearest_word(word: str) -> str:
    """The known word that a slip of the keys is probably meant to be, or an empty text."""
    from rapidfuzz import process
    from rapidfuzz.distance import OSA

    folded = fold(word)
    if len(folded) < 4 or any(folded in bench_words(role) for role in _NO_SLIPS):
        return ""
    for said in dict.fromkeys((folded, folded.removesuffix("s"))):
        close = process.extractOne(said, _single_words(), scorer=OSA.distance, score_cutoff=1)
        if close and close[0] == folded.removesuffix("s"):
            return ""  # rubbers
        if close and close[0][0] == folded[0] and (said == folded or len(said) > _LONG_SLIP):
            return close[0] if said == folded else f"{close[0]}s"
    return ""


#: Nobody who slips on a key means a word that is shortened to its consonants.
_VOWEL = re.compile(r"[aeiouy]")


@cache
def _single_words() -> tuple[str, ...]:
    said: Iterable[Phrase] = (
        phrase for phrase, entry in lexicon().items() if entry.kind or entry.head or entry.drive
    )
    words = {word for phrase in said for word in phrase if len(word) > 3}
    return tuple(sorted(word for word in words if _VOWEL.search(word)))
