"""A few words are compared without rapidfuzz, and come out as with it."""

from __future__ import annotations

import random
import sys

import pytest
from rapidfuzz import process
from rapidfuzz.distance import OSA

from tagbench.rules.find.vocabulary import _near

WORDS = (
    "brake",
    "drake",
    "barke",
    "brakes",
    "break",
    "braket",
    "bracket",
    "rbacket",
    "shoe",
    "hub",
)


@pytest.mark.parametrize("allowed", [1, 2])
def test_both_ways_find_the_same_words_in_the_same_order(
    monkeypatch: pytest.MonkeyPatch, allowed: int
) -> None:
    """Against the library's optimal string alignment distance, over words that were slipped."""
    monkeypatch.delitem(sys.modules, "rapidfuzz")
    dice = random.Random(98)
    forms = list(WORDS)
    for word in WORDS * 20:
        at = dice.randrange(len(word) - 1)
        forms.append(word[:at] + word[at + 1] + word[at] + word[at + 2 :])
        forms.append(word[:at] + dice.choice("aekr") + word[at:])
    for word in WORDS:
        found = _near(word, forms, allowed)
        library = process.extract(
            word, forms, scorer=OSA.distance, score_cutoff=allowed, limit=None
        )
        assert found == [tuple(one) for one in library]
        assert len(found) > 10
