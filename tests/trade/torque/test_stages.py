"""A torque in stages: each pass recorded, open until the last lies inside the range."""

from __future__ import annotations

from datetime import UTC, datetime
from itertools import pairwise
from math import hypot

import pytest

from tagbench.errors import BadInput
from tagbench.records import Fastener, Torque, from_plain, replace, to_plain
from tagbench.trade.quantities.typed import parse_torque
from tagbench.trade.torque.passes import progress_of, standing_of, with_pass, without_passes
from tagbench.trade.torque.stages import order_of, tightening_stages

_RANGE = Torque(low=32, high=44, unit="lbf·ft")
_LINE = Fastener(quantity=4, kind="bolt", thread="M10x1.5", torque=_RANGE)
_AT = datetime(2026, 3, 1, 19, 30, tzinfo=UTC)


def test_a_value_below_the_range_is_a_stage_and_stays_open() -> None:
    first = with_pass(_LINE, 20, _AT)
    told = progress_of(first)
    assert (told.standing, told.stage, told.of, told.open) == ("stage", 1, 3, True)
    assert told.words == "20 of 32–44 lbf·ft, not final, stage 1 of 3"
    second = with_pass(first, 30)
    assert progress_of(second).words == "30 of 32–44 lbf·ft, not final, stage 2 of 3"
    last = with_pass(second, 38, _AT)
    told = progress_of(last)
    assert (told.standing, told.stage, told.open) == ("final", 3, False)
    assert told.words == "38 lbf·ft of 32–44 lbf·ft, final"
    assert [one.given for one in last.passes] == [20, 30, 38]
    assert last.passes[0].at == _AT


def test_more_passes_than_three_and_a_new_beginning() -> None:
    line = _LINE
    for given in (10.0, 15.0, 20.0, 25.0):
        line = with_pass(line, given)
    assert progress_of(line).of == 5
    assert len(with_pass(line, 12).passes) == 1  # somebody loosened it
    done = with_pass(line, 40)
    assert len(with_pass(done, 20).passes) == 1
    assert progress_of(without_passes(done)).standing == "none"


@pytest.mark.parametrize(
    ("given", "standing"),
    [
        (None, "none"),
        (31.9, "stage"),
        (31.99, "final"),
        (32, "final"),
        (44, "final"),
        (44.1, "over"),
    ],
)
def test_where_a_torque_lies(given: float | None, standing: str) -> None:
    """One part in a thousand is the rounding of a converted figure."""
    assert standing_of(_RANGE, given) == standing


def test_over_the_range_is_said() -> None:
    assert progress_of(with_pass(_LINE, 50)).words == "50 lbf·ft is over 32–44 lbf·ft"
    assert not progress_of(with_pass(_LINE, 50)).open
    plain = replace(_LINE, torque=None)
    assert progress_of(with_pass(plain, 9)).standing == "final"


def test_passes_are_kept_in_the_book() -> None:
    line = with_pass(with_pass(_LINE, 20, _AT), 38, _AT)
    assert from_plain(to_plain(line), Fastener) == line
    old = to_plain(replace(_LINE, torqued=38.0))
    old.pop("passes", None)
    assert from_plain(old, Fastener).torqued == 38.0


@pytest.mark.parametrize("pattern", ["circle", "rectangle", "line"])
@pytest.mark.parametrize("bolts", [2, 3, 4, 5, 6, 8, 9, 10, 14])
def test_every_bolt_has_its_turn_once_in_each_stage(pattern: str, bolts: int) -> None:
    stages = tightening_stages(parse_torque("20 N·m"), bolts, pattern)  # type: ignore[arg-type]
    assert [stage.percent for stage in stages] == [30, 60, 100, 100]
    for stage in stages:
        assert sorted(stage.order) == list(range(1, bolts + 1))


def test_a_line_and_a_rectangle_go_from_the_middle_outwards() -> None:
    """Common practice, no source: cylinder heads and long covers from the middle."""
    assert order_of(5, "line", None)[0] == 2
    assert set(order_of(5, "line", None)[-2:]) == {0, 4}
    first = set(order_of(10, "rectangle", None)[:2])
    assert first == {2, 7}  # the middle of the upper row and of the lower one
    assert set(order_of(10, "rectangle", None)[-4:]) == {0, 4, 5, 9}
    assert (
        "From the middle outwards"
        in tightening_stages(parse_torque("9 N·m"), 6, "line")[1].sentence
    )


def test_an_odd_cover_goes_by_its_holes() -> None:
    """Neighbours never follow one another while a bolt farther off is waiting in the ring."""
    holes = [(0.0, 0.0), (40.0, -5.0), (80.0, 0.0), (90.0, 40.0), (60.0, 70.0), (10.0, 60.0)]
    stages = tightening_stages(parse_torque("9 N·m"), 6, holes=holes)
    order = [place - 1 for place in stages[0].order]
    steps = [
        hypot(holes[a][0] - holes[b][0], holes[a][1] - holes[b][1]) for a, b in pairwise(order)
    ]
    nearest = min(
        hypot(a[0] - b[0], a[1] - b[1]) for n, a in enumerate(holes) for b in holes[n + 1 :]
    )
    assert min(steps) >= nearest
    assert sum(steps) / len(steps) > 50  # to and fro, not round the edge
    with pytest.raises(BadInput, match="6 hole positions for 5"):
        tightening_stages(parse_torque("9 N·m"), 5, holes=holes)
