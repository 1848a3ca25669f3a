"""A bucket of fasteners from many bags: packed by size, counted, sorted back, told when short."""

from __future__ import annotations

from datetime import date

import pytest

from tagbench.errors import BadInput, NotFound, Refused
from tagbench.records import Batch, BatchPiece, Fastener, Tables, replace
from tagbench.reports.away_text import batch_lines, batch_rows
from tagbench.rules.batches import (
    bucket_size,
    counted_back,
    gone_from_bag,
    left_away,
    packing_rows,
    pieces_in_bags,
    refuse_unsorted,
    sort_back,
)
from tests.rules.making import code, part, tables

HEX = Fastener(quantity=4, kind="bolt", thread="M6x1", length=20, head="hex", place="at 6 o'clock")
DAY = date(2026, 3, 9)


def packed() -> tuple[Tables, Batch]:
    """Drum with 4, cover with 6 of the same bolt and 2 small screws, all in one bucket."""
    small = Fastener(quantity=2, thread="M5x0.8", length=12, head="pan")
    parts = [
        part(1, "Drum", fasteners=(HEX,)),
        part(2, "Cover", fasteners=(replace(HEX, quantity=6, place=""), small)),
    ]
    pieces = tuple(pieces_in_bags(parts))
    for piece in pieces:
        at = next(n for n, one in enumerate(parts) if one.code == piece.code)
        parts[at] = gone_from_bag(parts[at], piece.line, piece.quantity)
    return tables(*parts), Batch(id=1, machine="TP", who="Hill Plating", pieces=pieces, sent=DAY)


def test_the_bucket_is_packed_by_size_whatever_the_bag() -> None:
    """Ten bolts of one size out of two bags; place and count do not tell them apart."""
    made, batch = packed()
    assert bucket_size(HEX) == "M6x1x20 hex bolt"
    assert [(row.size, row.out) for row in packing_rows(made, batch)] == [
        ("M6x1x20 hex bolt", 10),
        ("M5x0.8x12 pan", 2),
    ]
    assert all(line.away == line.quantity for p in made.parts.values() for line in p.fasteners)


def test_certain_sizes_only() -> None:
    """What the plater does not take stays in its bag; nothing at all is refused."""
    made, _ = packed()
    here = [replace(p, fasteners=(HEX,)) for p in made.parts.values()]
    assert {piece.quantity for piece in pieces_in_bags(here, ["m6"])} == {4}
    with pytest.raises(BadInput, match="nothing of M8"):
        pieces_in_bags(here, ["M8"])


def test_short_ones_are_told_by_size_and_each_bag_by_bag() -> None:
    """Nine of ten came: one is short; a bag is ticked with what goes into it."""
    made, batch = packed()
    batch = counted_back(made, batch, {"M6": 9, "M5x0.8x12 pan": 2})
    assert [row.short for row in packing_rows(made, batch)] == [1, 0]
    batch, drum = sort_back(made, batch, code(1), 1)
    assert drum.fasteners[0].away == 0
    assert [(piece.code, left) for piece, left in left_away(batch)] == [(code(2), 6), (code(2), 2)]
    with pytest.raises(BadInput, match="5 can go back"):
        sort_back(made, batch, code(2), 1, 6)
    with pytest.raises(Refused, match="sort them first"):
        refuse_unsorted(made, batch)
    lines = list(batch_lines(made, batch, DAY))
    assert "  10 × M6x1x20 hex bolt, 9 came back, 1 short, 4 in their bags" in lines


@pytest.mark.parametrize(
    ("counts", "says"),
    [
        ({"M6": 11}, "10 × M6x1x20 hex bolt went"),
        ({"M8": 1}, "nothing in the bucket"),
        ({"M": 1}, "several sizes"),
    ],
)
def test_a_count_that_cannot_be_is_refused(counts: dict[str, int], says: str) -> None:
    """More than went, a size that is not in it, words that several sizes have."""
    made, batch = packed()
    with pytest.raises(BadInput, match=says):
        counted_back(made, batch, counts)


def test_what_is_not_in_the_batch_is_not_sorted() -> None:
    """Nor more than a bag gave."""
    made, batch = packed()
    with pytest.raises(NotFound):
        sort_back(made, batch, code(1), 2)
    with pytest.raises(BadInput):
        gone_from_bag(made.parts[code(1)], 1, 1)


def test_the_packing_list_is_a_table_too() -> None:
    """A row a bag, its size first."""
    made, batch = packed()
    head, first, *_ = batch_rows(made, batch)
    assert head[:4] == ("size", "out", "came_back", "short")
    assert first[0] == "M6x1x20 hex bolt"
    assert BatchPiece(code=code(1), line=1, quantity=4) in batch.pieces
