"""The traps of look-alikes, wrong figures met in print, and rings and seals, against this program.

Sources: tests/reference/lookalike_traps.csv, data_traps_2.csv, rings_seals.csv, trade_words.csv,
their documents in SOURCES_threads_heads.md and SOURCES_engines_words.md.
"""

from __future__ import annotations

import pytest

from tagbench.trade.fasteners.own_sizes import bearing_size
from tagbench.trade.fasteners.reading import read_fasteners
from tagbench.trade.fasteners.vocabulary import fold_words, look_up
from tagbench.trade.threads import limits_of, parse_thread
from tagbench.trade.threads.lookalikes import lookalikes
from tagbench.trade.wear.chain import chain_named
from tests.every import every
from tests.trade.published import rows


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("G 1/2", "1/2 NPT"),
        ("G 3/4", "3/4 NPT"),
        ("G 1/8", "1/8 NPT"),
        ("G 1/8", "M10x1"),
        ("M8", "5/16-18 UNC"),
        ("M5x0.8", "#10-32 UNF"),
        ("M3.5x0.6", "#6-32 UNC"),
        ("2BA", "#10-32 UNF"),
        ("2BA", "M5x0.8"),
        ("0BA", "M6x1"),
        ("4BA", "M3.5x0.6"),
        ("M5x0.9", "M5x0.8"),
        ("1/2-13 UNC", "1/2 BSW"),
        ("1/4-20 UNC", "1/4 BSW"),
        ("7/16-14 UNC", "7/16 BSW"),
    ],
)
def test_the_known_traps_are_named(one: str, other: str) -> None:
    """lookalike_traps.csv rows 1-4, 8, 10, 13-18, 21, 22: one card at least names the other."""
    named = {each.designation for each in lookalikes(one)} | {
        each.designation for each in lookalikes(other)
    }
    assert {parse_thread(one).designation, parse_thread(other).designation} & named


def test_what_the_traps_measure() -> None:
    """The figures of lookalike_traps.csv, rows 1 to 16 and 50."""
    assert parse_thread("G 1/2").diameter_mm == pytest.approx(20.955, abs=0.001)
    assert parse_thread("1/2 NPT").diameter_mm == pytest.approx(21.336, abs=0.001)
    assert parse_thread("G 1/4").diameter_mm == pytest.approx(13.157, abs=0.001)
    assert parse_thread("G 3/8").diameter_mm == pytest.approx(16.662, abs=0.001)
    limits = {"M8": (7.76, 7.97), "M6": (5.79, 5.97), "M4": (3.84, 3.98), "M5": (4.83, 4.98)}
    for name, (low, high) in limits.items():
        found = limits_of(parse_thread(name))
        assert found.major_min == pytest.approx(low, abs=0.006)
        assert found.major_max == pytest.approx(high, abs=0.006)
    assert parse_thread("#10-32").pitch_mm == pytest.approx(0.7938, abs=1e-4)
    assert parse_thread("2BA").pitch_mm == 0.81
    assert parse_thread("4BA").pitch_mm == 0.66


def test_misprints_of_public_tables_were_not_copied() -> None:
    """data_traps_2.csv: bore and width swapped, wrong digits, the width of 428."""
    assert bearing_size("6302") == (15, 42, 13)
    assert bearing_size("16002") in (None, (15, 32, 8))
    assert bearing_size("626") in (None, (6, 19, 6))
    assert bearing_size("HK1212") == (12, 18, 12)
    assert 7.7 < chain_named("428").inner_width_mm < 8.0


_RINGS = [row for row in rows("rings_seals") if row["group"].startswith(("circlip", "E-clip"))]


@every(_RINGS)
def test_a_ring_by_its_standard_name_is_that_ring(row: dict[str, str]) -> None:
    """DIN 471, 472 and 6799: `DIN 471 - 20 x 1.2` is an external ring for 20 mm, 1.2 mm thick."""
    (ring,) = read_fasteners(row["designation"]).lines
    assert ring.kind == "circlip"
    assert ring.standard == row["standard"]
    assert ring.diameter == float(row["nominal_mm"])
    where = {"DIN 471": "external", "DIN 472": "internal", "DIN 6799": "E"}[row["standard"]]
    assert ring.head == where
    if " x " in row["designation"]:
        assert ring.thickness == float(row["thickness_mm"])


_SEALS = [
    row for row in rows("rings_seals") if row["group"] == "rotary shaft seal" and row["outer_mm"]
]


@pytest.mark.parametrize("row", _SEALS, ids=lambda row: row["designation"])
def test_a_seal_is_read_as_shaft_outside_and_width(row: dict[str, str]) -> None:
    """DIN 3760 sizes, as written on the seal."""
    inner, outer, width = (float(row[name]) for name in ("inner_mm", "outer_mm", "thickness_mm"))
    (seal,) = read_fasteners(f"oil seal {inner:g}x{outer:g}x{width:g}").lines
    assert (seal.kind, seal.diameter, seal.length, seal.thickness) == (
        "oil seal", inner, outer, width,
    )  # fmt: skip


_COPPER = [row for row in rows("rings_seals") if row["group"].startswith("sealing washer")]


@pytest.mark.parametrize("row", _COPPER, ids=lambda row: row["designation"])
def test_a_copper_washer_is_read_as_inside_outside_thickness(row: dict[str, str]) -> None:
    """DIN 7603 sizes; it is crushed to seal and so used once."""
    inner, outer, thick = (float(row[name]) for name in ("inner_mm", "outer_mm", "thickness_mm"))
    (ring,) = read_fasteners(f"copper washer {inner:g}x{outer:g}x{thick:g}").lines
    assert (ring.diameter, ring.length, ring.thickness) == (inner, outer, thick)
    assert ring.material == "copper"
    assert ring.single_use


_LANGUAGES = ("en_uk", "en_us", "de", "fr", "es", "it")
_FASTENERS = [row for row in rows("trade_words") if row["kind"] == "fastener"]


def _understood(word: str) -> bool:
    found = look_up(tuple(fold_words(word)))
    return bool(found and (found[1].kind or found[1].head or found[1].locks))


@pytest.mark.parametrize("language", _LANGUAGES)
def test_the_words_for_fasteners_are_understood(language: str) -> None:
    """trade_words.csv: every word for a fastener in the five languages, British and American."""
    missing = [
        row[language] for row in _FASTENERS if row[language] and not _understood(row[language])
    ]
    assert not missing


@pytest.mark.parametrize("language", _LANGUAGES)
def test_the_words_for_parts_are_taken_as_things_or_places(language: str) -> None:
    """trade_words.csv, all 174 rows: at most one in twenty is no word of the reader at all."""
    words = [row[language] for row in rows("trade_words") if row[language]]
    missing = [word for word in words if look_up(tuple(fold_words(word))) is None]
    assert len(missing) <= len(words) / 20, missing
