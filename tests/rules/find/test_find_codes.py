"""A query that is written as a code is answered by codes: never by another one alone."""

from __future__ import annotations

import pytest
from hypothesis import given, settings, strategies as st

from labels.code import ALPHABET, make_code
from tagbench.records import Bin, Part, PartNumber
from tagbench.rules.find.index import Index
from tagbench.rules.find.once import find_once
from tests.examples import examples
from tests.rules.making import bin_code, part, screws, tables

BOX, BAG = bin_code(5), bin_code(7)
BINS = (Bin(code=BOX, name="Tin 3", kind="tin"), Bin(code=BAG, name="Jets", kept_in=BOX))
PARTS: tuple[Part, ...] = (
    *(part(serial, f"part {serial}", fasteners=(screws(serial),)) for serial in range(1, 30)),
    part(61, "clutch cable", note="114 strands"),
    part(86, "brake drum", bin=BOX),
    part(92, "main jet", bin=BAG),
    part(117, "tail lamp"),
)
BOOK = tables(*PARTS, bins=BINS)
INDEX = Index(BOOK)
SERIALS = st.integers(1, 140)


def names(words: str) -> list[str]:
    """The serials found, as text, and the same from the index made for one question."""
    found = [hit.part.code for hit in INDEX.find(words, 40)]
    assert [hit.part.code for hit in find_once(BOOK, words, 40)] == found
    return [str(int(one.split("-")[1])) for one in found]


@settings(max_examples=examples(50), deadline=None)
@given(
    serial=SERIALS,
    check=st.sampled_from(ALPHABET),
    mark=st.sampled_from(["TP", "PT", "XX", "tp"]),
    spelled=st.sampled_from(["{m}-{s:03d}-{c}", "{m}-{s:03d}", "{m} {s}", "{m}{s:03d}", "{m}{s}"]),
)
def test_another_code_is_never_the_only_answer(
    serial: int, check: str, mark: str, spelled: str
) -> None:
    """Wrong number, wrong mark, wrong check character: nothing, or at least two to choose from."""
    typed = spelled.format(m=mark, s=serial, c=check)
    found = INDEX.find(typed, 40)
    if len(found) == 1:
        assert mark.upper() == "TP", (typed, found[0].part.code)
        assert int(found[0].part.code.split("-")[1]) == serial, (typed, found[0].part.code)
        assert not found[0].slip


def test_a_check_character_behind_its_hyphen_is_no_figure_of_the_number() -> None:
    """`TP-008-6` with a wrong check character is not number 86, though 86 is in the book."""
    wrong = next(sign for sign in "62" if make_code("TP", 8)[-1] != sign)
    assert names(f"TP-008-{wrong}")[:1] == ["8"]
    assert INDEX.find(f"TP-008-{wrong}")[0].slip


def test_a_code_without_the_zeros_before_its_number_is_the_same_code() -> None:
    """`TP-1-N` is `TP-001-N`, never number 10 or 1 of another check character."""
    for serial in (1, 9, 12):
        mark, number, check = make_code("TP", serial).split("-")
        assert names(f"{mark}-{int(number)}-{check}") == [str(serial)]


@pytest.mark.parametrize(
    "typed", ["TP-114", "tp 114", "TP114", "tag TP-114", "XX-012", "xx 61", "xx-61"]
)
def test_a_code_that_is_not_here_is_answered_by_no_size(typed: str) -> None:
    """A figure in a code does not look for counts, lengths or notes with that figure."""
    assert names(typed) == []


@pytest.mark.parametrize("typed", ["tag 61", "61", "bag TP-061", "code tp61", "TP.061"])
def test_what_a_code_is_called_does_not_hide_it(typed: str) -> None:
    assert names(typed)[:1] == ["61"]


@pytest.mark.parametrize("typed", [BOX, BOX.replace("-", ""), "BIN-005", "bin005", "bin 5"])
def test_the_code_of_a_bin_lists_what_is_in_it_and_in_the_bins_within(typed: str) -> None:
    assert names(typed) == ["86", "92"]


def test_the_code_of_a_bin_that_is_not_here_finds_nothing() -> None:
    assert names("BIN-099") == []


@pytest.mark.parametrize("number", ["TP-4417", "XX-012-3"])
def test_a_part_number_that_looks_like_a_code_is_still_found(number: str) -> None:
    numbered = part(140, "oil seal", part_numbers=(PartNumber(number=number),))
    index = Index(tables(*PARTS, numbered, bins=BINS))
    assert index.find(number)[0].part == numbered


def test_a_mark_of_one_letter() -> None:
    """`A` is the mark of a machine not yet named; an M thread is none of machine M."""
    for mark in "AM":
        book = tables(
            *(Part(code=make_code(mark, at), name="part", order=at) for at in (1, 2, 9)),
            part(3, "cover", fasteners=(screws(7, "M8x1.25"),)),
        )
        index = Index(book)
        assert index.find(f"{mark}-007") == []
        assert [hit.part.order for hit in index.find(f"{mark}-002")] == [2]
        assert index.find("M8")[0].part.name == "cover"


def test_a_whole_code_without_zeros_and_hyphens_is_the_code() -> None:
    """A letter at its end that is no figure on paper can only be the check character."""
    (code,) = (one.code for one in PARTS if one.name == "main jet")
    assert code.endswith("M")
    assert names("tp92m") == ["92"]
    assert names("TP92M") == ["92"]


def test_words_beside_a_code_are_looked_for() -> None:
    """`tp 61 clutch` is no code any more; the words count."""
    assert names("tp 61 clutch")[0] == "61"
