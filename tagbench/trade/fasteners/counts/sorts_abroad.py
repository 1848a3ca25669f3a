"""One thing in two sorts in German, French, Spanish and Italian: `Nippel 2 gross 3 klein`.

Each sort is given the name of the thing, so that its count gets to nothing else.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from tagbench.trade.fasteners.vocabulary import THREADED_KINDS, bench_roles, fold, look_up

_AND = r",?\s(?:(?:und|u\.|et|y|e|\+)\s)?"
#: By how they look: ressorts 3 jaune 1 rouge.
_SORTS = re.compile(
    rf"(?P<name>[^\W\d_]{{3}}[^0-9,;:()+]*?)\s(?P<n>[1-9][0-9]?)\s(?P<a>[^\W\d_]{{3,}}){_AND}"
    r"(?P<m>[1-9][0-9]?)\s(?P<b>[^\W\d_]{3,})(?P<rest>\s\([^()]*\)|\s?[?!]+)?"
)
_MM = r"[0-9.]+(?:\s?mm)?"
#: By their size: pasadores aleta 3 de 2mm 1 de 3.
_SIZES = re.compile(
    rf"(?P<name>[^\W\d_]{{3}}[^0-9,;:()+]*?)\s(?P<n>[1-9][0-9]?)\s(?P<of>de|da|di|von|zu|à)\s"
    rf"(?P<a>{_MM}){_AND}(?P<m>[1-9][0-9]?)\s(?P=of)\s(?P<b>{_MM})(?P<rest>)"
)
#: No sides: 2 oben 2 unten says where they were, which is read as it stands.
_COLOURS = frozenset(
    ("rot", "rote", "gelb", "gelbe", "blau", "blaue", "schwarz", "schwarze", "grun", "grune",
     "weiss", "weisse", "rouge", "rouges", "jaune", "jaunes", "bleu", "bleus", "bleue", "noir",
     "noirs", "noire", "noires", "vert", "verts", "verte", "blanc", "blancs", "blanche", "rojo",
     "rojos", "roja", "rojas", "amarillo", "amarillos", "azul", "azules", "negro", "negros",
     "negra", "negras", "verde", "verdes", "blanco", "blancos", "rosso", "rossi", "rossa", "rosse",
     "giallo", "gialli", "gialla", "gialle", "blu", "nero", "neri", "nera", "nere", "verdi",
     "bianco", "bianchi", "bianca", "bianche")
)  # fmt: skip
_LOOKS = frozenset(
    ("gross", "grosse", "klein", "kleine", "lang", "lange", "kurz", "kurze", "dick", "dunn",
     "grand", "grands", "grande", "grandes", "petit", "petits", "petite", "petites", "long",
     "longs", "longue", "longues", "court", "courts", "courte", "courtes", "largo", "largos",
     "larga", "largas", "corto", "cortos", "corta", "cortas", "pequeno", "pequenos", "pequena",
     "pequenas", "lungo", "lunghi", "lunga", "lunghe", "corti", "corte", "grandi", "piccolo",
     "piccoli", "piccola", "piccole", "grosso", "grossi", "grossa")
)  # fmt: skip
_TOLD = frozenset(("negation", "verb", "absent", "opens"))


def kind_of(name: Sequence[str]) -> str:
    """The kind of fastener that a name says; none for a part or a word that nobody knows."""
    words = [fold(word) for word in name]
    kinds = [said[1].kind for at in range(len(words)) if (said := look_up(tuple(words[at:])))]
    return next((kind for kind in kinds if kind), "")


def by_sorts(clause: str) -> list[str]:
    """The two sorts of a thing, each with its name; none for any other clause.

    >>> by_sorts("Nippel 2 gross 3 klein")
    ['2 Nippel gross', '3 Nippel klein']
    """
    by_size = _SIZES.fullmatch(clause)
    found = by_size or _SORTS.fullmatch(clause)
    if found is None:
        return []
    name = found["name"].split()
    kind = kind_of(name)
    if any(bench_roles(fold(word)) & _TOLD for word in name):
        return []
    if by_size is not None:
        first, second = (
            f"{found['of']} {found[one].removesuffix('mm').strip()} mm" for one in "ab"
        )
        named = bool(kind)
    else:
        first, second = found["a"], found["b"]
        sorts = {fold(first), fold(second)}
        named = kind not in THREADED_KINDS and any(sorts <= one for one in (_COLOURS, _LOOKS))
    if not named:
        return []
    what = found["name"]
    return [f"{found['n']} {what} {first}", f"{found['m']} {what} {second}{found['rest'] or ''}"]
