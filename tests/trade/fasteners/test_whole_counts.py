"""What a note says of all its pieces together: each lot with its count, and their sum counted once.

What a mechanic would write down for each of these is common practice, no source.
"""

from __future__ import annotations

import pytest
from hypothesis import given, settings, strategies as st

from tagbench.trade.fasteners.reading import FastenerReading, read_fasteners
from tests.examples import examples

_COUNTS = st.integers(1, 12)
_LENGTHS = st.lists(st.sampled_from([16, 20, 25, 35, 50, 70]), min_size=2, max_size=3, unique=True)


def _lots(reading: FastenerReading) -> list[tuple[int, float | None]]:
    return [(line.quantity, line.length) for line in reading.lines]


def _asked(text: str) -> set[frozenset[int]]:
    """The counts that are offered, for each question."""
    return {
        frozenset(
            int(option.meaning.removeprefix("count:"))
            for option in choice.options
            if option.meaning.startswith("count:")
        )
        for choice in read_fasteners(text).asks
    }


@given(
    st.sampled_from(
        ["{sum} bolts - {items} - sump", "{sum} bolts: {items}", "{sum} bolts, {items}", "{items}"]
    ),
    st.sampled_from([" ", ", ", " + ", " and "]),
    st.sampled_from(
        ["M6x{long}({n})", "M6x{long} ({n})", "m6x{long}(x{n})", "M6 x {long} ({n} off)"]
    ),
    _LENGTHS,
    st.data(),
)
@settings(max_examples=examples(120), deadline=None)
def test_a_count_in_brackets_is_that_of_the_size_before_it(
    head: str, between: str, form: str, lengths: list[int], data: st.DataObject
) -> None:
    counts = [data.draw(_COUNTS) for _ in lengths]
    items = between.join(
        form.format(n=n, long=long) for n, long in zip(counts, lengths, strict=True)
    )
    reading = read_fasteners(head.format(sum=sum(counts), items=items))
    assert _lots(reading) == list(zip(counts, lengths, strict=True))


@given(
    st.sampled_from(["{m} M8x60 top, rest M8x40, {sum} in all",
                     "({sum} total) {m} M8x60, rest M8x40",
                     "{m} M8x60 and the rest M8x40. {sum} altogether",
                     "{m} M8x60, others M8x40, total {sum}",
                     "{m} M8x60, the remainder M8x40 ({sum} tot)"]),
    _COUNTS,
    _COUNTS,
)  # fmt: skip
@settings(max_examples=examples(60), deadline=None)
def test_the_rest_is_what_the_total_leaves(form: str, some: int, rest: int) -> None:
    assert _lots(read_fasteners(form.format(m=some, sum=some + rest))) == [(some, 60), (rest, 40)]


@pytest.mark.parametrize(
    "text", ["2 M8x60, rest M8x40", "one M5x30 in the corner, the others M5x12"]
)
def test_how_many_the_rest_are_is_asked_without_a_total(text: str) -> None:
    reading = read_fasteners(text)
    assert len(reading.lines) == 2
    assert [choice.line for choice in reading.asks] == [1]


@pytest.mark.parametrize(
    ("text", "lots"),
    [
        ("all M5x10 but one, that's 14, left corner. 7 tot", [(6, 10), (1, 14)]),
        ("lamp bracket: all M6x16 except two (M6x30), 5 in all", [(3, 16), (2, 30)]),
        ("all 3/16 BSF x 1/2 bar one which is 3/4, 6 all told", [(5, 0.5), (1, 0.75)]),
    ],
)
def test_all_but_some_are_of_one_size(text: str, lots: list[tuple[int, float]]) -> None:
    assert _lots(read_fasteners(text)) == lots


@pytest.mark.parametrize(
    "text",
    ["9 in total: 5 long 4 short, valve cover M5", "9 altogether - 5 long, 4 short M5",
     "5 long 4 short M5, 9 in all"],
)  # fmt: skip
def test_a_total_is_no_lot_of_its_own(text: str) -> None:
    reading = read_fasteners(text)
    assert [line.quantity for line in reading.lines] == [5, 4]
    assert not reading.asks


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        ("4 M6x20, 3 M6x30, 8 in all", {frozenset({4, 3})}),
        ("8 bolts: 4 M6x20, 3 M6x30", {frozenset({4, 3})}),
        ("5 M6x20, 6 in all", {frozenset({5, 6})}),
    ],
)
def test_a_sum_that_does_not_come_out_is_asked(text: str, counts: set[frozenset[int]]) -> None:
    assert _asked(text) == counts


@pytest.mark.parametrize(
    ("text", "lots"),
    [
        ("3 long 1 short M5 csk (40,40,40,18) chaincase", [(3, 40), (1, 18)]),
        ("one short two long M8 hex (55 90 90) torque stay", [(1, 55), (2, 90)]),
        ("M6 bolts, lengths 18, 18, 32", [(2, 18), (1, 32)]),
        ("4 M5 screws (16/16/16/28) dial", [(3, 16), (1, 28)]),
        ("2 short 1 long 1/4 BSF (1/2 1/2 1 1/4)", [(2, 0.5), (1, 1.25)]),
    ],
)
def test_lengths_one_by_one_are_lots(text: str, lots: list[tuple[int, float]]) -> None:
    assert _lots(read_fasteners(text)) == lots


@pytest.mark.parametrize(
    "text",
    ["6 M6 screws (20,30) horn", "seal (20,35,7) hub", "M6 (20,30)", "3 M6 screws (12/10/25)"],
)
def test_figures_that_are_no_length_of_each_make_no_lots(text: str) -> None:
    (line,) = read_fasteners(text).lines
    assert line.length is None


@pytest.mark.parametrize(
    ("text", "many"),
    [
        ("valance l=5 r=4 no 6 x 1/2 self tap", 9),
        ("step L: 2 R: 2 M8x25 bolts", 4),
        ("drum nuts 4 on nearside 4 offside", 8),
        ("wing bolts M6x16 3 left 4 right", 7),
    ],
)
def test_both_hands_are_counted(text: str, many: int) -> None:
    (line,) = read_fasteners(text).lines
    assert line.quantity == many


@pytest.mark.parametrize(
    ("text", "many"),
    [
        ("M6x30 x4 no wait 6, fan ring", 6),
        ("16 cheese head screws? no 14. M4", 14),
        ("11 M5 nuts, sorry 10", 10),
        ("3 off M10x40 make that 5 off", 5),
        ("5 nuts M6 - no wait - 7", 7),
    ],
)
def test_a_number_that_was_taken_back_counts_nothing(text: str, many: int) -> None:
    (line,) = read_fasteners(text).lines
    assert line.quantity == many


@pytest.mark.parametrize(("text", "long"), [("M5x20 no wait 25", 25), ("4 M6x16 I mean M6x18", 18)])
def test_a_length_that_was_taken_back_is_that_of_none(text: str, long: float) -> None:
    (line,) = read_fasteners(text).lines
    assert line.length == long


@pytest.mark.parametrize(
    ("text", "many", "kept"),
    [
        ("6 M5x20, sorry 18", 6, "sorry 18"),
        ("12 wood screws? no 8", 12, "?"),
        ("4 M6? no 8", 4, "no 8"),
        ("4 M6x20 should be 25", 4, "should be 25"),
    ],
)
def test_a_number_that_may_take_back_something_else_is_kept_as_typed(
    text: str, many: int, kept: str
) -> None:
    """18 may be how long they are, 8 the number of a wood screw or an M8."""
    (line,) = read_fasteners(text).lines
    assert line.quantity == many
    assert kept in line.words


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        ("screws for fan ring, 5 should be 6", {5, 6}),
        ("7 nuts (should be 8) M6", {7, 8}),
        ("M6x25 x4 should be x5", {4, 5}),
        ("M6x40 x3, one behind the horn", {3, 4}),
        ("5 M5x16 screws, the bottom one is 22", {4, 5}),
        ("M8 x 25 .. 3 of em, front one's 40", {2, 3}),
    ],
)
def test_two_counts_of_one_thing_are_asked(text: str, counts: set[int]) -> None:
    assert frozenset(counts) in _asked(text)


@pytest.mark.parametrize(
    ("text", "lots"),
    [
        ("4x M6x20 off the lid", [(4, 20)]),
        ("M6x20 off lid", [(1, 20)]),
        ("6 x M6x20 off", [(6, 20)]),
        ("2 seals 22x35x7 off my gearbox", [(2, 35)]),
        ("fibre washers 12x18x1.5 off the tap, both", [(2, 18)]),
    ],
)
def test_what_came_off_something_is_not_so_many_off(
    text: str, lots: list[tuple[int, float]]
) -> None:
    """The 20 of `M6x20 off the lid` is a length: only `M6, 20 off` counts."""
    assert _lots(read_fasteners(text)) == lots
