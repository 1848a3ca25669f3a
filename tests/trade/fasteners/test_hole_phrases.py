"""Which screw in which hole, said in one line: clock figures are never counts or lengths."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from tagbench.trade.fasteners.hole_phrases import named_line
from tagbench.trade.fasteners.reading import read_fasteners
from tagbench.trade.fasteners.spelling import spell
from tagbench.trade.fasteners.text import parse_fasteners

ELSE = "all other holes"


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        (
            "cover: 2 long at 12 and 6, 3 short else",
            [
                (2, "", None, "cover, long, 12 and 6 o'clock"),
                (3, "", None, f"cover, short, {ELSE}"),
            ],
        ),
        (
            "2x M6x45 at 12 and 6, 3x M6x25 else",
            [(2, "M6x1", 45, "12 and 6 o'clock"), (3, "M6x1", 25, ELSE)],
        ),
        (
            "M6: 2x45 at 12 and 6, 3x25 else",
            [(2, "M6x1", 45, "12 and 6 o'clock"), (3, "M6x1", 25, ELSE)],
        ),
        (
            "8x M6 hex 8.8: 65 at 8, 40 at 4, 5 & 7, 25 everywhere else",
            [
                (1, "M6x1", 65, "8 o'clock"),
                (3, "M6x1", 40, "4, 5 and 7 o'clock"),
                (4, "M6x1", 25, ELSE),
            ],
        ),
        (
            "1/4-20: 2x 1-1/2 at 12 and 6, 4x 1 else",
            [(2, "1/4-20 UNC", 1.5, "12 and 6 o'clock"), (4, "1/4-20 UNC", 1, ELSE)],
        ),
        (
            "2 M6x45 at 12, 4 and 8; 3 M6x25 the rest",
            [(2, "M6x1", 45, "12, 4 and 8 o'clock"), (3, "M6x1", 25, ELSE)],
        ),
        ("M6x45 at half past 6 and 12", [(2, "M6x1", 45, "half past 6 and 12 o'clock")]),
        (
            "2x M6x20, 3x M6x30 at 12, 4 and 8",
            [(2, "M6x1", 20, ""), (3, "M6x1", 30, "12, 4 and 8 o'clock")],
        ),
    ],
)
def test_holes_and_lengths_in_one_line(
    text: str, lines: list[tuple[int, str, float | None, str]]
) -> None:
    read = read_fasteners(text)
    assert read.whole
    assert not read.asks
    assert [(one.quantity, one.thread, one.length, one.place) for one in read.lines] == lines


@pytest.mark.parametrize(
    "text",
    ["4x M6x20 at the top", "M6 at 10 mm", "nuts else", "M6x20 at 8 N·m", "washer 12 and 6"],
)
def test_what_names_no_hole_is_read_as_ever(text: str) -> None:
    assert all("o'clock" not in line.place for line in parse_fasteners(text))


@given(
    st.lists(st.integers(1, 12), min_size=1, max_size=4, unique=True),
    st.integers(10, 90),
    st.integers(1, 9),
)
def test_what_was_read_is_read_again_from_its_short_form(
    hours: list[int], length: int, others: int
) -> None:
    *first, last = map(str, hours)
    said = f"{', '.join(first)} and {last}" if first else last
    lines = parse_fasteners(f"{len(hours)}x M8x{length} at {said}, {others}x M8x12 else")
    again = parse_fasteners("; ".join(map(spell, lines)))
    assert [(x.quantity, x.length, x.place) for x in again] == [
        (x.quantity, x.length, x.place) for x in lines
    ]
    assert [line.quantity for line in lines] == [len(hours), others]


def test_a_name_with_its_screws_is_parted_and_any_other_name_is_not() -> None:
    assert named_line("Clutch cover: 2 long at 12 and 6, 3 short else") == (
        "Clutch cover",
        "2 long at 12 and 6, 3 short else",
    )
    assert named_line("Cover: left one") == ("", "")
    assert named_line("M6: 2x45 at 12 and 6") == ("", "")
