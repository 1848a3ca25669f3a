"""One sort of thing with its count and size, in the ways people write them, is always that.

Count, kind and size as a mechanic would write them down: common practice, no source.
"""

import pytest

from tagbench.records import Fastener
from tagbench.trade.fasteners.reading import read_fasteners

_Sizes = dict[str, dict[str, str | float]]
_THINGS: dict[tuple[str, str], _Sizes] = {
    ("bolts", "bolt"): {
        "M6x20": {"thread": "M6x1", "length": 20},
        "M8 x 45": {"thread": "M8x1.25", "length": 45},
        "1/4 UNF x 3/4": {"thread": "1/4-28 UNF", "length": 0.75},
        "5/16 BSF x 1 1/4": {"thread": "5/16 BSF", "length": 1.25},
        "M10x1.25x60": {"thread": "M10x1.25", "length": 60},
    },
    ("screws", "screw"): {
        "M5x12": {"thread": "M5x0.8", "length": 12},
        "2BA x 1/2": {"thread": "2BA", "length": 0.5},
        "10-32 x 3/4": {"thread": "#10-32 UNF", "length": 0.75},
    },
    ("hex bolts", "bolt"): {"3/8 BSW x 2": {"thread": "3/8 BSW", "length": 2}},
    ("studs", "stud"): {"M8x60": {"thread": "M8x1.25", "length": 60}},
    ("nuts", "nut"): {
        "M8": {"thread": "M8x1.25"},
        "3/8 BSW": {"thread": "3/8 BSW"},
        "M10x1.25": {"thread": "M10x1.25"},
    },
    ("nyloc nuts", "self-locking nut"): {"M6": {"thread": "M6x1"}},
    ("washers", "washer"): {
        "M8": {"diameter": 8},
        '1/4"': {"diameter": 0.25},
        "8x16": {"diameter": 8, "length": 16},
    },
    ("spring washers", "lock washer"): {"8mm": {"diameter": 8}},
    ("copper washers", "washer"): {"14x18": {"diameter": 14, "length": 18}},
    ("circlips", "circlip"): {"20mm": {"diameter": 20}},
    ("bearings", "bearing"): {"6203": {"number": "6203"}, "6004-2RS": {"number": "6004-2RS"}},
    ("oil seals", "oil seal"): {"20x35x7": {"diameter": 20, "length": 35, "thickness": 7}},
    ("steel balls", "ball"): {'1/4"': {"diameter": 0.25}, "6mm": {"diameter": 6}},
    ("shims", "shim"): {"0.5mm": {"thickness": 0.5}, '.010"': {"thickness": 0.01}},
    ("split pins", "cotter pin"): {"3x25": {"diameter": 3, "length": 25}},
    ("dowels", "dowel pin"): {"8x20": {"diameter": 8, "length": 20}},
    ("roll pins", "spring pin"): {"4x20": {"diameter": 4, "length": 20}},
    ("taper pins", "taper pin"): {"no 3": {"number": "#3"}},
    ("woodruff keys", "key"): {"3x5": {"diameter": 3, "thickness": 5}},
    ("O-rings", "O-ring"): {"20x2.5": {"diameter": 20, "length": 2.5}},
    ("grub screws", "screw"): {"M5x6": {"thread": "M5x0.8", "length": 6}},
    ("bushes", "bush"): {"12x16x20": {"diameter": 12, "length": 16, "thickness": 20}},
    ("springs", "spring"): {"": {}},
    ("gaskets", "gasket"): {"": {}},
    ("clips", "clip"): {"": {}},
    ("rivets", "rivet"): {"": {}},
}
_WAYS = (
    "{n} {size} {kind}", "{n} {kind} {size}", "{n} x {size} {kind}", "{n} off {size} {kind}",
    "{kind} {size} x{n}", "{kind} {size} ({n})", "{kind} {size}, {n} off", "{size} {kind} x {n}",
    "{n}x {kind} {size}", "{kind} x{n} {size}", "{word} {kind} {size}", "{kind} {size} - {n}",
    "{n} no. {size} {kind}", "{kind}: {n} {size}", "{size} {kind}, {word}", "({n}) {kind} {size}",
)  # fmt: skip
_BESIDE = (
    "{}", "{}, rear hub", "rear hub: {}", "{} rear hub", "rear hub {}", "{} from rear hub",
    "{}, rusty", "{} - replace", "{} (rear hub)",
)  # fmt: skip
_COUNTS = {2: "two", 4: "four"}
_FIELDS = ("thread", "length", "diameter", "thickness", "number")
#: A number or the kind gives them further sizes.
_MORE = ("bearing", "taper pin", "key")


def _is(line: Fastener, many: int, kind: str, sizes: dict[str, str | float]) -> bool:
    told = {field: getattr(line, field) for field in _FIELDS}
    more = [field for field in _FIELDS if told[field] and field not in sizes]
    right = all(told[field] == pytest.approx(size) for field, size in sizes.items())
    return line.quantity == many and line.kind == kind and right and (kind in _MORE or not more)


@pytest.mark.sampled(4)
@pytest.mark.parametrize("way", _WAYS)
def test_it_is_read_however_it_is_written(way: str) -> None:
    """Told as it is, or something is asked; never another count, kind or size."""
    misread = []
    for (words, kind), sizes in _THINGS.items():
        for size, fields in sizes.items():
            for many, word in _COUNTS.items():
                said = way.format(n=many, word=word, kind=words, size=size)
                for beside in _BESIDE:
                    note = beside.format(" ".join(said.replace(" ,", ",").split()))
                    reading = read_fasteners(note)
                    told = [_is(line, many, kind, fields) for line in reading.lines]
                    if told != [True] and not reading.asks:
                        misread.append(note)
    assert not misread
