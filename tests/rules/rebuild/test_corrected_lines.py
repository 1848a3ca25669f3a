"""Fasteners written anew: what is in the machine stays in it where a line is the same one."""

from __future__ import annotations

import pytest

from tagbench.errors import Refused
from tagbench.records import Fastener, Part, Torque, replace
from tagbench.rules.rebuild.corrected_lines import asks, corrected_lines
from tests.rules.machines import clean

RANGE = Torque(low=18, high=25)
BOLTS = Fastener(kind="bolt", thread="M8x1.25", length=40, quantity=4, torque=RANGE)
PIN = Fastener(kind="cotter pin", diameter=3.2, length=32, single_use=True)
IN = (replace(BOLTS, back=4, torqued=20.0), replace(PIN, back=1, renewed=True))


def on(*lines: Fastener) -> Part:
    """A part on the machine with these lines."""
    return clean(1, name="hub", fitted="fitted", fasteners=lines)


def test_a_correction_of_one_line_leaves_the_others_as_they_are() -> None:
    """A note on the bolts; the pin is as it was, and the bolts are still torqued."""
    bolts, pin = corrected_lines(on(*IN), (replace(BOLTS, place="long ones at 6"), PIN))
    assert (bolts.back, bolts.torqued, bolts.place) == (4, 20.0, "long ones at 6")
    assert pin == IN[1]


def test_what_was_left_out_may_be_filled_in() -> None:
    """The class of the bolts is read from their heads later on: they are the same bolts."""
    bolts, _ = corrected_lines(on(*IN), (replace(BOLTS, grade="8.8", head="hex"), PIN))
    assert (bolts.back, bolts.torqued) == (4, 20.0)


def test_another_specified_torque_opens_that_line_alone() -> None:
    """What was given was given against other figures."""
    new = replace(BOLTS, torque=Torque(low=30, high=40))
    bolts, pin = corrected_lines(on(*IN), (new, PIN))
    assert (bolts.back, bolts.torqued) == (4, None)
    assert pin.renewed


def test_lines_in_another_order_and_a_new_one_among_them() -> None:
    """Each finds its own, and the new one has yet to go in."""
    washer = Fastener(kind="washer", diameter=8.4, quantity=4)
    first, second, third = corrected_lines(on(*IN), (washer, PIN, BOLTS))
    assert (first.back, second, third) == (0, IN[1], IN[0])


@pytest.mark.parametrize("thread", ["M10x1.5", ""])
def test_another_fastener_asks(thread: str) -> None:
    """With what is in the machine, and nothing is guessed."""
    new = (replace(BOLTS, thread=thread), PIN)
    with pytest.raises(Refused, match=r"hub TP-001-A \(4 back, torqued\) would become another"):
        corrected_lines(on(*IN), new)
    assert "same ones" in asks(on(*IN), new)
    same, _ = corrected_lines(on(*IN), new, "same")
    assert (same.thread, same.back, same.torqued) == (thread, 4, 20.0)
    others, _ = corrected_lines(on(*IN), new, "others")
    assert (others.back, others.torqued) == (0, None)


def test_a_line_left_out_asks_too() -> None:
    """Four bolts in the machine do not vanish from the count unasked."""
    with pytest.raises(Refused, match="4 back"):
        corrected_lines(on(*IN), (PIN,))
    assert corrected_lines(on(*IN), (PIN,), "others") == (IN[1],)


def test_while_nothing_is_in_the_machine_nothing_is_asked() -> None:
    """A part still in its bag."""
    new = replace(BOLTS, thread="M10x1.5")
    assert corrected_lines(on(BOLTS, PIN), (new,)) == (new,)


def test_fewer_or_more_of_the_same() -> None:
    """Never more back than there are; one more has yet to go in."""
    [fewer, _] = corrected_lines(on(*IN), (replace(BOLTS, quantity=3), PIN))
    [more, _] = corrected_lines(on(*IN), (replace(BOLTS, quantity=5), PIN))
    assert (fewer.back, fewer.torqued) == (3, 20.0)
    assert (more.back, more.torqued) == (4, 20.0)


def test_a_known_loss_is_kept() -> None:
    """Three are in, one is lost."""
    short = replace(BOLTS, back=3, short=1, torqued=20.0)
    [kept] = corrected_lines(on(short), (replace(BOLTS, note="oiled"),))
    assert (kept.back, kept.short) == (3, 1)


def test_lines_that_say_their_own_state_are_taken_at_their_word() -> None:
    """But a torque does not outlive what was specified."""
    nearly = (replace(IN[0], back=3), replace(IN[1], renewed=False))
    assert corrected_lines(on(*IN), nearly) == nearly
    [bolts, _] = corrected_lines(on(*IN), (replace(IN[0], torque=Torque(low=30, high=40)), IN[1]))
    assert (bolts.back, bolts.torqued) == (4, None)
