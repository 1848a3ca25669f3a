"""What a note says is not in the bag is never one of its pieces. Common practice, no source."""

from __future__ import annotations

import pytest

from tagbench.trade.fasteners.reading import read_fasteners


@pytest.mark.parametrize(
    ("typed", "counts", "kept"),
    [
        ("brake lever bolt M6x30 no nut was found", [1], "no nut was found"),
        ("3 bolts M8 nut left in frame", [3], "nut left in frame"),
        ("4 bolts M6 2 nuts missing", [4], "2 nuts missing"),
        ("4 screws missing nut", [4], "missing nut"),
        ("2 bolts, nut: missing", [2], "nut missing"),
        ("cover 6 screws M5x16. the dowels stayed in the case", [6], "dowels stayed in"),
        ("4 washers 8mm, springs in left hand tub", [4], "springs in left hand tub"),
        ("6 nuts, 5 washers. 1 washer adrift", [6, 5], "1 washer adrift"),
        ("handle bolt. The long screw: dropped, not found", [1], "dropped not found"),
        ("studs stayed put, nuts M8 x4", [4], "studs stayed put"),
        ("nuts of the pedal are not in this tin, they are on the axle. 2 cotters 9.5mm",
         [2], "not in this tin"),
    ],
)  # fmt: skip
def test_what_is_not_here_is_no_piece(typed: str, counts: list[int], kept: str) -> None:
    reading = read_fasteners(typed)
    assert [line.quantity for line in reading.lines] == counts
    assert kept in " ".join(line.words for line in reading.lines)


@pytest.mark.parametrize(
    "typed",
    [
        "spool spring - NOT here, on the sill",
        "stud ok left on machine",
        "spring stayed in",
        "get copper washer 14x20",
        "small screw: dropped, not found",
    ],
)
def test_a_note_on_what_is_not_here_asks_first_whether_it_is_only_a_remark(typed: str) -> None:
    first = read_fasteners(typed).asks[-1].options[0]
    assert first.meaning == "remark"


@pytest.mark.parametrize("typed", ["to buy: leather belt", "wanted: two 2BA nuts, 1 spring"])
def test_a_shopping_list_names_no_piece(typed: str) -> None:
    reading = read_fasteners(typed)
    assert not reading.lines
    assert reading.none == (typed,)


@pytest.mark.parametrize(
    ("typed", "counts"),
    [
        ("nut rusty, left side", [1]),
        ("2 bolts M6x20, washers in plastic bag", [2, 2]),
        ("lid screw dropped but found", [1]),
        ("order: nut, washer", [1, 1]),
        ("get new, 2 springs worn", [2]),
        ("key - lost one", [1]),
    ],
)
def test_what_is_here_stays_a_piece(typed: str, counts: list[int]) -> None:
    reading = read_fasteners(typed)
    assert [line.quantity for line in reading.lines] == counts
    assert not [one for one in reading.asks if one.options[0].meaning == "remark"]
