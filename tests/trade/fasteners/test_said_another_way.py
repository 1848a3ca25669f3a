"""The same note said another way is read the same way (common practice, no source).

Each way changes nothing of what a mechanic would understand: capitals, blanks, an and for a plus,
the place in front or behind, a remark at the end. Every phrase of the table is tried in every way.
"""

from __future__ import annotations

import re
import unicodedata
from collections import Counter
from collections.abc import Callable

import pytest

from tagbench.trade.fasteners.reading import read_fasteners
from tests.trade.fasteners.test_bag_phrases import PHRASES

#: What must stay as it is, whatever way it is said: how many of what, and how big.
_FIELDS = ("quantity", "kind", "thread", "diameter", "length", "thickness", "head", "drive")


def _told(text: str) -> Counter[tuple[object, ...]]:
    lines = read_fasteners(text).lines
    return Counter(tuple(getattr(line, name) for name in _FIELDS) for line in lines)


def _without_accents(text: str) -> str:
    apart = unicodedata.normalize("NFD", text)
    return "".join(sign for sign in apart if not unicodedata.combining(sign))


def _replaced(pattern: str, by: str) -> Callable[[str], str]:
    return lambda text: re.sub(pattern, by, text)


_WAYS: dict[str, Callable[[str], str]] = {
    "in small letters": str.lower,
    "in capitals": str.upper,
    "without accents": _without_accents,
    "with two blanks": lambda text: text.replace(" ", "  "),
    "with a point at the end": lambda text: f"{text}.",
    "with a star for the cross": _replaced(r"(?<=\d)x(?=\d)", "*"),
    "with the sign of the cross": _replaced(r"(?<=\d)(\s?)x(\s?)(?=\d)", r"\1×\2"),
    "with tight pluses": _replaced(r"\s\+\s", "+"),
    "with an and sign": _replaced(r"\sand\s", " & "),
    "with w/ for with": _replaced(r"\swith\s", " w/ "),
    "with a place in front": lambda text: f"rear hub: {text}",
    "with a place and a dash in front": lambda text: f"rear hub - {text}",
    "out of a bag": lambda text: f"bag 7: {text}",
    "with its place in brackets": lambda text: f"{text} (rear hub)",
    "with its place behind a dash": lambda text: f"{text} - gearbox cover",
    "with its side behind": lambda text: f"{text}, front",
    "with its state behind": lambda text: f"{text}, rusty",
    "with the state of one behind": lambda text: f"{text}, one damaged",
    "with a remark behind": lambda text: f"{text}, clean before refit",
    "with a remark in words behind": lambda text: f"{text}, needs a new one from the shop",
}
#: Phrases that say something else that way, or nothing that can be told, by way.
_OPEN = "2 screws, long; thread not yet known"
_SUM = "8 screws; 4 M5x10, 4 M5x16"
#: Under a heading, a part that begins a list is one of the things, and no second place of them.
_LISTS = frozenset(
    (
        "pilot jet, main jet, 4 screws M5x14",
        "stack: cone, spacer 5mm, washer, nut M10x1",
        "rear wheel: axle, spacer, 2 bearings 6203, circlip",
        "Vorderrad: Achse, 2 Distanzhülsen (kurze links!), Mutter M12",
    )
)
_OTHERWISE: dict[str, frozenset[str]] = {
    "in small letters": frozenset(
        ("ein Paar Muttern M8", "OR 22x2 x3")  # ein paar are a few, and an or is no O-ring
    ),
    "in capitals": frozenset(
        (
            "ein paar Federringe M6",
            "hub nut castle 5/8 w split pin",  # a capital W is Whitworth
            "points plate 2 8-32 w lockwashers, cam wiper felt gone, woodruff #61 sheared need new",
        )
    ),
    "with a star for the cross": frozenset(("Zylinderstift 6m6x20",)),
    "with a place in front": frozenset((_SUM,)) | _LISTS,
    "with a place and a dash in front": frozenset((_SUM,)) | _LISTS,
    "out of a bag": frozenset((_SUM,)) | _LISTS,
    "with its place in brackets": frozenset((_OPEN, "nothing")),
    "with its place behind a dash": frozenset((_OPEN,)),
    "with the state of one behind": frozenset((_OPEN,)),
    "with a remark in words behind": frozenset((_OPEN,)),
    "without accents": frozenset(("2 rondelle; una rondella è da rifare",)),  # e is another word
    "with its side behind": frozenset(
        (
            _OPEN,
            "rear sprocket nuts M10 x 6",
            "rear light lens screws self tappers x 2",
            "rear light screws - 2 - 4BA",
            "bolts M6x20, 2 front, 2 rear",
            "bearings 6203, 2 off rear hub",
            "screws: 3 front (long), 2 rear (short)",
            "3 long 2 short, clutch cover, M6. long at the rear",
            "3 m8x20 rear sprocket bolts thread locked",
            "REAR WHEEL SPACERS 2 ONE LONG ONE SHORT",
            "engine mounts front 2 M10x90 nut, rear 1 M8x110 plain nut + spring washer",
            "tank: 1 bolt M8x30 rear w/ big washer and rubber",
        )
    ),
}


@pytest.mark.parametrize("way", _WAYS)
def test_a_note_said_another_way_is_read_the_same(way: str) -> None:
    """All phrases that name a fastener, but those that say something else when said that way."""
    changed = [
        typed
        for typed, down in PHRASES
        if down and (said := _WAYS[way](typed)) != typed and _told(said) != _told(typed)
    ]
    print(f"\n{way}: {len(changed)} of {len(PHRASES)} otherwise")
    assert set(changed) <= _OTHERWISE.get(way, frozenset()), changed
