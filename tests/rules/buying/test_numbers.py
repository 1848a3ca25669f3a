"""Part numbers are the same however they are typed, and a chain is followed to its end."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, strategies as st

from tagbench.errors import BadInput, NotFound, Refused
from tagbench.records import PartNumber
from tagbench.rules.buying.part_numbers import (
    add_number,
    drop_number,
    follow,
    known_numbers,
    plain_number,
    same_parts,
    supersede,
    to_order,
)
from tagbench.rules.find.index import Index
from tests.rules.making import code, part, tables

DIGITS = st.text("0123456789ABCXYZ", min_size=1, max_size=12)


def numbers(*chain: str, last: str = "original") -> tuple[PartNumber, ...]:
    """Each superseded by the next."""
    return (
        *(
            PartNumber(number=old, status="superseded", superseded_by=new)
            for old, new in pairwise(chain)
        ),
        PartNumber(number=chain[-1], status=last),  # type: ignore[arg-type]
    )


@given(number=DIGITS, blanks=st.lists(st.sampled_from(" -./"), max_size=12))
def test_blanks_and_dashes_make_no_difference(number: str, blanks: list[str]) -> None:
    """Anything that is no letter and no digit may stand anywhere, in any case."""
    typed = number
    for at, blank in enumerate(blanks):
        place = at * 3 % (len(typed) + 1)
        typed = typed[:place] + blank + typed[place:]
    assert plain_number(typed.lower()) == number


@given(st.lists(DIGITS, min_size=2, max_size=8, unique=True))
def test_a_chain_is_followed_to_its_end(chain: list[str]) -> None:
    """However long: the last number is the one to order."""
    found = to_order(part(1, part_numbers=numbers(*chain)))
    assert found.number == chain[-1]
    assert found.chain == tuple(chain)


@given(st.lists(DIGITS, min_size=1, max_size=6, unique=True), st.integers(0, 5))
def test_any_loop_is_refused_and_spelled_out(chain: list[str], back: int) -> None:
    """Wherever a chain runs back into itself, every number of the loop is named."""
    into = chain[back % len(chain)]
    known = known_numbers([part(1, part_numbers=numbers(*chain, into)[:-1])])
    with pytest.raises(Refused) as refusal:
        follow(chain[0], known)
    for number in chain[chain.index(into) :]:
        assert number in str(refusal.value)


def test_a_loop_is_refused_when_it_is_typed() -> None:
    """Superseding the last number by the first is refused, and the part stays as it was."""
    old = part(1, part_numbers=numbers("4711", "47-12"))
    loop = "47-12 is superseded by 4711, which is superseded by 47-12"
    with pytest.raises(Refused, match=loop):
        supersede(old, "4712", "4711")


def test_an_obsolete_number_asks_for_its_substitute() -> None:
    """The substitute is ordered, with what differs; without one, nothing can be ordered."""
    chain = numbers("A1", "A2", last="obsolete")
    other = PartNumber(number="S9", status="substitute", differs="two holes more")
    with_other = to_order(part(1, part_numbers=(*chain, other)))
    assert (with_other.number, with_other.substitute) == ("S9", True)
    assert with_other.words == "order S9, a substitute for A1 → A2: two holes more"
    without = to_order(part(1, part_numbers=chain))
    assert without.number == ""
    assert without.words == "A1 → A2 is obsolete and no substitute is known"


def test_what_another_part_knows_is_used() -> None:
    """A number superseded on one part is superseded on all."""
    told, asks = part(1, part_numbers=numbers("A-1", "A-2")), part(2, part_numbers=numbers("a1"))
    assert to_order(asks, known_numbers([told, asks])).number == "A-2"
    assert to_order(asks).number == "a1"
    assert to_order(part(3)).words == "no part number"


def test_the_same_part_elsewhere_is_recognised() -> None:
    """By the same number however typed, or by one that took its place; own machine first."""
    left = part(1, "felt seal", part_numbers=numbers("12-34"))
    right = part(9, "felt seal", part_numbers=numbers("1234", "77"))
    newer = part(5, "felt ring", part_numbers=numbers("7 7"))
    other = part(6, "drum", part_numbers=numbers("88"))
    assert same_parts(tables(left, right, newer, other), left) == [newer, right]


def test_numbers_are_added_changed_and_dropped() -> None:
    """The same number is never kept twice."""
    bare = part(1)
    one = add_number(bare, PartNumber(number="12  34"))
    assert [n.number for n in one.part_numbers] == ["12 34"]
    again = add_number(one, PartNumber(number="1234", status="obsolete"))
    assert [n.status for n in again.part_numbers] == ["obsolete"]
    assert drop_number(again, "12-34").part_numbers == ()
    with pytest.raises(NotFound, match="it has 12 34"):
        drop_number(one, "99")
    with pytest.raises(BadInput):
        add_number(bare, PartNumber(number=" - "))
    with pytest.raises(BadInput, match="takes the place"):
        supersede(one, "1234", " ")


def test_a_superseding_number_is_found_too() -> None:
    """Find knows a part by the number that took its number's place."""
    index = Index(tables(part(1, "seal", part_numbers=numbers("12-34", "98-76")[:1])))
    assert index.find("9876")[0].part.code == code(1)
