"""What is doubtful in a bag note is asked or kept, never claimed (common practice, no source)."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings, strategies as st

from tagbench.records import Fastener, from_plain, to_plain
from tagbench.trade.fasteners.reading import FastenerReading, read_fasteners
from tests.examples import examples


def _kept(reading: FastenerReading) -> str:
    """All words of the records, wherever they stand."""
    said = " ".join(
        f"{line.words} {line.place} {line.note} {line.called}" for line in reading.lines
    )
    return " ".join((said, *reading.none))


def _counts(reading: FastenerReading) -> list[int]:
    return [line.quantity for line in reading.lines]


def _asked(reading: FastenerReading) -> set[str]:
    return {option.meaning for choice in reading.asks for option in choice.options}


@pytest.mark.parametrize(
    ("typed", "pieces"),
    [
        ("0.2 side float, 3 shims", 3),
        ("stamp 0931, 6 rivets", 6),
        ("soaked it 2 days, 4 studs M8", 4),
        ("took 3 goes with heat, 2 bolts M10", 2),
        ("5 holes 7.2mm, 5 bolts M6", 5),
        ("12 volt horn, 2 screws M5", 2),
        ("15 thou feeler went under it, 3 screws 4BA", 3),
        ("bracket 60 long, 2 screws M4", 2),
        ("3/8 drive extension wanted, 4 nuts M8", 4),
    ],
)
def test_a_clause_without_a_fastener_is_a_remark(typed: str, pieces: int) -> None:
    """Its figures count nothing, measure nothing, and stand in the words as they were typed."""
    reading = read_fasteners(typed)
    remark, _, _ = typed.partition(",")
    assert sum(_counts(reading)) == pieces
    assert all(word in _kept(reading) for word in remark.split())
    (line,) = reading.lines
    assert (line.length, line.thickness, line.tool) == (None, None, "")


@pytest.mark.parametrize(
    ("typed", "claimed"),
    [
        ("3 bolts M8 60 apart", "length"),
        ("stud M8 sticks out 18mm", "length"),
        ("4 screws M5 through 3 mm plate", "length"),
        ("2 studs M6 30mm, 35mm and 40mm", "length"),
        ("5mm allen bolt M6", "length"),
        ("tab washer M10 with 2 ears", "thickness"),
    ],
)
def test_a_figure_beside_an_unread_word_is_no_size(typed: str, claimed: str) -> None:
    line, *_ = read_fasteners(typed).lines
    assert getattr(line, claimed) is None


@pytest.mark.parametrize(
    ("typed", "counts"),
    [
        ("bolts 6 nuts 6 washers 12", [6, 6, 12]),
        ("M6 BOLT 3 / M6 NUT 3 / M6 WASHER 6", [3, 3, 6]),
        ("cable ties 5, p clips 3", [5, 3]),
        ("1. bolt M8x20 2. bolt M8x30", [1, 1]),
        ("1) nut M6 2) washer 3) spring", [1, 1, 1]),
        ("LH: 3 screws; RH: 2 screws", [3, 2]),
        ("top 4: M6x20, bottom 2: M6x45", [4, 2]),
        ("5 bolts M6 (3 x 25, 2 x 40)", [3, 2]),
        ('9 bolts 1/4-20 - 6@1", 3@1.5"', [6, 3]),
        ("bolts M6: 2 @ 20, 4 @ 30", [2, 4]),
        ("screws: 2 front (long), 3 rear (short)", [2, 3]),
        ("2 new 3 old nuts M8", [2, 3]),
        ("5+5 M6 nuts", [10]),
        ("a dozen less two M6 nuts", [10]),
        ("bolt M8 + 2 nuts", [1, 2]),
        ("3 bolts M8 with nuts", [3, 3]),
        ("2 x spade terminals, bolt M6x12", [2, 1]),
        ("4 tornillos M6x20 y 2 de M6x30", [4, 2]),
        ("3 de 6x20 y 2 de 6x30", [3, 2]),
        ("M6 x 12 (x3), x 20 (x1)", [3, 1]),
        ("4 - 5/16-18 x 1, 2 - 5/16-18 x 2", [4, 2]),
        ("washers: 4 thick 3/8, 3 thin 3/8", [4, 3]),
        ("3 viti, 2 lunghe 50 e 1 corta 30, M6", [2, 1]),
        ("(2) 1/4 flat, (2) 1/4 lock, (2) 1/4-20 nut", [2, 2, 2]),
        ("bolts M6x25 (3), M6x40 (2) - 5 in all", [3, 2]),
        ("6 screws; 4 M5x10, 2 M5x16", [4, 2]),
        ("clevis pin + 2 circlips ext 8", [1, 2]),
        ("cyl 1: 4 nuts M8, cyl 2: 3 nuts M8", [4, 3]),
    ],
)
def test_the_shape_of_a_list_decides_it(typed: str, counts: list[int]) -> None:
    assert _counts(read_fasteners(typed)) == counts


@pytest.mark.parametrize(
    ("typed", "most", "asked"),
    [
        ("6 nuts M8 2 thin", 6, {"count:6", "count:8"}),
        ("3 of the 5 bolts M8 are bent", 5, {"count:5", "count:3"}),
        ("4 von 5 Muttern M8", 5, {"count:5", "count:4"}),
        ("2 de 6 tornillos M5", 6, {"count:6", "count:2"}),
        ("8 screws M5, 2 longer at the back", 8, {"count:8", "count:10"}),
        ("5 pt bolt 3/8-24", 5, {"count:5", "count:1"}),
        ("2 nuts M8, gasket", 2, {"count:1", "count:2"}),
        ("4 bolts M6 with washer", 4, {"count:4", "count:1"}),
    ],
)
def test_a_part_of_a_lot_is_asked(typed: str, most: int, asked: set[str]) -> None:
    reading = read_fasteners(typed)
    assert max(_counts(reading)) == most
    assert asked <= _asked(reading)


@pytest.mark.parametrize(
    "typed",
    [
        "7 screws M5, 3 of which brass",
        "half of the screws are bent, 7 total, M5",
        "1/3 of the screws are missing, 7 in all, M5",
        "7 screws M5, 2 missing",
        "screws M5 are in the tray, there's 7 of them",
    ],
)
def test_a_share_is_never_added(typed: str) -> None:
    assert _counts(read_fasteners(typed)) == [7]


@pytest.mark.parametrize(
    "typed",
    ["no nuts, held by a strap", "just hooks on, no screws", "ohne Schrauben, nur gesteckt",
     "sans vis, clipsée", "none - pushed in"],
)  # fmt: skip
def test_no_screws_are_no_piece_and_a_note(typed: str) -> None:
    reading = read_fasteners(typed)
    assert reading.lines == ()
    assert reading.none == (typed,)
    assert reading.note("rusty") == f"rusty; {typed}"
    assert any("no fasteners" in sentence for sentence in reading.answer())


@pytest.mark.parametrize(
    ("typed", "tool"),
    [
        ("grub screw M6, key 3", "hex key 3 mm"),
        ("vis sans tête M5, clé 2,5", "hex key 2.5 mm"),
        ("brugola M6x20 chiave 5", "hex key 5 mm"),
        ("Gewindestift M8 SW4", "hex key 4 mm"),
        ("Mutter M8 SW13", "spanner 13 mm"),
        ("tuerca M8 13 llave", "spanner 13 mm"),
    ],
)
def test_a_key_fits_a_socket_and_a_spanner_a_hexagon(typed: str, tool: str) -> None:
    assert read_fasteners(typed).lines[0].tool == tool


@pytest.mark.parametrize(
    "typed",
    ["dado M10 rosca sinistra", "Mutter M10 Linksgewinde", "écrou M10 filet à gauche",
     "tuerca M10 rosca izquierda", "dado M10 filetto sinistro", "nut M10 left hand thread"],
)  # fmt: skip
def test_left_hand_threads_in_five_languages(typed: str) -> None:
    assert read_fasteners(typed).lines[0].thread == "M10x1.5 LH"


@pytest.mark.parametrize(
    ("typed", "sizes"),
    [
        ("washer 3/4 ID x 1 OD x 1/8", (0.75, 1.0, 0.125)),
        ("thrust washer 1/2 x 1 x 1/16", (0.5, 1.0, 0.0625)),
    ],
)
def test_a_whole_figure_among_inches_is_inches(typed: str, sizes: tuple[float, ...]) -> None:
    (line,) = read_fasteners(typed).lines
    assert line.length_unit == "in"
    assert (line.diameter, line.length, line.thickness) == sizes


_SOUP = st.sampled_from(
    [
        "M6",
        "M8x1.25",
        "x20",
        "x4",
        "4x",
        "2",
        "11",
        "(3)",
        "(M6x40)",
        "1/4",
        "1/4-20",
        "UNC",
        "2BA",
        "13mm",
        "0.2",
        "6202",
        "20x35x7",
        "#10",
        "8.8",
        "25Nm",
        "bolt",
        "bolts",
        "nut",
        "nuts",
        "nyloc",
        "csk",
        "washer",
        "washers",
        "circlip",
        "spring",
        "stud",
        "shim",
        "vis",
        "Mutter",
        "viti",
        "tuercas",
        "wibble",
        "8417",
        "gronk",
        "left",
        "LH:",
        "long",
        "short",
        "missing",
        "of",
        "the",
        "all",
        "same",
        "ditto",
        "one",
        "two",
        "and",
        "with",
        "+",
        "&",
        ",",
        ",",
        ";",
        "-",
        ":",
        "/",
        "of",
        "which",
        "each",
        "side",
        "between",
        "key",
        "allen",
        "head",
        "no",
        "sans",
        "half",
        "total",
        "brass",
        "old",
        "new",
        "from",
        "@",
    ]
)


@given(st.lists(_SOUP, min_size=1, max_size=10).map(" ".join))
@settings(max_examples=examples(400), deadline=None)
def test_no_figure_and_no_unknown_word_of_any_note_is_lost(text: str) -> None:
    """Every unknown word and every odd figure stands in the records, and they can be saved."""
    reading = read_fasteners(text)
    fields = " ".join(
        " ".join(map(str, (line.quantity, line.diameter, line.length, line.thickness, line.number,
                           line.thread, line.tool, *line.chosen, *line.locking)))
        for line in reading.lines
    )  # fmt: skip
    everywhere = f"{_kept(reading)} {fields}"
    for word in ("wibble", "gronk", "8417"):
        assert (word in everywhere) == (word in text)
    for line in reading.lines:
        assert from_plain(to_plain(line), Fastener) == line
        assert line.quantity == 1 or _is_said(line.quantity, text), line


#: What makes several of what was typed: sums, pairs, one each of several.
_ADDS = re.compile(r"\+|\btwo\b|\beach\b|\bwith\b|\btotal\b|&|\band\b|,|/|;|-|:|\bside\b")


def _is_said(many: int, text: str) -> bool:
    """Whether a count was typed, or follows from several that were."""
    typed = {int(figure) for figure in re.findall(r"[0-9]+", text)} | {1, 2}
    if many in typed:
        return True
    products = {one * other for one in typed for other in typed}
    return bool(_ADDS.search(text)) and many in products
