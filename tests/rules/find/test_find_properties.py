"""What a part is found by besides its name: kinds of thread, spanners, whose nuts they are.

The book is made for these tests (common practice, no source, where none is named).
"""

from __future__ import annotations

import pytest

from tagbench.records import Part, PartNumber, replace
from tagbench.rules.find.index import Index
from tagbench.rules.find.once import find_once
from tagbench.trade.fasteners.text import parse_fasteners
from tests.rules.making import part, tables

_ROWS = (
    # name, assembly, fasteners
    ("back plate", "Brakes", "4x M8x20 hex"),
    ("battery strap", "Electrics", "1/4 BSW wing nut"),
    ("magneto cover", "Ignition", "2x 2BA x 1/2 cheese"),
    ("dynamo", "Electrics", "2x 5/16 BSF x 1 1/4 hex"),
    ("points plate", "Ignition", "3x #10-32 x 1/2 fillister"),
    ("pinch lever", "Controls", "M6x25 hex"),
    ("axle nut", "Front wheel / Hub", "castle nut M12x1.25"),
    ("road wheel", "Rear axle", "4x M10x1.25 nut"),
    ("timing gear", "Engine", "3x M6x16 hex"),
    ("split collets", "Valves", ""),
    ("starter rope", "Starting", ""),
)
BEARING = replace(part(50, "hub bearing"), part_numbers=(PartNumber(number="6201 size, 12x32x10"),))
BOOK = tables(
    *(
        replace(part(number, name, assembly=assembly), fasteners=parse_fasteners(fasteners))
        for number, (name, assembly, fasteners) in enumerate(_ROWS, 1)
    ),
    BEARING,
)
INDEX = Index(BOOK)


def first(words: str) -> str:
    """The name of what comes first, the same from the index made for one question."""
    found: list[Part] = [hit.part for hit in INDEX.find(words)]
    assert [hit.part for hit in find_once(BOOK, words)] == found
    return found[0].name if found else "nothing"


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("BA screws", "magneto cover"),
        ("ba", "magneto cover"),
        ("whitworth", "battery strap"),
        ("BSF", "dynamo"),
        ("imperial fillister", "points plate"),
        ("metric wheel", "road wheel"),
    ],
)
def test_a_kind_of_thread_is_a_property(words: str, name: str) -> None:
    assert first(words) == name


def test_a_word_of_the_book_is_no_slip_for_another() -> None:
    """Inch screws come before the screw of a pinch lever, a letter away."""
    assert {hit.part.name for hit in INDEX.find("inch screws", 2)} == {"dynamo", "points plate"}


def test_a_whole_thread_is_no_pair_of_figures() -> None:
    """10-32 is not the bearing of 12x32x10, whose number it does not begin."""
    assert [hit.part.name for hit in INDEX.find("10-32")] == ["points plate"]
    assert first("12x32x10") == "hub bearing"


def test_the_spanner_of_another_standard_is_known_too() -> None:
    """M12 nuts: 18 mm across flats in ISO 4032, 19 mm in the older DIN 934."""
    assert first("19 mm spanner") == "axle nut"
    assert first("18 mm spanner nut") == "axle nut"


def test_the_nuts_of_a_thing_are_found_by_the_thing() -> None:
    """Of two with a wheel and a nut: the wheel that has the nuts, not the nut in a wheel."""
    assert first("wheel nuts") == "road wheel"


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("cam gear", "timing gear"),
        ("valve keepers", "split collets"),
        ("pull cord", "starter rope"),
        ("breaker plate", "points plate"),
    ],
)
def test_words_of_either_side_of_the_ocean(words: str, name: str) -> None:
    assert first(words) == name


def names(*parts: str) -> Index:
    """A book of parts by these names."""
    return Index(tables(*(part(number, name) for number, name in enumerate(parts, 1))))


def test_the_chain_is_the_drive_chain() -> None:
    """The usual phrase for a thing comes before another of its kind."""
    index = names("timing chain", "drive chain", "chain guard")
    assert index.find("chain")[0].part.name == "drive chain"


def test_the_last_noun_tells_most() -> None:
    """A float of the carburettor is a float, however many floats and however few carburettors."""
    index = names("carburettor", "float", "float needle", "float bowl gasket", "choke")
    assert index.find("carb float")[0].part.name == "float"


def test_the_very_word_in_a_note_comes_before_what_is_called_so_loosely() -> None:
    washer = replace(part(1, "lid"), fasteners=parse_fasteners("2x M6 washer"))
    index = Index(tables(washer, part(2, "plate", note="three paper shims beneath")))
    assert index.find("shims")[0].part.name == "plate"


def test_less_than_half_a_word_says_nothing_of_its_other_names() -> None:
    """`hand` may go on to a handbrake, but not to a parking brake."""
    index = names("parking brake lever", "clutch lever")
    assert not any("parking" in hit.why for hit in index.find("hand"))
    assert index.find("handbr")[0].part.name == "parking brake lever"
