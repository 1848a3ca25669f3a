"""What completes a field, the next bag, and the other side."""

from __future__ import annotations

import pytest
from hypothesis import given, strategies as st

from tagbench.records import Bin, Part, Tables
from tagbench.rules.stripping.completion import common_names, complete, known_texts
from tagbench.rules.stripping.next_bag import next_bag
from tagbench.rules.stripping.same_again import other_side


def test_the_book_goes_before_the_table_and_the_latest_before_the_others() -> None:
    parts = [
        Part(code="TP-001-N", name="brake shoe spring", assembly="Front wheel / Brake", order=1),
        Part(code="TP-002-L", name="brake drum", assembly="Rear wheel / Brake", order=2),
    ]
    bins = {"BIN-001-E": Bin(code="BIN-001-E", name="Shelf A", kind="shelf")}
    known = known_texts(Tables(parts={part.code: part for part in parts}, bins=bins), parts)
    assert known["name"][:2] == ["brake drum", "brake shoe spring"]
    assert known["assembly"][:2] == ["Rear wheel / Brake", "Front wheel / Brake"]
    assert known["bin"] == ["Shelf A"]
    assert complete("brake s", known["name"]) == "brake shoe spring"


@pytest.mark.parametrize(
    ("typed", "field", "proposed"),
    [
        ("Brake sh", "name", "Brake shoe"),
        ("left brake sh", "name", "left brake shoe"),
        ("Middle wheel / Br", "assembly", "Middle wheel / Brake"),
        ("eng", "assembly", "engine"),
        ("punch m", "sits", "punch mark up"),
        ("", "name", ""),
        ("xyzzy", "name", ""),
    ],
)
def test_common_names_complete_the_whole_text_or_its_end(
    typed: str, field: str, proposed: str
) -> None:
    assert complete(typed, common_names(field)) == proposed


def test_every_common_name_is_there_once_and_plain() -> None:
    for field in known_texts(Tables(), []):
        names = common_names(field)
        assert len(set(map(str.casefold, names))) == len(names)
        assert all(name == " ".join(name.split()) and name.isascii() for name in names)
    assert len(common_names("name")) > 500


@given(st.text(max_size=30))
def test_what_was_typed_stays_as_it_was_typed(typed: str) -> None:
    proposed = complete(typed, common_names("name"))
    assert not proposed or (proposed.startswith(typed) and len(proposed) > len(typed))


@pytest.mark.parametrize(
    ("now", "taken", "then"),
    [
        ("Shelf A / Box 2 / Bag 7", [], "Shelf A / Box 2 / Bag 8"),
        ("Bag 7", ["bag 8", "Bag 9"], "Bag 10"),
        ("Bag 007", [], "Bag 008"),
        ("Biscuit tin", [], "Biscuit tin 2"),
        ("Box 2 / Tin", ["Box 2 / Tin 2"], "Box 2 / Tin 3"),
        ("Bag 7 small", [], "Bag 8 small"),
        ("", [], "Bag 1"),
        ("", ["Bag 1"], "Bag 2"),
    ],
)
def test_the_next_bag_is_the_next_free_number(now: str, taken: list[str], then: str) -> None:
    assert next_bag(now, taken) == then


@pytest.mark.parametrize(
    ("now", "before"),
    [
        ("Box 2 / Bag 8", "Box 2 / Bag 7"),
        ("Bag 1", "Bag 1"),
        ("Bag 010", "Bag 009"),
        ("Tin", "Tin"),
    ],
)
def test_the_bag_before_is_the_number_before(now: str, before: str) -> None:
    assert next_bag(now, ["Bag 9"], -1) == before


@pytest.mark.parametrize(
    ("side", "other"),
    [
        ("left", "right"),
        ("Right", "Left"),
        ("front left", "front right"),
        ("LH", "RH"),
        ("upper", "lower"),
        ("cleft", "cleft"),
        ("", ""),
        ("third from the front", "third from the rear"),
    ],
)
def test_the_other_side_turns_the_last_word_round(side: str, other: str) -> None:
    assert other_side(side) == other


@given(st.sampled_from(["left", "right", "front left", "inner", "outer", "upper", "drive side"]))
def test_the_other_side_of_the_other_side_is_this_side(side: str) -> None:
    assert other_side(other_side(side)) == side
