"""Every row of every table says where it is from and how sure; what a formula gives is recomputed.

Sources: those named beside each check; tests/reference holds the published figures.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest

import tagbench.trade
from tagbench.trade.published import read_table
from tagbench.trade.threads import all_threads, parse_thread
from tests.every import every
from tests.trade.published import rows

_FOLDER = Path(tagbench.trade.__file__).parent / "tables"
_TABLES = sorted(path.stem for path in _FOLDER.glob("*.csv") if path.stem != "sources")
_SURE = {"certain", "sure", "fair", "unsure"}


def _value(text: str) -> float:
    return float(sum((Fraction(part) for part in text.replace(" ", "-").split("-")), Fraction(0)))


@pytest.mark.parametrize("name", _TABLES)
def test_every_row_says_where_it_is_from_and_how_sure(name: str) -> None:
    """A key in each row, and for each key the publication, custom or memory in words."""
    sources = {(row["table"], row["key"]): row for row in read_table("sources")}
    for row in read_table(name):
        key = row["source"]
        source = sources.get((name, key)) or sources["*", key]
        assert len(source["source"]) > 9, row
        assert source["sure"] in _SURE
        if key == "memory":
            assert "memory" in source["source"]
            assert source["sure"] in ("fair", "unsure")
        if key == "practice":
            assert "common practice" in source["source"]


def test_no_source_is_told_for_nothing() -> None:
    used = {(name, row["source"]) for name in _TABLES for row in read_table(name)}
    general = {key for _table, key in used}
    for row in read_table("sources"):
        if row["table"] == "*":
            assert row["key"] in general | {"definition"}
        else:
            assert (row["table"], row["key"]) in used


def test_every_table_is_read_by_the_product() -> None:
    """No figure lies beside the code that nothing uses."""
    code = "".join(
        path.read_text(encoding="utf-8")
        for path in Path(tagbench.trade.__file__).parent.rglob("*.py")
    )
    for name in _TABLES:
        assert f'"{name}"' in code, name


def _read(table: str) -> list[dict[str, str]]:
    return [row for row in read_table(table) if row["source"] == "read"]


def test_sizes_said_to_be_read_stand_in_the_published_lists() -> None:
    """ISO 261, ASME B1.1 and BS 84 as restated: tests/reference/threads_*.csv."""
    metric = {(float(row["d_mm"]), float(row["pitch_mm"])) for row in rows("threads_metric")}
    for row in _read("threads_metric"):
        assert (float(row["diameter_mm"]), float(row["pitch_mm"])) in metric
    unified = {(row["size"], row["tpi"], row["series"]) for row in rows("threads_unified")}
    for row in _read("threads_unified"):
        assert (row["size"], row["threads_per_inch"], row["series"]) in unified
    british = {
        (round(float(row["major_in"]), 3), float(row["tpi"])) for row in rows("threads_british")
    }
    for row in _read("threads_british"):
        size = round(_value(row["size"]), 3)
        assert (size, float(row["threads_per_inch"])) in british
    published = {row["class"].removeprefix("SAE ") for row in rows("property_classes")}
    for row in _read("strength"):
        assert row["class"].removeprefix("grade ") in published


def test_ba_threads_follow_their_rule() -> None:
    """BS 93: pitch 0.9^n to two decimals, diameter 6 p^1.2 to one decimal."""
    for row in read_table("threads_ba"):
        number = int(row["number"])
        pitch = 0.9**number
        assert float(row["pitch_mm"]) == pytest.approx(pitch, abs=0.0051)
        assert float(row["diameter_mm"]) == pytest.approx(6 * pitch**1.2, abs=0.051)


def test_pipe_threads_are_those_of_their_standards() -> None:
    """ISO 228-1 and ASME B1.20.1 in public copies: diameter and threads per inch by row."""
    published: dict[tuple[str, str], tuple[float, float]] = {}
    for row in rows("pipe_threads"):
        for name in row["designation"].split(" / "):
            kind, _, size = name.partition(" ")
            published[kind, size.replace(" ", "-")] = float(row["tpi"]), float(row["major_mm"])
    checked = 0
    for row in _read("threads_pipe"):
        key = ("NPT" if row["standard"] == "NPT" else "G", row["size"])
        tpi, major = published[key]
        assert float(row["threads_per_inch"]) == tpi
        assert float(row["major_mm"]) == pytest.approx(major, abs=0.002)
        checked += 1
    assert checked >= 15


def test_gauges_follow_their_rule() -> None:
    """Wood screws 0.060 + 0.013 n in (BS 1210, ANSI B18.6.1); Woodruff keys ANSI B17.2: the last
    two figures eighths of the circle, those before them thirty-seconds of the width."""
    for row in read_table("numbered_sizes"):
        first = float(row["first_in"])
        if row["kind"] == "wood screw" and row["number"].isdecimal():
            assert first == pytest.approx(0.060 + 0.013 * int(row["number"]), abs=0.0006)
        if (
            row["kind"] == "key"
            and row["standard"] == "ANSI B17.2"
            and row["number"].isdecimal()
            and len(row["number"]) > 2
        ):
            width, circle = int(row["number"][:-2]) / 32, int(row["number"][-2:]) / 8
            assert first == pytest.approx(width, abs=1e-4)
            assert float(row["second_in"]) == pytest.approx(circle, abs=1e-4)


def test_taper_pins_are_those_of_asme_b18_8_2() -> None:
    """The large end of each number, tests/reference/pins_keys.csv."""
    ends = {
        row["designation"].removeprefix("No. "): float(row["nominal_in"])
        for row in rows("pins_keys")
        if row["family"] == "taper pin" and row["designation"].startswith("No. ")
    }
    mine = {row["number"]: float(row["first_in"]) for row in read_table("numbered_sizes")
            if row["kind"] == "taper pin"}  # fmt: skip
    assert len(ends.keys() & mine.keys()) >= 10
    for number in ends.keys() & mine.keys():
        assert mine[number] == pytest.approx(ends[number], abs=6e-4)


def _bore(number: str) -> float:
    """ISO 15 bore codes: 00 to 03 are 10, 12, 15 and 17 mm, from 04 on five times the code."""
    code = int(number[-2:])
    return {0: 10.0, 1: 12.0, 2: 15.0, 3: 17.0}.get(code, 5.0 * code)


def test_bearings_follow_the_dimension_plan() -> None:
    """ISO 15 bore codes; ISO 355: 302 and 303 are as wide outside as 62 and 63; HK by figures."""
    outside = {row["number"]: float(row["outside_mm"]) for row in read_table("bearings")}
    for row in read_table("bearings"):
        number = row["number"].rstrip("X")
        bore, across = float(row["bore_mm"]), float(row["outside_mm"])
        assert bore < across
        if number.startswith("HK"):
            assert (bore, float(row["width_mm"])) == (float(number[2:4]), float(number[4:]))
        elif (number.isdecimal() and len(number) == 5) or (len(number) == 4 and number[0] == "6"):
            assert bore == _bore(number)
        for taper, ball in (("302", "62"), ("303", "63")):
            if number.startswith(taper) and f"{ball}{number[-2:]}" in outside:
                assert across == outside[f"{ball}{number[-2:]}"]


_NUMBERS = [row for row in rows("bearings") if row["bore_mm"]]


@every(_NUMBERS)
def test_bearings_are_the_published_ones(row: dict[str, str]) -> None:
    """tests/reference/bearings.csv: bore, outside, width of each number that it lists."""
    mine = {each["number"]: each for each in read_table("bearings")}
    found = mine[row["designation"]]
    sizes = [float(found[name]) for name in ("bore_mm", "outside_mm", "width_mm")]
    assert sizes == [float(row[name]) for name in ("bore_mm", "outside_mm", "width_mm")]


def test_cotter_pins_grow_with_the_bolt_and_are_those_of_castle_nuts() -> None:
    """ISO 1234 over DIN 935-1: the pin of each castle nut is the pin of its bolt."""
    pins = [
        (float(row["above_mm"]), float(row["up_to_mm"]), float(row["pin_mm"]))
        for row in read_table("cotter_pins")
    ]
    assert pins == sorted(pins)
    for (_low, end, _pin), (begin, _high, _next) in pairwise(pins):
        assert end == begin
    for nut in read_table("castle_nuts"):
        size = float(nut["diameter_mm"])
        (pin,) = (pin for above, up_to, pin in pins if above < size <= up_to)
        assert pin == float(nut["pin_mm"])
        assert float(nut["slot_min_mm"]) > pin
        assert float(nut["floor_mm"]) < float(nut["height_mm"])
        assert nut["slots"] == ("10" if size > 39 else "6")


def test_chains_of_the_american_series_count_eighths_of_an_inch() -> None:
    """ASME B29.1: the figures before the last are eighths of an inch of pitch; ISO 606 08A to 16B
    sixteenths; motorcycle chains likewise by their first figure."""
    for row in read_table("chains"):
        pitch, name = float(row["pitch_mm"]), row["name"]
        if row["system"] == "ASME B29.1":
            assert pitch == pytest.approx(int(name[:-1]) * 25.4 / 8, abs=0.01)
        elif row["system"] == "motorcycle" and name != "219":
            assert pitch == pytest.approx(int(name[0]) * 25.4 / 8, abs=0.01)
        elif row["system"] == "ISO 606 B" and name.endswith("B") and int(name[:2]) >= 6:
            assert pitch == pytest.approx(int(name[:2]) * 25.4 / 16, abs=0.01)


def _unified_in(size: str) -> float:
    """Diameter in inches of a unified size such as #8 or 1/4."""
    names = [t.designation for t in all_threads() if t.designation.startswith(f"{size}-")]
    return parse_thread(names[0]).diameter_mm / 25.4


def test_clearance_holes_leave_more_room_by_series() -> None:
    """ISO 273, ASME B18.2.8: no formula, but fine under medium under coarse, all over the bolt."""
    for row in read_table("clearance_holes"):
        sizes = [float(row[name]) for name in ("diameter_mm", "fine_mm", "medium_mm", "coarse_mm")]
        assert sizes == sorted(set(sizes))
    for row in read_table("clearance_holes_inch"):
        sizes = [_value(row[name]) for name in ("close_in", "normal_in", "loose_in")]
        bolt = _unified_in(row["size"])
        assert [bolt, *sizes] == sorted({bolt, *sizes})


def test_whitworth_spanners_fit_the_heads_of_both_stamps() -> None:
    """BS 190 and BS 1083: the BSF head of a size is the Whitworth head one step under."""
    order = [row["whitworth"].removesuffix(" W") for row in read_table("whitworth_spanners")]
    for at, row in enumerate(read_table("whitworth_spanners")[:-1]):
        assert float(row["across_in"]) < float(
            read_table("whitworth_spanners")[at + 1]["across_in"]
        )
        assert row["bs"].removesuffix(" BS") == order[at + 1]
    old = {
        row["thread"].split()[0]: float(row["size_in"])
        for row in rows("heads")
        if row["standard"].startswith("BS 190") and row["size_in"]
    }
    for row in read_table("whitworth_spanners"):
        size = row["whitworth"].removesuffix(" W")
        if size in old:
            # one list gives 11/32 in for 1/8 W, which others print as 0.338
            near = 0.0065 if size == "1/8" else 0.0011
            assert float(row["across_in"]) == pytest.approx(old[size], abs=near)


def test_usual_fine_threads_exist_and_are_of_their_size() -> None:
    for row in read_table("usual_fine_threads"):
        assert parse_thread(row["thread"]).designation == row["thread"]
        assert f"M{parse_thread(row['thread']).diameter_mm:g}" == row["size"]


def test_shear_strengths_are_six_tenths_of_the_least_tensile_strength() -> None:
    """From memory: aluminium castings and grey iron 150 MPa, brass 280 MPa, mild steel 400 MPa."""
    least = {"steel": 400, "aluminium": 150, "cast iron": 150, "brass": 280}
    for row in read_table("mating_metals"):
        if row["metal"] in least:
            assert float(row["shear_mpa"]) == pytest.approx(0.6 * least[row["metal"]], abs=1)
            assert 0 < float(row["share"]) <= 1
        assert row["refused"] or row["share"]


def test_printed_tolerances_are_the_published_ones() -> None:
    """ISO 965-1 in two public copies, tests/reference/thread_tolerances.csv, and they do leave the
    formula, which is why they stand in a table."""
    by_range = [row for row in rows("thread_tolerances") if row["kind"] == "by_range"]
    names = {"screw pitch": "Td2_6g_um", "hole pitch": "TD2_6H_um"}
    checked = 0
    for row in read_table("printed_tolerances"):
        if row["kind"] not in names:
            continue
        for other in by_range:
            same_range = float(other["diameter_to_mm"]) == float(row["up_to_mm"])
            if same_range and float(other["pitch_mm"]) == float(row["pitch_mm"]):
                assert float(other[names[row["kind"]]]) == float(row["printed_um"])
                checked += 1
    assert checked >= 5


def test_nut_factors_are_the_safe_end_of_the_handbooks() -> None:
    """Shigley 9th ed. Table 8-15 and IFI 5th ed. as restated in tests/reference/nut_factors.csv: no
    factor is above the one that a handbook prints for the condition."""
    for row in read_table("nut_factors"):
        low, high, factor = (float(row[name]) for name in ("mu_low", "mu_high", "K"))
        assert 0.05 < low < high < 0.35
        assert 1.1 * low < factor < 0.21
    printed = [float(row["K"]) for row in rows("nut_factors") if row.get("K")]
    assert printed
    assert min(printed) <= min(float(row["K"]) for row in read_table("nut_factors"))
