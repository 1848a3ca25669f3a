"""Two slips in each word, and no blanks between the words: still among the first five.

The questions are made by `slips.py` and were not used to choose any figure of the program.
"""

from __future__ import annotations

import random
from functools import cache

from tagbench.rules.find.index import Index
from tests.rules.find.slips import large_book, questions, with_slips
from tests.rules.making import part, tables

SEED, ASKED, SHOWN = 4711, 100, 5


@cache
def large() -> Index:
    """Three thousand parts by common names."""
    return Index(large_book(3_000, SEED))


def answered(texts: list[tuple[str, object]]) -> int:
    """How many of the questions have their part among the first five."""
    return sum(
        any(question.is_answered_by(hit.part) for hit in large().find(text, SHOWN))  # type: ignore[attr-defined]
        for text, question in texts
    )


def test_two_slips_in_each_word_leave_three_of_four_among_the_first_five() -> None:
    """Transposed, left out, doubled, or the key beside it; words of three letters typed right."""
    dice = random.Random(SEED)
    asked: list[tuple[str, object]] = []
    for words, question in questions(large_book(3_000, SEED), ASKED, SEED):
        dice.shuffle(words)
        asked.append((" ".join(with_slips(word, 2, dice) for word in words), question))
    assert answered(asked) >= 75


def test_words_run_together_are_taken_apart() -> None:
    """All the words of a question without a blank, 95 of 100 among the first five."""
    told = questions(large_book(3_000, SEED), ASKED, SEED + 1)
    assert answered([("".join(words), question) for words, question in told]) >= 95


def test_a_word_of_the_book_is_never_taken_apart() -> None:
    """Nor is one that holds a piece which is no word."""
    index = Index(tables(part(1, "gearbox"), part(2, "gear"), part(3, "box")))
    assert index.find("gearbox")[0].part.name == "gearbox"
    assert not index.find("gearqqbox")[1:2] or index.find("gearqqbox")[0].score < 1


def test_an_exact_word_is_not_answered_by_a_far_one() -> None:
    """A word that the book has means no other two slips away."""
    index = Index(tables(part(1, "cover"), part(2, "lever")))
    assert [hit.part.name for hit in index.find("cover")] == ["cover"]
