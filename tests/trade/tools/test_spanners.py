"""Widths across flats, keys and drivers, and what to lay out on the bench.

43–58 lbf·ft is common practice, no source.
"""

from __future__ import annotations

import pytest

from tagbench.errors import BadInput
from tagbench.trade.fasteners.text import parse_fasteners
from tagbench.trade.threads import parse_thread
from tagbench.trade.threads.card import thread_card
from tagbench.trade.tools.bench import bench_list, tools_for
from tagbench.trade.tools.drivers import cross_driver, hex_key, slot_blade
from tagbench.trade.tools.spanners import SpannerPart, spanner_sizes
from tests.every import every
from tests.fasteners import parse_fastener
from tests.trade.published import rows

_LISTED = [row for row in rows("threads_metric") if row["hex_af_iso_mm"]]


@pytest.mark.parametrize("row", _LISTED, ids=lambda row: row["designation"])
def test_metric_hexagons_are_the_listed_ones(row: dict[str, str]) -> None:
    """ISO 4014/4017/4032 and the older DIN 931/933/934 sizes, two public dimension tables."""
    found = [size.across_mm for size in spanner_sizes(row["designation"])]
    assert found[0] == float(row["hex_af_iso_mm"])
    assert float(row["hex_af_old_din_mm"]) in found
    before = [size.across_mm for size in spanner_sizes(row["designation"], year=1967)]
    assert before[0] == float(row["hex_af_old_din_mm"])


@pytest.mark.parametrize(
    ("thread", "part", "inches"),
    [
        ("1/4-20", "bolt", 7 / 16),
        ("5/16-24", "bolt", 1 / 2),
        ("3/8-16", "bolt", 9 / 16),
        ("7/16-14", "bolt", 5 / 8),
        ("7/16-14", "nut", 11 / 16),
        ("1/2-13", "nut", 3 / 4),
        ("#10-32", "nut", 3 / 8),
        ("1/4 BSF", "bolt", 0.445),
        ("3/8 BSF", "nut", 0.600),
        ("0BA", "bolt", 0.413),
        ("2BA", "nut", 0.324),
    ],
)
def test_inch_hexagons(thread: str, part: SpannerPart, inches: float) -> None:
    """ASME B18.2.1 and B18.2.2, BS 1083, BS 57 from memory; 1/4 BSF read in a public list."""
    found = spanner_sizes(thread, part)[0]
    assert found.across_mm == pytest.approx(inches * 25.4)
    assert found.from_memory == (thread != "1/4 BSF")


def test_a_whitworth_hexagon_shrank_by_one_size() -> None:
    """BS 190 and BS 1083, from memory: the BSW head became that of the BSF bolt one size up."""
    sizes = spanner_sizes("1/4 BSW")
    assert [size.spanner for size in sizes] == ["3/16 W (1/4 BS)", "1/4 W (5/16 BS)"]
    assert spanner_sizes("1/4 BSW", year=1938)[0].spanner == "1/4 W (5/16 BS)"
    for small, large in [("1/4", "5/16"), ("5/16", "3/8"), ("3/8", "7/16"), ("1/2", "9/16")]:
        older = spanner_sizes(f"{small} BSW", year=1938)[0].across_mm
        assert older == spanner_sizes(f"{large} BSF")[0].across_mm


def test_a_thread_without_a_table_has_no_spanner() -> None:
    assert spanner_sizes("M99x2") == []
    assert spanner_sizes("12BA")[0].spanner == "12BA"
    assert spanner_sizes("16BA") == []
    with pytest.raises(BadInput):
        spanner_sizes("banana")


@pytest.mark.parametrize(
    ("thread", "head", "key"),
    [
        ("M6", "socket", "5 mm"),
        ("M8", "socket", "6 mm"),
        ("M6", "grub", "3 mm"),
        ("M6", "countersunk", "4 mm"),
        ("M6", "button", "4 mm"),
        ("1/4-20", "socket", "3/16 in"),
        ("#10-32", "grub", "3/32 in"),
        ("2BA", "socket", ""),
    ],
)
def test_hexagon_keys(thread: str, head: str, key: str) -> None:
    """ISO 4762, 4026, 10642, 7380-1 and ASME B18.3, from memory."""
    assert hex_key(parse_thread(thread), head) == key


def test_blades_and_cross_recesses() -> None:
    """ISO 1207 and 7045, from memory."""
    assert slot_blade(parse_thread("M5"), "pan") == "1.2 mm"
    assert slot_blade(parse_thread("M5"), "grub") == "0.8 mm"
    assert cross_driver(parse_thread("M5")) == "no. 2"
    assert cross_driver(parse_thread("1/4-20")) == "no. 3"


def test_the_bench_list_names_each_tool_once() -> None:
    fasteners = parse_fasteners(
        "4x M5x12 pan; 2x M5x20 cheese; 2x M8x40 hex bolt + nut; M6x20 socket;"
        " castle nut M12x1.25 + cotter pin 3.2x22, 43-58 lbf·ft; circlip 20; M6 wing nut"
    )
    tools = bench_list(fasteners, year=1967)
    assert [(tool.tool, tool.size, tool.pieces) for tool in tools] == [
        ("spanner", "13 mm", 2),
        ("spanner", "19 mm", 1),
        ("hex key", "5 mm", 1),
        ("screwdriver", "slot 1.2 mm", 1),
        ("pliers", "", 1),
        ("circlip pliers", "", 1),
        ("torque wrench", "for 43-58 lbf·ft", 1),
    ]
    assert tools[3].used_on == ("M5x0.8 pan", "M5x0.8 cheese")
    assert tools[3].others == ("cross no. 2",)
    assert tools[1].others[0] == "18 mm on ISO 4014, 4017, 4032"


def test_a_bolt_whose_nut_is_larger_takes_two_spanners() -> None:
    tools = bench_list(parse_fasteners("7/16-14 x 2 hex bolt + nut"))
    assert [tool.size for tool in tools] == ["5/8 in", "11/16 in"]


@pytest.mark.parametrize("text", ["4x pan", "note: odd clip", "lock washer M8", "M6 wing nut"])
def test_what_needs_no_tool_asks_for_none(text: str) -> None:
    assert tools_for(parse_fastener(text)) == []


def test_the_card_of_a_thread() -> None:
    card = thread_card("m5")
    assert card.designation == "M5x0.8"
    assert (card.diameter_mm, card.pitch_mm, card.spanner_mm) == (5.0, 0.8, 8.0)
    assert card.stress_area_mm2 == pytest.approx(14.18, abs=0.005)
    assert (card.major_max_mm, card.major_min_mm) == (4.976, 4.826)
    assert card.lookalikes[0] == "#10-32 UNF"
    assert thread_card("M10", year=1967).spanner_mm == 17.0
    assert thread_card("M99x2").spanner_mm is None


_HEADS = {
    "hex bolt head across flats": "bolt",
    "hex bolt head across flats (ordinary)": "bolt",
    "hex bolt head across flats (small)": "bolt",
    "hex bolt and nut across flats": "bolt",
    "flange bolt small series across flats": "flange",
    "flange bolt heavy series across flats": "flange",
    "flange bolt across flats": "flange",
    "flange bolt across flats as met on small machines": "flange",
    "flange nut across flats": "flange nut",
    "square bolt head across flats": "square",
    "square nut across flats": "square nut",
    "thin square nut across flats": "square nut",
    "square head set screw across flats": "set screw",
    "hex nut across flats": "nut",
}
_ACROSS = [row for row in rows("heads") if row["feature"] in _HEADS and row["size_mm"]]


@every(_ACROSS)
def test_heads_of_every_standard_are_among_the_sizes(row: dict[str, str]) -> None:
    """ISO, DIN, JIS old and new, EN, ASME: printed tables, see SOURCES_threads_heads.md."""
    part: SpannerPart = _HEADS[row["feature"]]  # type: ignore[assignment]
    thread = row["thread"]
    text = thread if thread.startswith("M") else _unified(thread)
    found = [size.across_mm for size in spanner_sizes(text, part)]
    assert any(size == pytest.approx(float(row["size_mm"]), abs=0.02) for size in found)


def _unified(size: str) -> str:
    return f"{size}-32" if size == "#10" else f"{size} UNC"


def test_the_bench_takes_the_spanner_of_the_head() -> None:
    """A flange head is one size smaller; a square nut wider; a rivet nut takes none."""
    assert tools_for(parse_fastener("M6x16 flange"))[0].size in ("8 mm", "10 mm")
    square = tools_for(parse_fastener("1/2-13 x 2 square bolt"))
    assert square[0].size == "3/4 in"
    assert spanner_sizes("M10", "flange nut")[0].spanner == "15 mm"
