"""`wear`, `chain` and `gasket` as a person types them."""

from __future__ import annotations

from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.book.operations.strip import edit
from tagbench.records import Gasket, GasketHole
from tests.commands.conftest import Tagbench
from tests.trade.published import examples, rows

_PRACTICE = {row["item"]: row for row in rows("trade_practice")}


@pytest.mark.parametrize(
    ("words", "verdict", "left"),
    [
        (("2.1", "2.3", "mm", "--min", "2"), "good", 0.1),
        (("2.01 mm", "--min", "2mm"), "marginal", 0.01),
        (("1.9", "--min", "2"), "worn", -0.1),
        (("110.4", "--max", "111 mm"), "good", 0.6),
        (("12.5", "--min", "12", "--max", "13", "--uncertainty", "0.6"), "marginal", 0.5),
        (("0.1 in", "--min", "2 mm"), "good", 0.1 - 2 / 25.4),
        (("2.3", "2.1", "2.4", "--min", "2"), "good", 0.1),
    ],
)
def test_readings_against_a_limit(
    tagbench: Tagbench, words: tuple[str, ...], verdict: str, left: float
) -> None:
    """The one nearest to the limit decides."""
    found = tagbench("wear", *words, "--json").json
    assert (found["verdict"], found["left"]) == (verdict, pytest.approx(left))
    assert tagbench("wear", *words).out.strip() == found["sentence"]


def test_drums_and_linings_have_a_usual_limit_that_is_said_to_be_one(tagbench: Tagbench) -> None:
    """Service sheets: 168.0 to 169.0 mm; 2 mm of lining is common practice, no source."""
    drum = tagbench("wear", "168.9", "--drum", "168 mm", "--json").json
    assert (drum["limit"], drum["limit_unit"], drum["typical"]) == (169, "mm", True)
    lining = tagbench("wear", "2.4", "2.1", "--lining", "small drum", "--json").json
    assert lining["limit"] == float(_PRACTICE["brake_lining_small_machine"]["low"])
    assert (lining["verdict"], lining["left"]) == ("good", pytest.approx(0.1))
    said = tagbench("wear", "2.1", "--lining", "bonded", "--min", "1.5").out
    assert "Limit 1.5 mm" in said
    assert "asbestos" in said
    assert "maker's manual" in said


def test_a_bore_is_measured_at_levels(tagbench: Tagbench) -> None:
    """Out-of-round and taper, and the verdict where a limit is given."""
    words = ("--level", "top 52.03 52.05 mm", "--level", "bottom 52.01 52.02 mm", "--json")
    found = tagbench("wear", *words).json
    assert (found["out_of_round"], found["taper"]) == (0.02, 0.03)
    assert "wear" not in found
    assert tagbench("wear", *words, "--max", "52.04").json["wear"]["verdict"] == "marginal"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ((), "Type what was measured"),
        (("2",), "limit is needed"),
        (("-2", "--min", "1"), "negative"),
        (("thin", "--min", "1"), "not understood"),
        (("2", "--min", "3", "--max", "1"), "larger than the largest"),
        (("2", "--min", "1", "--uncertainty", "-1"), "negative"),
        (("2 N·m", "--min", "1"), "not a unit of length"),
        (("2", "--drum", "110", "--lining", "bonded"), "Choose one"),
        (("2", "--lining", "paper"), "paper"),
        (("2", "--lining", "bonded", "--max", "3"), "--min"),
        (("110", "--drum", "110", "--min", "3"), "--max"),
        (("110", "--drum", "110", "--max", "100"), "under the original"),
        (("2", "--level", "top 2"), "With --level"),
        (("--level", "52.03"), "not a level"),
        (("--level", "top 1 2", "--level", "low 1"), "same number"),
    ],
)
def test_bad_readings_are_one_sentence_and_exit_2(
    tagbench: Tagbench, words: tuple[str, ...], says: str
) -> None:
    told = tagbench("wear", *words)
    assert (told.code, told.out) == (2, "")
    assert says in told.err
    assert len(told.err.strip().splitlines()) == 1


def test_a_worn_out_chain(tagbench: Tagbench) -> None:
    """Worked example CH-01: 24 pitches of 1 in at 24.75 in are past 3 percent."""
    example = examples("chain")["CH-01"]
    words = ("24.75", "in", "--links", "24", "--pitch", "1in")
    found = tagbench("chain", *words, "--json").json
    assert found["elongation_percent"] == pytest.approx(example["expected"])
    assert (found["verdict"], found["limit_percent"]) == ("worn", 2)
    said = tagbench("chain", *words).out
    assert "look at both sprockets" in said
    assert "24 links measure 24.48 in" in said


@pytest.mark.parametrize(
    ("more", "limit"),
    [
        ((), 2),
        (("--other-drive",), 3),
        (("--fixed-centres",), 1.5),
        (("--teeth", "100"), 2),
        (("--teeth", "40", "--other-drive"), 3),
        (("--teeth", "125"), 1.6),
        (("--limit", "2.5 %"), 2.5),
        (("--limit", "1"), 1),
    ],
)
def test_limits_of_chains(tagbench: Tagbench, more: tuple[str, ...], limit: float) -> None:
    """Two chain makers' answers referring to ANSI B29.1; the maker's own figure goes before."""
    words = ("614", "--links", "48", "--pitch", "1/2 in", *more, "--json")
    assert tagbench("chain", *words).json["limit_percent"] == limit


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--links", "24", "--pitch", "1in"), "Give the measured length"),
        (("24 in", "--pitch", "1in"), "--links"),
        (("600", "--links", "24", "--pitch", "12.7"), "count the links again"),
        (("600", "--links", "-4", "--pitch", "12.7"), "above zero"),
        (("600", "--links", "few", "--pitch", "12.7"), "few"),
        (("-600", "--links", "48", "--pitch", "12.7"), "negative"),
        (("614", "--links", "48", "--pitch", "12.7", "--limit", "much"), "is not a number"),
        (("614", "--links", "48", "--pitch", "12.7", "--limit", "90 %"), "not a wear limit"),
        (("614", "--links", "48", "--pitch", "12.7", "--teeth", "2"), "at least 5 teeth"),
    ],
)
def test_bad_chains_are_one_sentence_and_exit_2(
    tagbench: Tagbench, words: tuple[str, ...], says: str
) -> None:
    told = tagbench("chain", *words)
    assert (told.code, told.out) == (2, "")
    assert says in told.err
    assert len(told.err.strip().splitlines()) == 1


def test_a_gasket_takes_punches_and_a_sheet(tagbench: Tagbench) -> None:
    """Clearance holes by ISO 273 medium, from memory: M6 6.6 mm; punch steps common practice."""
    words = ("gasket", "--size", "80x60", "--holes", "4x M6; 22 mm", "--material", "cork")
    plan = tagbench(*words, "--json").json
    assert (plan["sheet_width_mm"], plan["sheet_height_mm"]) == (100, 80)
    assert [cut["punches"]["hole_mm"] for cut in plan["cuts"]] == [6.6, 22]
    said = tagbench(*words, "--copies", "2").out
    for words_said in ("8 holes 6.6 mm", "punch 7 mm", "6.5 mm", "190 x 80 mm", "held asbestos"):
        assert words_said in said


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ((), "Give the outline"),
        (("--size", "wide"), "not understood"),
        (("--size", "80x-60"), "negative"),
        (("--size", "80x60", "--holes", "banana"), "not a hole"),
        (("--size", "80x60", "--holes", "70 mm"), "does not fit"),
        (("--size", "80x60", "--copies", "0"), "1 to 100"),
        (("--size", "80x60", "--thickness", "0"), "more than zero"),
        (("--size", "80x60", "--material", " "), "Say what it is cut from"),
        (("--size", "80x60", "--material", "asbestos"), "asbestos-free"),
        (("TP-001-N",), "TP-001-N"),
        (("TP-001-N", "--size", "80x60"), "not both"),
    ],
)
def test_bad_gaskets_are_one_sentence_and_exit_2(
    tagbench: Tagbench, words: tuple[str, ...], says: str
) -> None:
    tagbench("machine", "add", "Packman", "--mark", "TP")
    told = tagbench("gasket", *words)
    assert (told.code, told.out) == (2, "")
    assert says in told.err
    assert len(told.err.strip().splitlines()) == 1


def test_a_gasket_that_is_written_down_is_read_from_its_part(
    tagbench: Tagbench, folder: Path
) -> None:
    """By its code; a part that is not to be made is refused."""
    code = tagbench("strip", "inlet gasket", "--from", "Engine", "--json").json["code"]
    assert "not written down as a gasket" in tagbench("gasket", code).err
    made = Gasket(
        material="paper",
        thickness_mm=0.5,
        width_mm=50,
        height_mm=40,
        holes=(GasketHole(quantity=2, thread="M6x1"),),
    )
    with Book(folder) as book:
        edit(book, code, make=made)
    assert tagbench("gasket", code, "--json").json["cuts"][0]["quantity"] == 2


def test_usual_figures_and_what_is_worked_out(tagbench: Tagbench) -> None:
    """Looked up by name, or worked out from what was measured; the maker's goes before."""
    gap = tagbench("usual", "ring", "gap", "--bore", "50mm").out
    assert "0.15 to 0.25 mm" in gap
    assert "maker's figure" in gap
    assert tagbench("usual", "ring", "gap").code == 2
    words = ("--stroke", "50mm", "--rod", "100mm")
    found = tagbench("usual", "timing", *words, "--before", "24deg", "--json").json
    assert found["millimetres"] == pytest.approx(2.68, abs=0.001)
    back = tagbench("usual", "timing", *words, "--before", "2.68mm", "--json").json
    assert back["degrees"] == pytest.approx(24, abs=0.01)
    assert "Week 25 of 2001" in tagbench("usual", "tyre", "2501").out
    assert "not trusted" in tagbench("usual", "tyre", "317").out
    sea = tagbench("usual", "compression", "--height", "1000", "--reading", "8").out
    assert "89 %" in sea
    room = tagbench("usual", "piston", "clearance", "--bore", "50.06mm", "--piston", "50mm").out
    assert "1.2 thousandths" in room
    assert (
        "4.5 % shorter"
        in tagbench("usual", "spring", "length", "--new", "40mm", "--now", "38.2mm").out
    )


def test_belts_and_floats_are_worked_out(tagbench: Tagbench) -> None:
    """From the width, from the pulleys, from the maker's range."""
    worn = tagbench("usual", "belt", "--new", "17mm", "--now", "15.9mm", "--json").json[0]
    assert worn["verdict"] == "worn"
    run = ("usual", "belt", "--pulleys", "100x100mm", "--centres", "300mm")
    assert "Length 914 mm" in tagbench(*run).out
    height = ("usual", "float", "height", "--reading", "24mm", "--range", "20-22mm")
    assert "the fuel stands low" in tagbench(*height, "--arms", "35x8mm").out
    assert "0.69 mm" in tagbench(*height, "--arms", "35x8mm").out
    assert tagbench("usual", "float", "height", "--reading", "24mm").code == 2
    assert tagbench("usual", "belt", "--pulleys", "100mm").code == 2
    assert "none but the maker's" in tagbench("usual", "float", "height").out


def test_a_chain_by_name(tagbench: Tagbench) -> None:
    """A vehicle's final drive ends at 2 %, other drives at 3 %."""
    words = ("chain", "259 mm", "--links", "20", "--name", "428")
    assert tagbench(*words, "--json").json["limit_percent"] == 2
    assert tagbench(*words, "--other-drive", "--json").json["limit_percent"] == 3
    assert tagbench("chain", "259 mm", "--links", "20", "--name", "777").code == 2
