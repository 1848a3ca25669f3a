"""Find answers half-remembered questions with the right part first."""

from __future__ import annotations

import pytest

from tagbench.records import Bin, Part, PartNumber, replace
from tagbench.rules.find.index import Index
from tests.rules.making import bin_code, code, part, screws, tables

BAG, BOX = bin_code(1), bin_code(2)
BINS = (
    Bin(code=BAG, name="Front brake 3", kind="bag", kept_in=BOX),
    Bin(code=BOX, name="Box 2", kind="box"),
)
BRAKE = "Front wheel / Brake"
PARTS: tuple[Part, ...] = (
    part(1, "front mudguard", assembly="Body", position="left", fasteners=(screws(6, "M6x1"),)),
    part(2, "brake drum", assembly=BRAKE, fasteners=(screws(3, "M6x1"),)),
    part(3, "backing plate screws", assembly=BRAKE, bin=BAG, fasteners=(screws(4),)),
    part(4, "backing plate", assembly=BRAKE, sits_how="dowel at 6 o'clock"),
    part(5, "brake shoe", assembly=BRAKE, position="left", quantity=2),
    part(6, "brake shoe", assembly=BRAKE, position="right", quantity=2),
    part(7, "backing plate", assembly="Rear wheel / Brake", fasteners=(screws(6, "M6x1"),)),
    part(8, "carburettor", assembly="Fuel", part_numbers=(PartNumber(number="12 345-67A"),)),
    part(9, "fuel tap", assembly="Fuel", note="weeps at the lever"),
    part(10, "axle", assembly="Rear wheel", fasteners=(screws(1, "", kind="cotter pin"),)),
    part(11, "Bremsschlüssel", assembly="Werkzeug"),
    part(12, "łańcuch", assembly="Napęd"),
    part(13, "bracket", assembly="Engine", fasteners=(screws(2, "1/4-20 UNC", length_unit="in"),)),
    part(15, "stay", assembly="Cab", fasteners=(screws(2, "1/4 BSW", length_unit="in"),)),
    part(16, "magneto plate", assembly="Engine", fasteners=(screws(3, "#10-32 UNF"),)),
    part(14, "clutch plate", assembly="Engine", quantity=4),
)
INDEX = Index(tables(*PARTS, bins=BINS))


def first(words: str) -> int:
    """The serial of the part that comes first."""
    found = INDEX.find(words)
    return int(found[0].part.code.split("-")[1]) if found else 0


@pytest.mark.parametrize(
    ("words", "serial"),
    [
        ("4 screws bakcing plate", 3),
        ("where are the four backing-plate screws?", 3),
        ("screws plate backing 4", 3),
        ("backingplate screws", 3),
        ("back plate bolts", 3),
        ("4x M5", 3),
        ("m5x.8", 3),
        ("5mm screws", 3),
        ("brak shoe RH", 6),
        ("left lining", 5),
        ("LH shoe", 5),
        ("shoes right", 6),
        ("rear backing plate", 7),
        ("six M6 backing", 7),
        ("carb", 8),
        ("carburetor", 8),
        ("carburretor", 8),
        ("12345-67a", 8),
        ("12.345.67", 8),
        ("petrol cock", 9),
        ("fender", 1),
        ("split pin", 10),
        ("spindle", 10),
        ("weeps", 9),
        ("bremsschlussel", 11),
        ("BREMSSCHLUESSEL", 11),
        ("lancuch", 12),
        ("1/4-20", 13),
        ("1/4 unc", 13),
        ("1/4 whit", 15),
        ("1/4 B.S.W.", 15),
        ("10-32", 16),
        ("No. 10-32 screws", 16),
        ("6 o'clock dowel", 4),
        ("clucth", 14),
        ("front brake 3", 3),
    ],
)
def test_the_part_that_is_meant_comes_first(words: str, serial: int) -> None:
    """Words in any order, slips, trade pairs (common practice, no source), sizes, numbers."""
    assert first(words) == serial, [(f.part.name, f.score, f.why) for f in INDEX.find(words, 4)]


@pytest.mark.parametrize("typed", ["TP-007", "tp007", code(7), code(7).replace("-", ""), "TP-OO7"])
def test_a_code_goes_first(typed: str) -> None:
    """An exact code, or one without its check character, comes before any words."""
    assert first(typed) == 7


def test_a_code_with_one_slip_is_still_found() -> None:
    """One wrong character in the mark does not hide the part."""
    assert first("TB-0" + code(7)[4:]) == 7


def test_where_it_is_and_why() -> None:
    """A hit says the whole path of bins and where the words were met."""
    hit = INDEX.find("4 screws backing plate")[0]
    assert hit.kept_in == ("bag Front brake 3", "Box 2")
    assert "name: " in hit.why
    assert "count: 4" in hit.why


def test_while_typing_every_beginning_keeps_the_part_in_sight() -> None:
    """From the third letter on, the part is among the first five at every keystroke."""
    for words, wanted in (("carburettor", 8), ("backing plate screws", 3)):
        for end in range(3, len(words) + 1):
            shown = [hit.part.code for hit in INDEX.find(words[:end], 5)]
            assert code(wanted) in shown, words[:end]


@pytest.mark.parametrize("words", ["", "   ", "?!", "xyzzy", "of", "№"])
def test_nothing_meant_finds_nothing(words: str) -> None:
    """Empty or unknown words give an empty list."""
    assert INDEX.find(words) == []


def test_the_index_follows_the_book() -> None:
    """A changed, new, moved or removed part is found as it is now."""
    index = Index(tables(*PARTS, bins=BINS))
    renamed = replace(PARTS[8], name="petcock strainer")
    moved = (replace(BINS[0], name="Left over"), BINS[1])
    changed = tables(*PARTS[:8], renamed, *PARTS[10:], part(20, "horn"), bins=moved)
    assert index.refresh(changed) == 3
    assert index.refresh(changed) == 0
    assert index.find("strainer")[0].part == renamed
    assert index.find("horn")[0].part.code == code(20)
    assert index.find("axle") == []
    assert index.find("left over")[0].part == PARTS[2]


def test_one_machine_alone() -> None:
    """With a mark, only parts of that machine are found."""
    other = Part(code=code(1, "AB"), name="brake shoe")
    index = Index(tables(*PARTS, other))
    assert [hit.part for hit in index.find("shoe", mark="AB")] == [other]


def test_what_a_part_number_is_called_is_not_searched_for() -> None:
    """A plate for numbers does not stand before the very number that was typed."""
    book = tables(*PARTS, part(20, "number plate", assembly="Body"), bins=BINS)
    for typed in ("part number 12345-67A", "part no. 12 345-67a", "pn 1234567a", "no 12345-67A"):
        assert Index(book).find(typed)[0].part.name == "carburettor"
    assert Index(book).find("number plate")[0].part.name == "number plate"


def test_a_metric_thread_is_known_without_its_letter() -> None:
    book = tables(*PARTS, part(21, "spring", fasteners=(screws(1, "M12x1.25"),)), bins=BINS)
    for typed in ("12x1.25", "12 x 1,25", "M12x1.25"):
        assert Index(book).find(typed)[0].part.name == "spring"


@pytest.mark.parametrize(
    ("name", "asked"),
    [
        ("pilot jet", "idle jet"),
        ("layshaft", "countershaft"),
        ("gear lever", "gear stick"),
        ("chain tensioner", "chain adjuster"),
        ("fuel gauze", "fuel strainer"),
        ("horn push", "horn button"),
        ("track rod end", "ball joint"),
    ],
)
def test_one_trade_word_finds_the_other(name: str, asked: str) -> None:
    book = tables(*PARTS, part(22, name), part(23, "main jet"), part(24, "horn"), part(25, "chain"))
    assert Index(book).find(asked)[0].part.name == name


def test_what_is_kept_while_somebody_types_is_forgotten_with_every_change() -> None:
    """After each change of a part or a bin the answers are those of an index made anew."""
    changes = (
        ((*PARTS[:2], *PARTS[3:]), BINS),
        (PARTS, BINS),
        ((replace(PARTS[2], name="wing nut", fitted="fitted"), *PARTS[3:]), BINS),
        (PARTS, (replace(BINS[0], name="Tin"), BINS[1])),
        ((*PARTS, part(17, "brake lever", bin=BOX)), (BINS[0], replace(BINS[1], name="Crate"))),
        ((*PARTS, part(17, "brake lever", bin=BAG)), BINS),
    )
    asked = ("backing plate scr", "backing plate screws", "front brake 3", "brake tin", "crate lev")
    kept = Index(tables(*PARTS, bins=BINS))
    for parts, bins in changes:
        for words in asked:
            kept.find(words)
        now = tables(*parts, bins=bins)
        kept.refresh(now)
        anew = Index(now)
        for words in asked:
            found = [(one.part.code, one.kept_in, one.why) for one in kept.find(words)]
            assert found == [(one.part.code, one.kept_in, one.why) for one in anew.find(words)]
