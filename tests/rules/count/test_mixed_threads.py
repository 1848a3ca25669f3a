"""Threads of one machine that are mistaken for one another."""

from __future__ import annotations

from tagbench.rules.count.mixed_threads import mixed_with, new_mix_ups, threads_on
from tagbench.trade.fasteners.text import parse_fasteners
from tests.rules.machines import clean, code, tables

PLATE = clean(1, name="plate", fasteners=parse_fasteners("4x M5x0.8x12 pan; washer 5.3x10"))
COVER = clean(2, name="cover", fasteners=parse_fasteners("2x M8x20 hex; M5x0.8x20 pan"))


def test_each_thread_of_a_machine_is_known_by_the_first_part_that_has_it() -> None:
    """Unthreaded things have none; the part in hand can be left out."""
    assert threads_on([PLATE, COVER]) == {"M5x0.8": code(1), "M8x1.25": code(2)}
    assert threads_on([PLATE, COVER], but=code(1)) == {"M8x1.25": code(2), "M5x0.8": code(2)}


def test_what_a_thread_is_mistaken_for_is_told_with_its_part() -> None:
    """M5x0.8 and #10-32 differ by 0.8 % in pitch; M8 starts nowhere near."""
    [found] = mixed_with("#10-32 UNF", threads_on([PLATE, COVER]))
    assert (found.thread, found.code) == ("M5x0.8", code(1))
    assert found.words == f"starts in M5x0.8 of {code(1)}"
    assert "the diameter tells them apart" in found.sentence


def test_the_way_round_is_told() -> None:
    """A 2BA screw starts in an M5 hole and an M5 screw in no 2BA hole."""
    [found] = mixed_with("M5x0.8", {"2BA": code(3)})
    assert found.words == f"2BA of {code(3)} starts in it"
    [back] = mixed_with("2BA", {"M5x0.8": code(1)})
    assert back.words == f"starts in M5x0.8 of {code(1)}"


def test_spellings_from_elsewhere_and_the_same_thread_are_passed_over() -> None:
    """Neither is a mix-up."""
    assert mixed_with("left over", {"M5x0.8": code(1)}) == []
    assert mixed_with("M5x0.8", {"M5x0.8": code(1), "left over": code(2)}) == []


def test_a_new_part_is_warned_of_once_for_each_pair() -> None:
    """Pairs that the machine had before are not told again."""
    odd = clean(3, name="odd", fasteners=parse_fasteners("#10-32 x 3/4 pan"))
    more = clean(4, name="more", fasteners=parse_fasteners("#10-32 x 1/2 pan"))
    assert len(new_mix_ups(tables([PLATE, odd]), odd)) == 1
    assert new_mix_ups(tables([PLATE, odd, more]), more) == []
