"""The table of the bench itself: no time is measured here."""

from __future__ import annotations

import pytest

from tests.bench.rows import Row, Table, Wanted, grows, in_turns, in_turns_async, reached


def test_a_row_is_held_to_what_is_wanted_with_its_slack() -> None:
    """A time may be a little over; a number of hits may not."""
    reached(Row("find", "peer", 100, 11, 10, wanted=Wanted(ratio=1.0)))
    reached(Row("find", "peer", 100, 11, 10, wanted=Wanted(most=10)))
    with pytest.raises(AssertionError, match=r"find at 100: 12.00 ms, 1.20 × peer, wanted ≤ 1 ×"):
        reached(Row("find", "peer", 100, 12, 10, wanted=Wanted(ratio=1.0)))
    reached(Row("hits", "peer", 100, 75, 10, "of 100", Wanted(least=75)))
    with pytest.raises(AssertionError, match="wanted ≥ 75 of 100"):
        reached(Row("hits", "peer", 100, 74, 10, "of 100", Wanted(least=75)))


def test_a_time_may_be_longer_by_as_much_as_the_peer_is_on_a_busy_computer() -> None:
    wanted = Wanted(most=100, free=20)
    reached(Row("stall", "bare form", 100, 190, 40, wanted=wanted))
    reached(Row("stall", "bare form", 100, 99, 10, wanted=wanted))
    with pytest.raises(AssertionError, match="wanted ≤ 100 ms by 20"):
        reached(Row("stall", "bare form", 100, 120, 10, wanted=wanted))
    with pytest.raises(AssertionError, match="stall at 100"):
        reached(Row("stall", "bare form", 100, 240, 40, wanted=wanted))


def test_the_growth_is_that_from_the_smallest_to_the_largest_book() -> None:
    table = Table()
    for size, ours in ((10_000, 400.0), (100, 4.0), (1_000, 90.0)):
        table.add(Row("csv", "peer", size, ours, 1))
    assert table.exponent("csv") == pytest.approx(1.0)
    grows("csv", 1.0, table)
    with pytest.raises(AssertionError, match=r"csv: exponent 1\.00, wanted 0\.9"):
        grows("csv", 0.9, table)


def test_the_table_puts_the_sizes_of_a_thing_below_each_other_with_a_verdict() -> None:
    table = Table()
    table.add(Row("show", "sqlite3", 100, 15, 10, wanted=Wanted(ratio=1.6)))
    table.add(Row("find", "sqlite3", 100, 17, 10, wanted=Wanted(ratio=1.6)))
    table.add(Row("show", "sqlite3", 1_000, 30, 10, wanted=Wanted(ratio=1.6)))
    table.add(Row("seen", "nothing", 100, 3, 0, "MB"))
    head, *rows = table.lines()
    assert head.split() == ["what", "parts", "ours", "peer", "ratio", "exponent", "wanted"]
    assert [row.split(",")[0] for row in rows] == ["show", "show", "find", "seen"]
    assert [row.split("  ")[-1].strip() for row in rows[:3]] == ["ok", "NOT", "within slack"]
    assert rows[1].split()[-5:] == ["0.30", "≤", "1.6", "×", "NOT"]
    assert rows[3].endswith("0.0000")


async def test_figures_are_taken_in_turns_and_the_first_turn_only_warms_up() -> None:
    taken: list[str] = []

    def figure(name: str, values: list[float]) -> float:
        taken.append(name)
        return values.pop(0)

    ours, theirs = [90.0, 1.0, 3.0, 2.0], [80.0, 5.0, 5.0, 7.0]
    assert in_turns(lambda: figure("o", ours), lambda: figure("t", theirs), turns=3) == [2.0, 5.0]
    assert "".join(taken) == "otototot"

    async def awaited() -> float:
        return figure("a", waited)

    row = Table().compare(
        "x", "y", 1, iter([9.0, 4.0]).__next__, iter([9.0, 2.0]).__next__, turns=1
    )
    assert (row.ours, row.theirs, row.ratio) == (4.0, 2.0, 2.0)
    waited = [9.0, 4.0, 6.0]
    assert await in_turns_async(awaited, turns=2) == [5.0]
