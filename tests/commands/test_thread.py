"""`thread` as a person types it."""

from __future__ import annotations

import pytest

from tests.commands.conftest import Tagbench
from tests.trade.published import rows

_METRIC = [row for row in rows("threads_metric") if row["series"] == "coarse"]


def test_the_card_of_a_thread_has_the_promised_keys(tagbench: Tagbench) -> None:
    """M8: stress area 36.6 mm² (ISO 898-1), 7.760 to 7.972 mm (ISO 965-1 6g), 13 mm (ISO 4014)."""
    card = tagbench("thread", "M8", "--json").json
    assert card["designation"] == "M8x1.25"
    assert (card["diameter_mm"], card["pitch_mm"], card["spanner_mm"]) == (8.0, 1.25, 13.0)
    assert card["stress_area_mm2"] == pytest.approx(36.6, abs=0.05)
    assert (card["major_min_mm"], card["major_max_mm"]) == (7.76, 7.972)
    assert "5/16-18 UNC" in card["lookalikes"]


@pytest.mark.parametrize(
    ("words", "designation"),
    [
        (["1/4-20"], "1/4-20 UNC"),
        (["2BA"], "2BA"),
        (["2", "BA"], "2BA"),
        (["1/4", "BSW"], "1/4 BSW"),
        (["#10-32"], "#10-32 UNF"),
        (["M12×1,25"], "M12x1.25"),
        (["5/16", "x", "26", "CEI"], "5/16-26 BSC"),
    ],
)
def test_a_thread_in_any_usual_spelling(
    tagbench: Tagbench, words: list[str], designation: str
) -> None:
    """Several words need no quotes."""
    assert tagbench("thread", *words, "--json").json["designation"] == designation


@pytest.mark.parametrize("row", rows("threads_unified")[::7], ids=lambda row: row["designation"])
def test_unified_areas_and_limits(tagbench: Tagbench, row: dict[str, str]) -> None:
    """ASME B1.1: stress area and 2A outside diameter of the published table."""
    card = tagbench("thread", row["designation"], "--json").json
    if row["As_published_in2"]:
        area = card["stress_area_mm2"] / 25.4**2
        assert area == pytest.approx(float(row["As_published_in2"]), rel=0.005)
    assert card["major_max_mm"] / 25.4 == pytest.approx(float(row["major_max_2A_in"]), abs=1e-4)
    assert card["major_min_mm"] / 25.4 == pytest.approx(float(row["major_min_2A_in"]), abs=1e-4)


def test_a_person_reads_limits_spanner_and_look_alikes(tagbench: Tagbench) -> None:
    """An inch thread in both units; what a figure is worth is said."""
    said = tagbench("thread", "1/4-20").out
    for words in ("0.2408 to 0.2489 in", "class 2A", "7/16 in", "20 threads per inch", "1/4 BSW"):
        assert words in said
    assert "start in each other's holes" in said


def test_the_year_of_the_machine_puts_its_hexagon_first(tagbench: Tagbench) -> None:
    """M10 had 17 mm by DIN 931 and has 16 mm by ISO 4014."""
    assert tagbench("thread", "M10", "--json").json["spanner_mm"] == 16
    assert tagbench("thread", "M10", "--year", "1967", "--json").json["spanner_mm"] == 17


@pytest.mark.parametrize(
    ("words", "designation"),
    [
        (("--across", "4.95mm", "--pitch", "0.8"), "M5x0.8"),
        (("--across", "6.3mm", "--tpi", "20"), "1/4-20 UNC"),
        (("--across", "0.248in", "--pitch", "1.27"), "1/4-20 UNC"),
        (("--across", "4.95", "--pitch", "10 threads in 8 mm"), "M5x0.8"),
        (("--across", "4.94", "--across", "4.96 mm", "--pitch", "0.8mm"), "M5x0.8"),
        (("--across", "6.3", "--pitch", "20 tpi", "--angle", "55"), "1/4 BSW"),
        (("--across", "6.75", "--pitch", "1.25", "--internal"), "M8x1.25"),
        (("--across", "7.85mm", "--tpi", "18", "--uncertainty", "0.05"), "5/16-18 UNC"),
    ],
)
def test_a_measured_thread_is_named(
    tagbench: Tagbench, words: tuple[str, ...], designation: str
) -> None:
    """A list, best first."""
    found = tagbench("thread", *words, "--json").json
    assert (found[0]["designation"], found[0]["inside_limits"]) == (designation, True)
    assert found[0]["off_by_mm"] == 0
    assert designation in tagbench("thread", *words).out


@pytest.mark.parametrize("row", _METRIC[::2], ids=lambda row: row["designation"])
def test_screws_inside_the_published_limits(tagbench: Tagbench, row: dict[str, str]) -> None:
    """ISO 965-1 6g, coarse, as published: both ends are inside the limits."""
    for column in ("major_min_6g_mm", "major_max_6g_mm"):
        words = ("--across", f"{row[column]}mm", "--pitch", row["pitch_mm"], "--json")
        found = {one["designation"]: one for one in tagbench("thread", *words).json}
        assert found[row["designation"]]["inside_limits"]


def test_what_fits_nothing_is_said_so_and_is_no_error(tagbench: Tagbench) -> None:
    """The nearest are named, none inside its limits."""
    found = tagbench("thread", "--across", "7mm", "--pitch", "2", "--json")
    assert found.code == 0
    assert not any(one["inside_limits"] for one in found.json)
    assert "no thread fits" in tagbench("thread", "--across", "7mm", "--pitch", "2").out


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ((), "Name a thread"),
        (("banana",), "not a thread known"),
        (("-5",), "not a thread known"),
        (("1/4-0",), "not a thread that can be cut"),
        (("M8", "--across", "8mm"), "not both"),
        (("M8", "--pitch", "1"), "go with --across"),
        (("M8x1.25", "x", "20", "nut"), "not part of a thread"),
        (("--across", "-5mm"), "negative"),
        (("--across", "five"), "not understood"),
        (("--across", "5 N·m"), "not a unit of length"),
        (("--across", "0"), "more than zero"),
        (("--across", "1/4"), "1/4 in"),
        (("--across", "5mm", "--tpi", "0"), "not a number of threads"),
        (("--across", "5mm", "--tpi", "-20"), "not a number of threads"),
        (("--across", "5mm", "--tpi", "20", "--pitch", "1"), "not both"),
        (("--across", "5mm", "--pitch", "steep"), "not a pitch"),
        (("--across", "5mm", "--pitch", "4"), "cannot be on a diameter"),
        (("--across", "5mm", "--angle", "30"), "No thread here"),
        (("--across", "5mm", "--uncertainty", "-1"), "negative"),
        (("--acros", "5mm"), "There is no option --acros here. Did you mean --across"),
    ],
)
def test_bad_input_is_one_sentence_and_exit_2(
    tagbench: Tagbench, words: tuple[str, ...], says: str
) -> None:
    """On stderr, nothing on stdout."""
    told = tagbench("thread", *words)
    assert (told.code, told.out) == (2, "")
    assert says in told.err
    assert len(told.err.strip().splitlines()) == 1
