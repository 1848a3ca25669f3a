"""The index of dangerous parts says what its tables say, and every form of a term is found."""

from __future__ import annotations

from pathlib import Path

import pytest

import tagbench.trade
from tagbench.trade.torque import danger_index
from tagbench.trade.torque.danger_words import danger_words
from tagbench.trade.torque.word_forms import inflected, roots, slips

KEPT = Path(tagbench.trade.__file__).with_name("tables") / "danger_index.json"


def test_the_index_is_that_of_the_tables() -> None:
    """Else write it anew: `python -m tagbench.trade.torque.danger_index`."""
    assert KEPT.read_bytes() == danger_index.index_of_tables()


def test_every_plural_of_a_dangerous_word_is_found_where_it_is_looked_for() -> None:
    """No plural and no umlaut may change the letters by which the terms are put apart."""
    words, sought = danger_words(), 0
    for _number, language, term in danger_index._dangers()[1]:
        said = danger_index.WORD.findall(term)
        if len(said) != 1 or said[0].casefold() in words.dropped:
            continue
        forms = roots(said[0], language) if term.endswith("-") else inflected(said[0], language)
        missed = [form for form in forms if words.exact(form) is None]
        assert not missed, term
        sought += len(forms)
    assert sought > 4000


@pytest.mark.parametrize(
    ("said", "meant", "most"),
    [("brakke", "brake", 1), ("barke", "brake", 1), ("tursting", "trusting", 1), ("ab", "cd", 2)],
)
def test_words_too_far_apart_are_told_by_their_letters_alone(
    said: str, meant: str, most: int
) -> None:
    """Each letter that one word lacks is a slip at least, so nothing within the slips is lost."""
    assert slips(said, meant, most)
    assert not slips(said, "xyzxyz", most)
