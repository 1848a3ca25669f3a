"""Typed text becomes the words that are compared."""

from __future__ import annotations

import pytest
from hypothesis import example, given, strategies as st

from tagbench.rules.find.words import fold, split, stem, stems


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("4x M5x.8x12 pan", "4 m5 m5x0.8 12mm pan"),
        ("M5 × 0,80 × 12", "m5 m5x0.8 12mm"),
        ("M5x12", "m5 12mm"),
        ("bolt M10-1.5", "bolt m10 m10x1.5"),
        ("2 × 1/4-20 x 3/4 hex", "2|1/4|1/4-20|3/4|hex"),
        ('1-1/4" bolt', "1 1/4|bolt"),
        ("#10-32 x 1/2", "#10|#10-32|1/2"),
        ("no. 10-32", "#10|#10-32"),
        ("2BA", "2ba"),
        ("5 mm", "5mm"),
        ("L/H bracket", "lh|bracket"),
        ("Box 02", "box|2"),
        ("6202ZZ", "6202zz"),
        ("backing-plate", "backing|plate"),
    ],
)
def test_threads_sizes_and_sides_have_one_spelling(typed: str, words: str) -> None:
    """However a size is typed, the words that are compared are the same."""
    assert split(typed) == tuple(words.split("|" if "|" in words else " "))


@pytest.mark.parametrize(
    ("typed", "folded"),
    [
        ("Kettenräder", "kettenrader"),
        ("Łańcuch", "lancuch"),
        ("Ørsted Æ", "orsted ae"),
        ("STRASSE straße", "strasse strasse"),
        ("ΒΊΔΑΣ βίδας", "βιδασ βιδασ"),
        ("Тормозной БАРАБАН", "тормознои барабан"),
        ("šroub", "sroub"),
    ],
)
def test_european_scripts_are_folded(typed: str, folded: str) -> None:
    """Case and accents make no difference in Latin, Greek and Cyrillic script."""
    assert fold(typed) == folded


@pytest.mark.parametrize(
    ("many", "one"),
    [
        ("screws", "screw"),
        ("bushes", "bush"),
        ("boxes", "box"),
        ("assemblies", "assembly"),
        ("shoes", "shoe"),
        ("brass", "brass"),
        ("chassis", "chassis"),
        ("four", "4"),
        ("dozen", "12"),
    ],
)
def test_plurals_and_number_words(many: str, one: str) -> None:
    """A plural is compared as the singular, a number word as its digits."""
    assert stem(many) == one


@given(st.text(max_size=60))
def test_any_text_can_be_split(text: str) -> None:
    """No text fails, and words are never empty."""
    assert all(stems(text))


@example("™")
@example("İ")
@given(st.text(max_size=40))
def test_folding_twice_changes_nothing(text: str) -> None:
    """Folded text stays as it is."""
    assert fold(fold(text)) == fold(text)
