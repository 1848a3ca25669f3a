"""The links around a part, drawn in plain text."""

from __future__ import annotations

import pytest

from tagbench.errors import NotFound
from tagbench.rules.rebuild.links import links_of
from tagbench.rules.rebuild.picture import picture
from tests.rules.machines import MARK, chain, clean, code, tables

BRAKE = tables(
    [
        clean(1, name="Wheel"),
        clean(2, name="Brake plate", behind=[1]),
        clean(3, name="Shoe, upper", behind=[2]),
        clean(4, name="Shoe, lower", behind=[2], fitted="snug"),
        clean(5, name="Cam", behind=[3, 4], fitted="fitted"),
        clean(6, name="Horn"),
    ]
)


def test_deeper_above_outer_below_in_the_order_of_going_on() -> None:
    """One link away, with the state of each."""
    assert picture(links_of(BRAKE, MARK), code(2)).splitlines() == [
        "goes on before",
        "    ├─ TP-004-A  Shoe, lower  (snug)",
        "    ├─ TP-003-A  Shoe, upper  (off)",
        "  ▶ TP-002-A  Brake plate  (off)",
        "    ├─ TP-001-A  Wheel  (off)",
        "goes on after",
    ]


def test_two_links_away_stand_further_in() -> None:
    """The cam is met over both shoes and drawn once."""
    assert picture(links_of(BRAKE, MARK), code(2), depth=2).splitlines()[:2] == [
        "goes on before",
        "    ├─── TP-005-A  Cam  (fitted)",
    ]


def test_a_part_without_links_says_so() -> None:
    """The horn can go on at any time."""
    assert picture(links_of(BRAKE, MARK), code(6)).splitlines() == [
        "  ▶ TP-006-A  Horn  (off)",
        "    no links: it can go on at any time",
    ]


def test_a_loop_is_drawn_once_around() -> None:
    """Looking far along a loop ends where it began."""
    ring = tables([clean(1, behind=[2]), clean(2, behind=[1])])
    assert picture(links_of(ring, MARK), code(1), depth=50).count(code(2)) == 2


def test_a_long_chain_is_drawn_as_far_as_asked() -> None:
    """Depth 3 in the middle of a chain gives three above and three below."""
    assert len(picture(links_of(chain(50), MARK), code(25), depth=3).splitlines()) == 9


def test_an_unknown_code_is_refused() -> None:
    """The error names it."""
    with pytest.raises(NotFound, match=code(9)):
        picture(links_of(BRAKE, MARK), code(9))
