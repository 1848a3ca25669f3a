"""The wrong item came: noted, sent back, refunded or replaced; refused where it cannot be."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from tagbench.errors import Refused
from tagbench.records import Want, replace
from tagbench.rules.buying.returns import (
    open_wrong,
    send_back,
    settle,
    settled_by_arrival,
    wrong_came,
)
from tagbench.rules.describe.want import standing_shortly, standing_words, want_state

TODAY = date(2026, 3, 9)
ORDERED = Want(id=1, machine="TP", what="brake cable", ordered=date(2026, 3, 1), due=TODAY)


def test_the_wrong_one_is_said_until_something_comes_of_it() -> None:
    """In full and shortly; the want stays open."""
    wrong = wrong_came(ORDERED, TODAY, TODAY, " left-hand  one ")
    assert standing_words(wrong, TODAY) == (
        "ordered 1 Mar 2026, due 9 Mar 2026, the wrong one came 9 Mar 2026 (left-hand one)"
    )
    assert (standing_shortly(wrong, TODAY), want_state(wrong, TODAY)) == (
        "the wrong one came",
        "wrong",
    )
    assert wrong.arrived is None


def test_refunded_it_is_to_be_ordered_again_replaced_it_is_still_to_come() -> None:
    """What happened stays written down."""
    back = send_back(wrong_came(ORDERED, TODAY, TODAY, ""), TODAY, TODAY)
    refunded = settle(back, "refunded")
    assert (refunded.ordered, open_wrong(refunded)) == (None, None)
    assert standing_words(refunded, TODAY).endswith("sent back 9 Mar 2026, refunded")
    replaced = settle(back, "replaced", TODAY + timedelta(days=7))
    assert (replaced.ordered, replaced.due) == (ORDERED.ordered, date(2026, 3, 16))
    assert want_state(replaced, TODAY) == "begun"


def test_the_right_one_settles_it() -> None:
    """Arriving says that it was replaced."""
    wrong = wrong_came(ORDERED, TODAY, TODAY, "")
    assert settled_by_arrival(wrong).wrong[0].settled == "replaced"
    assert settled_by_arrival(ORDERED) is ORDERED


def test_what_cannot_be_is_refused() -> None:
    """Not ordered, arrived, twice, on a day that cannot be, or none at all."""
    wrong = wrong_came(ORDERED, TODAY, TODAY, "")
    with pytest.raises(Refused, match="is not ordered"):
        wrong_came(replace(ORDERED, ordered=None, due=None), TODAY, TODAY, "")
    with pytest.raises(Refused, match="take that back first"):
        wrong_came(replace(ORDERED, arrived=TODAY), TODAY, TODAY, "")
    with pytest.raises(Refused, match="say first what came of it"):
        wrong_came(wrong, TODAY, TODAY, "")
    with pytest.raises(Refused, match="still to come"):
        wrong_came(ORDERED, TODAY + timedelta(days=1), TODAY, "")
    with pytest.raises(Refused, match="was not there"):
        wrong_came(ORDERED, date(2026, 2, 1), TODAY, "")
    with pytest.raises(Refused, match="No wrong one came"):
        send_back(ORDERED, TODAY, TODAY)
    with pytest.raises(Refused, match="already"):
        send_back(send_back(wrong, TODAY, TODAY), TODAY, TODAY)
