"""Counts behind the names of a list in German, French, Spanish and Italian, put before them.

`zapatas 2 gastadas, muelles 2, pasador aleta 1` counts each thing behind its name. English notes
do so as well, but there a plural tells by its s; here the forms of four languages have to.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import takewhile

from tagbench.trade.fasteners.abroad import languages
from tagbench.trade.fasteners.counts.sorts_abroad import by_sorts, kind_of
from tagbench.trade.fasteners.plural import is_plural
from tagbench.trade.fasteners.vocabulary import (
    PhraseMeaning,
    bench_roles,
    bench_words,
    count_said,
    fold,
    fold_words,
    look_up,
)

#: What parts two things of a list, in no brackets; the comma of 9,5 parts nothing.
_JOINTS = re.compile(r"(,\s+|\s\+\s|\s/\s|\s-\s|:\s)(?![^(]*\))")
#: A count with its sign behind what it counts: n4, n 22, 5u, 5 uds.
_SIGNED = re.compile(
    r"(?P<before>\S+)\s(?:n\s?(?P<n>[1-9][0-9]?)|(?P<u>[1-9][0-9]?)\s?u(?:ds?|nid)?)\.?"
    r"(?=\s?(?:$|[,;(+])|\s-\s|\s[^\W\d_]{3})",
    re.IGNORECASE,
)
_TIMES = re.compile(r"\s×(?P<n>[1-9][0-9]?)$")
#: A part that is no fastener, so many times: piattello x 4.
_PART_TIMES = re.compile(r"(?P<name>[^\W\d_][^0-9,;:()]*?)\sx\s?(?P<n>[1-9][0-9]?)\.?")
#: About so many behind a name: goupilles fendues une dizaine.
_ABOUT_BEHIND = re.compile(
    r"(?P<name>[^\W\d_][^0-9,;:()]*?)\s(?P<about>(?:une?\s|una\s)?(?:demi-|media\s|mezza\s)?(?:dizaine|douzaine"
    r"|quinzaine|vingtaine|decena|docena|veintena|decina|dozzina|ventina))",
    re.IGNORECASE,
)
#: What sits on a bolt with its size, counted behind its name: 2x M8x30 écrou frein 4.
_HELD = re.compile(
    r"(?P<before>.*\bM[0-9]+(?:x[0-9.]+)*)\s(?P<what>[^\W\d_]{3,}(?:\s[^\W\d_]+)?)\s(?P<n>[1-9][0-9]?)",
    re.IGNORECASE,
)
_FIGURE = re.compile(r"[1-9][0-9]?")
_SIZED = re.compile(r"[0-9]")
#: More of one thing are in no bag of a list.
_MOST = 60
#: Brackets that count again, and those that hold a size.
_SELF_COUNTED = re.compile(r"\(x?[1-9][0-9]?x?(?:\)|$)", re.IGNORECASE)
_OWN_SIZE = re.compile(r"\((?:M[0-9]|[0-9]+(?:[.,][0-9]+)?(?:x|mm))", re.IGNORECASE)
#: A part that nobody knows has no number this small but how many there are.
_FEW = 6
_LONGEST = 4
#: Behind these a number says which one it is, or what size.
_NUMBERED = frozenset(
    ("zylinder", "zyl", "cylindre", "cyl", "cilindro", "gang", "vitesse", "marcia", "marcha",
     "kiste", "karton", "tute", "tuete", "beutel", "dose", "glas", "fach", "schachtel", "bolsa",
     "caja", "bote", "sac", "sachet", "boite", "scatola", "busta", "sacchetto", "barattolo",
     "bild", "foto", "photo", "seite", "pos", "position", "posizione", "posicion", "punto",
     "point", "nr", "no", "num", "numero", "nummer", "stufe", "reihe", "typ", "type", "tipo",
     "modell", "modele", "modelo", "modello", "sw", "cle", "chiave", "schlussel", "din", "iso",
     "grosse", "groesse", "taille", "talla", "misura", "lager", "brazo", "kolben", "ritzel")
)  # fmt: skip
#: So do these small words, which are no end of a name.
_OPENING = frozenset(
    ("da", "de", "di", "du", "d", "von", "vom", "per", "pour", "para", "por", "fur", "auf", "sur",
     "en", "in", "a", "au", "im", "am", "an", "mit", "avec", "con", "oder", "ou", "o", "e", "y",
     "et", "und", "u", "ca", "circa", "env", "noch", "nur", "davon", "dont", "cui", "je", "zu",
     "des", "die", "der", "das", "le", "la", "les", "los", "las", "il", "i", "gli", "x", "sur",
     "diam", "diametre", "diametro", "durchmesser", "m", "plus", "mas", "piu", "bis", "fehlt",
     "manque", "falta", "faltan", "manca", "mancano", "fehlen", "solo", "aprox")
)  # fmt: skip
#: These are called by one figure: M8 nuts, an 8 mm washer.
_BY_FIGURE = frozenset(
    ("screw", "bolt", "nut", "stud", "washer", "lock washer", "star washer", "penny washer",
     "circlip", "O-ring", "oil seal", "pin", "cotter pin", "spring pin", "self-locking nut",
     "lock nut", "crush washer", "conical spring washer", "wave washer", "spark plug", "bearing",
     "needle bearing", "hose clip", "shim", "bush", "thin nut", "castle nut")
)  # fmt: skip
#: Words of fasteners that are the same in English.
_SHARED = frozenset(("clip", "clips", "joint", "joints", "rivet", "rivets", "circlip", "circlips"))
#: Behind these a count is another one than was said first.
_TAKEN_BACK = frozenset(("anzi", "nein", "non", "moins", "sorry", "pardon", "perdon", "scusa",
                         "statt", "sauf", "menos", "meno"))  # fmt: skip
#: Behind a number these are what it measures or counts.
_UNITS = frozenset(("mm", "cm", "st", "stk", "stck", "stuck", "stueck", "satz", "pz",
                    "pzi", "pezzi", "pcs", "pces", "pce", "pc", "zoll",
                    "pieces", "piezas", "uds", "ud", "off", "paar", "paire", "par", "paio",
                    "nm", "kgm", "kgf", "mkg", "passo", "paso", "pas", "gang", "steigung", "mal",
                    "fois", "volte", "veces", "er", "v", "w", "x", "sur", "von", "di",
                    "de"))  # fmt: skip
#: What says how some of the pieces are, and names no other thing.
_SAYS_HOW = frozenset(("sort", "comparative", "condition", "absent", "verb", "negation", "others"))
#: How words of several parts end in German; a Bolzen or a Kolben may be one.
_GERMAN = (
    "backen", "lamellen", "rollen", "kohlen", "klappen", "platten", "rasten", "schalen", "laschen",
    "leisten", "ketten", "kappen", "leuchten", "lampen", "birnen", "ungen", "dusen", "duesen",
    "spulen", "wellen", "achsen", "streben", "schienen", "griffe", "belage", "belaege", "ventile",
    "zuge", "zuege", "blocke", "bloecke", "steine", "rohre", "schlauche", "glieder", "rader",
    "raeder", "gummis", "chen", "lam", "teller", "ringe", "halbschalen", "kontakte", "bander",
)  # fmt: skip
#: These go by how thick they are: Kolbenbolzen 12.
_BY_DIAMETER = ("bolzen", "spinotto", "bulon", "axe", "eje", "asse", "perno", "welle", "rohr",
                "tube", "tubo", "schlauch", "durite", "tuyau", "arbre", "albero",
                "stange")  # fmt: skip
#: What washers and springs are called by alone, with their size behind: piana 8.
_DESCRIBING = frozenset(("piana", "piane", "elastica", "elastiche", "plana", "planas", "plate",
                         "plates", "grower", "dentata", "dentate", "larga", "larghe", "ancha",
                         "anchas", "spaccata", "spaccate", "flach", "faecher",
                         "facher"))  # fmt: skip
_SIZES = frozenset((4, 5, 6, 8))
_LARGEST = 9
#: Only so many of them: una sola, seule.
_ALONE = frozenset(("seule", "seul", "solo", "sola", "einzeln"))


def counts_first(note: str) -> str:
    """A note in plain signs with each count of a list before the name that it counts.

    >>> counts_first("zapatas 2 gastadas, muelles 2, pasador aleta 1")
    '2 zapatas gastadas, 2 muelles, 1 pasador aleta'
    """
    if "“" in note or not _is_abroad(note):
        return note
    pieces = _JOINTS.split(_SIGNED.sub(_times, note))
    clauses, joints = pieces[::2], [*pieces[1::2], ""]
    listed = sum(_counts_behind(clause) for clause in clauses) > 1
    made: list[str] = []
    for clause, joint in zip(clauses, joints, strict=True):
        things = by_sorts(clause) or _chain(clause, note)
        things = things or [_count_first(clause, note, listed=listed)]
        made += [part for thing in things for part in (thing, ", ")][:-1]
        made.append(joint)
    plain = "".join(_parted(made))
    return plain.replace("×", "x")


def _parted(made: Sequence[str]) -> list[str]:
    """The clauses and joints with a line end beside each counted part that is no fastener, as
    the reader may take that for the place of its neighbour."""
    parted = list(made)
    for at in range(1, len(made) - 1, 2):
        before, behind = made[at - 1], made[at + 1]
        kinds = kind_of(before.split()), kind_of(behind.split())
        ahead = _counts(before) and not kinds[0] and bool(kinds[1]) and not _tells(behind)
        ahead = ahead or (_counts(behind) and not kinds[1] and (_counts(before) or bool(kinds[0])))
        if ahead and made[at].strip() in (",", "+", "/", "-"):
            parted[at] = "\n"
    return parted


def _tells(clause: str) -> bool:
    """Whether it tells what became of a thing, and brings none: quarta molla rotta."""
    words = re.findall(r"[^\W\d_]+", clause)
    return any(bench_roles(fold(word)) & (_SAYS_HOW - {"sort", "comparative"}) for word in words)


def _counts(clause: str) -> bool:
    """Whether a clause begins with how many there are of what it names."""
    first, *rest = clause.split() or [""]
    if not _FIGURE.fullmatch(first) or not rest or not rest[0][:3].isalpha() or len(rest[0]) < 3:
        return False
    said = fold(rest[0])
    sized = any(map(_SIZED.search, rest)) and not kind_of(rest)  # 1 Schloss 428
    return (
        not sized
        and said not in _UNITS
        and not rest[0].endswith("-")
        and not bench_roles(said) & _SAYS_HOW
    )


def _is_abroad(note: str) -> bool:
    """Whether a note is in another language for certain, and takes nothing back."""
    if not languages(note):
        return False
    words = [fold(word) for word in re.findall(r"[^\W\d_]{3,}", note)]
    english = any(_is_english(word) for word in words)
    return not english and not _TAKEN_BACK.intersection(words)


def _is_english(word: str) -> bool:
    said = look_up((word,))
    return said is not None and bool(said[1].kind) and not said[1].foreign and word not in _SHARED


def _times(found: re.Match[str]) -> str:
    """The ×4 of `brugole n4`; the 3 of `busta n.3` says which one it is."""
    numbered = fold(found["before"]) in _NUMBERED
    return found[0] if numbered else f"{found['before']} ×{found['n'] or found['u']}"


def _many(word: str) -> int:
    """How many a word of a note says, as a figure or a number word; 0 for any other."""
    plain = word.strip(".")
    if _FIGURE.fullmatch(plain):
        return int(plain) if int(plain) <= _MOST else 0
    said = fold(plain)
    return bench_words("count").get(said, 0) if plain.isalpha() and said not in _UNITS else 0


def _counts_behind(clause: str) -> bool:
    """Whether a clause ends in a count, or has one before its brackets."""
    words = re.sub(r"\s?\([^()]*\)$", "", clause).split()
    return len(words) > 1 and _many(words[-1]) > 0 and not _many(words[0])


def _count_first(clause: str, note: str, *, listed: bool) -> str:
    """The clause with its count before its name; as it was, where that is no count for certain."""
    words = clause.split()
    if held := _HELD.fullmatch(clause):
        return f"{held['before']}, {held['n']} {held['what']}" if _is_held(held) else clause
    if len(words) < 2 or _many(words[0]) or not words[0][:1].isalpha():
        return clause
    if times := _TIMES.search(clause):
        return _put(words[:-1], int(times["n"]), (), note)
    times = _PART_TIMES.fullmatch(clause)
    if times is not None and not kind_of(name := times["name"].split()):
        return _put(name, int(times["n"]), (), note)
    if about := _ABOUT_BEHIND.fullmatch(clause):
        return f"{about['about']} de {about['name']}"
    for at, word in enumerate(words[1 : _LONGEST + 1], 1):
        many = _many(word)
        if many and _is_count(words[:at], word, words[at + 1 :], note, listed=listed):
            return _put(words[:at], many, words[at + 1 :], note)
        if many or word.startswith("("):
            return clause
    return clause


def _is_held(found: re.Match[str]) -> bool:
    """Whether the ecrou frein 4 behind a sized bolt are the nuts on it."""
    kind = kind_of(found["what"].split())
    return "nut" in kind or "washer" in kind


def _put(name: Sequence[str], many: int, rest: Sequence[str], note: str) -> str:
    at = _noun(name, note) if many > 1 else 0
    return " ".join([*name[:at], str(many), *name[at:], *rest])


def _noun(name: Sequence[str], note: str) -> int:
    """Where the noun of a name stands: the cuvettes of pedalier velo cuvettes."""
    meanings = [_meaning(word) for word in name]
    if is_plural(name[0], note) or (meanings[0] is not None and meanings[0].kind):
        return 0
    parts = list(takewhile(_is_part, map(fold, name)))
    several = [at for at in range(len(name)) if at <= len(parts) and _says_several(name[at], note)]
    kinds = [at for at, said in enumerate(meanings) if said is not None and said.kind]
    return min([*several, *kinds], default=0)


def _meaning(word: str) -> PhraseMeaning | None:
    said = look_up(tuple(fold_words(word))) if word[:1].isalpha() else None
    return said[1] if said is not None else None


def _says_several(word: str, note: str) -> bool:
    """Whether a noun says several: zapatas, Federn, scodellini."""
    said = fold(word)
    if bench_roles(said) - {"threaded thing", "feature", "chore"} or len(said) < _LONGEST:
        return False
    if is_plural(word, note):
        return True
    spoken = languages(note)
    if "it" in spoken:
        return said.endswith("i") or (said.endswith("e") and _is_part(f"{said[:-1]}a"))
    return "de" in spoken and said.endswith(_GERMAN)


def _is_part(word: str) -> bool:
    said = look_up((word,))
    return said is not None and bool(said[1].place or said[1].kind)


def _is_count(
    name: Sequence[str], figure: str, rest: Sequence[str], note: str, *, listed: bool
) -> bool:
    """Whether a number behind a name says how many of it there are, and not what size."""
    many = _many(figure)
    if any(_SIZED.search(word) for word in name):
        return _counts_sized(name, figure, rest)
    bracketed = bool(rest) and rest[0].startswith("(")
    if _numbers_one(name) or not (not rest or bracketed or _says_state(rest)):
        return False
    if rest and (fold(rest[0]) in _UNITS or _SELF_COUNTED.match(rest[0])):
        return False
    kind = kind_of(name)
    head = _meaning(name[0])
    one = head is not None and bool(head.kind) and not _says_several(name[0], note)
    several = not one and any(_says_several(word, note) for word in name)  # pasador aletas 3
    if many == 1:
        alone = not rest or bracketed or fold(rest[0]) in _ALONE
        return alone and not several and (bool(kind) or listed)
    if figure.isalpha() or (bracketed and _OWN_SIZE.match(rest[0])):
        return bool(kind) or several
    if kind in _BY_FIGURE:
        return several and many <= _LARGEST and many not in _SIZES
    return several or (listed and not kind and not rest and _is_few(name, many))


def _numbers_one(name: Sequence[str]) -> bool:
    """Whether a number behind it says which one it is, or what size: Zylinder 2, rondelle da 8."""
    first, last = fold(name[0]), fold(name[-1])
    if last in _NUMBERED | _OPENING or first in _NUMBERED or not name[-1][0].isalpha():
        return True
    said = bench_roles(last) & {"negation", "absent", "verb", "hedge", "few", "each"}
    return bool(said) or (not kind_of(name) and all(fold(word) in _DESCRIBING for word in name))


def _is_few(name: Sequence[str], many: int) -> bool:
    """Whether it may be so many of a part that nobody measures by one figure."""
    thick = any(fold(word).endswith(_BY_DIAMETER) for word in (name[0], name[-1]))
    return many <= _FEW and not thick


def _counts_sized(name: Sequence[str], figure: str, rest: Sequence[str]) -> bool:
    """The dos of `tornillos m4 dos`, the 1 of `grano m6 1`, which is no length."""
    sized = [word for word in name if _SIZED.search(word)]
    thread = len(sized) == 1 and sized[0] is name[-1] and re.match(r"(?i)M?[0-9]", sized[0])
    named = bool(thread) and bool(kind_of(name[:-1])) and not rest
    return named and (figure.isalpha() or (figure in ("1", "2") and sized[0][:1] in "mM"))


def _says_state(rest: Sequence[str]) -> bool:
    """Whether what stands behind a count says how they are, and names no other thing."""
    first = fold(rest[0])
    said = _meaning(rest[0])
    told = bool(bench_roles(first) & {"condition"})
    named = said is not None and bool(said.kind or said.place or said.opens)
    return told or not (named or any(map(_SIZED.search, rest)) or is_plural(rest[0]))


#: A name with its count behind it, and what brackets say of it.
_ITEM = re.compile(
    r"(?P<what>[^\W\d_]{2}[^\W\d_.'-]*(?:[.']?[\s-][^\W\d_]{2,}){0,3}?\.?)"
    r"(?:\s(?P<n>[1-9][0-9]?)|(?P<size>\s(?:M[0-9]+|[0-9]+/[0-9]+|[0-9.]+x[0-9.]+))\s[x×](?P<x>[1-9][0-9]?))"
    r"(?P<rest>\s\([^()]*\))?(?:\s|$)"
)


def _chain(clause: str, note: str) -> list[str]:
    """The things of a clause that counts each behind its name: molle 6 scodellini 6; else none."""
    made: list[str] = []
    at = 0
    while found := _ITEM.match(clause, at):
        name, many = found["what"].split(), int(found["n"] or found["x"])
        if not _may_be_listed(name, many, note, listed=bool(made)):
            return []
        size = (found["size"] or "").split()
        made.append(f"{_put(name, many, size, note)}{found['rest'] or ''}")
        at = found.end()
    rest = clause[at:]
    if len(made) < 2 or (rest and (_SIZED.match(rest) or count_said(rest.split()[0]))):
        return []
    return [*made, rest] if rest else made


def _may_be_listed(name: Sequence[str], many: int, note: str, *, listed: bool) -> bool:
    last = fold(name[-1])
    if last in _NUMBERED | _OPENING or fold(name[0]) in _NUMBERED | _OPENING:
        return False
    if many == 1:
        return not any(_says_several(word, note) for word in name)
    short = listed and name[-1].endswith(".") and many <= _FEW and not kind_of(name)
    return short or any(_says_several(word, note) for word in name)
