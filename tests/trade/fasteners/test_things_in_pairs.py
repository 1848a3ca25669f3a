"""Two things in one note, however they are joined, are read as each of them alone.

What a mechanic would write down for each is common practice, no source.
"""

from itertools import permutations

import pytest

from tagbench.records import Fastener
from tagbench.trade.fasteners.reading import read_fasteners

_THINGS: dict[str, tuple[int, str, dict[str, object]]] = {
    "4 M6x20 bolts": (4, "bolt", {"thread": "M6x1", "length": 20.0}),
    "M8x45 bolt": (1, "bolt", {"thread": "M8x1.25", "length": 45.0}),
    "2 1/4 BSF x 1 bolts": (2, "bolt", {"thread": "1/4 BSF", "length": 1.0}),
    "3 screws M5x12": (3, "screw", {"thread": "M5x0.8", "length": 12.0}),
    "1 stud M8x60": (1, "stud", {"thread": "M8x1.25", "length": 60.0}),
    "2 M8 nuts": (2, "nut", {"thread": "M8x1.25"}),
    "2 nuts": (2, "nut", {}),
    "nut": (1, "nut", {}),
    "bolt": (1, "bolt", {}),
    "4 washers": (4, "washer", {}),
    "washer": (1, "washer", {}),
    "10mm washer": (1, "washer", {"diameter": 10.0}),
    "2 copper washers 10x14": (2, "washer", {"diameter": 10.0, "length": 14.0}),
    "spring": (1, "spring", {}),
    "2 springs": (2, "spring", {}),
    "bearing 6203": (1, "bearing", {"number": "6203"}),
    "2 bearings 6202": (2, "bearing", {"number": "6202"}),
    "circlip 20 ext": (1, "circlip", {"diameter": 20.0}),
    "2 circlips": (2, "circlip", {}),
    "oil seal 20x35x7": (1, "oil seal", {"diameter": 20.0, "length": 35.0}),
    "3/8 ball": (1, "ball", {"diameter": 0.375}),
    "24 balls": (24, "ball", {}),
    "shim 0.5": (1, "shim", {"thickness": 0.5}),
    "2 dowels": (2, "dowel pin", {}),
    "woodruff key": (1, "key", {}),
    "O-ring 20x2.5": (1, "O-ring", {"diameter": 20.0}),
    "gasket": (1, "gasket", {}),
    "2 spacers": (2, "spacer", {}),
    "spark plug": (1, "spark plug", {}),
    "2 clips": (2, "clip", {}),
    "clevis pin": (1, "clevis pin", {}),
    "2 cable ties": (2, "cable tie", {}),
    "grub screw M5x6": (1, "screw", {"thread": "M5x0.8", "length": 6.0}),
    "2 wood screws": (2, "wood screw", {}),
    "drain plug": (1, "drain plug", {}),
    "4 rivets": (4, "rivet", {}),
    "1 cable adjuster": (1, "other", {}),
    "2 grommets": (2, "grommet", {}),
}
_JOINTS = (", ", " + ", " & ", " and ")
_SIZES = ("thread", "diameter", "length", "thickness", "number")
#: The sizes that a number of its own gives, or that a ring has besides.
_MORE = ("bearing", "oil seal", "O-ring", "washer", "circlip", "shim")


def _is(line: Fastener, wanted: tuple[int, str, dict[str, object]]) -> bool:
    many, kind, sizes = wanted
    told = {field: getattr(line, field) for field in _SIZES}
    more = [field for field in _SIZES if told[field] and field not in sizes]
    more = [field for field in more if field != "thread"]  # a nut may share that of its bolt
    right = all(told[field] == size for field, size in sizes.items())
    return line.quantity == many and line.kind == kind and right and (kind in _MORE or not more)


def _is_read(first: str, joint: str, second: str) -> bool:
    """Whether both are told as they are, or something is asked of them."""
    reading = read_fasteners(f"{first}{joint}{second}")
    if reading.asks:
        return True
    left = list(reading.lines)
    for thing in (first, second):
        wanted = _THINGS[thing]
        found = next((line for line in left if _is(line, wanted)), None)
        locks = any(wanted[1] in name for line in left for name in line.locking)
        if found is not None:
            left.remove(found)
        elif not locks:
            return False
    return not left


def test_each_of_them_alone_is_read() -> None:
    for thing, wanted in _THINGS.items():
        lines = read_fasteners(thing).lines
        assert [_is(line, wanted) for line in lines] == [True], thing


@pytest.mark.sampled(4)
@pytest.mark.parametrize("joint", _JOINTS)
def test_two_of_them_are_read_as_each_alone(joint: str) -> None:
    pairs = [pair for pair in permutations(_THINGS, 2) if not _are_one(*pair)]
    misread = [pair for pair in pairs if not _is_read(pair[0], joint, pair[1])]
    assert not misread


def _are_one(first: str, second: str) -> bool:
    """Whether the second may be what the first is: `bolt, M8x45 bolt`."""
    kinds = {_THINGS[first][1], _THINGS[second][1]}
    return len(kinds) == 1 or kinds == {"bolt", "screw"}
