"""Requests are counted for each caller apart, and the memory for it stays small."""

from __future__ import annotations

from tagbench.phone.limits import REMEMBERED, Rate


class Clock:
    """Stands still until it is moved."""

    def __init__(self) -> None:
        self.seconds = 0.0

    def __call__(self) -> float:
        return self.seconds


def test_a_burst_is_allowed_and_then_the_pace() -> None:
    clock = Clock()
    rate = Rate(5, 2.0, clock=clock)
    assert [rate.allows("a") for _ in range(7)] == [True] * 5 + [False] * 2
    clock.seconds += 1.0
    assert [rate.allows("a") for _ in range(3)] == [True, True, False]


def test_a_long_rest_fills_no_more_than_the_burst() -> None:
    clock = Clock()
    rate = Rate(3, 10.0, clock=clock)
    clock.seconds += 3600
    assert [rate.allows("a") for _ in range(4)] == [True, True, True, False]


def test_one_caller_does_not_use_up_another_ones_tries() -> None:
    rate = Rate(1, 0.0, clock=Clock())
    assert rate.allows("a")
    assert not rate.allows("a")
    assert rate.allows("b")


def test_a_flood_of_callers_does_not_fill_the_memory() -> None:
    rate = Rate(1, 0.0, clock=Clock())
    for number in range(REMEMBERED + 500):
        rate.allows(str(number))
    assert len(rate._left) == REMEMBERED
    assert not rate.allows(str(REMEMBERED + 499))
