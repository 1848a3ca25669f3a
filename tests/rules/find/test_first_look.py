"""The first look over a large book leaves out what cannot be among the best, and nothing else."""

from __future__ import annotations

import pytest

from tagbench.rules.find import index as finding
from tagbench.rules.find.index import Found, Index
from tests.bench.books import book_of

QUESTIONS = ("four M5 screws brake shoe", "gudgen pin left", "kick start lever", "rear hub s")


@pytest.fixture(scope="module")
def index() -> Index:
    """Two thousand invented parts."""
    return Index(book_of(2_000))


def answers(index: Index) -> list[list[Found]]:
    """What is found at each key."""
    index._forget_met()
    return [
        index.find(question[:end], 30)
        for question in QUESTIONS
        for end in range(1, len(question) + 1)
    ]


@pytest.mark.parametrize(("many", "few"), [(4, 10), (0, 0), (0, 10**9), (4, 0)])
def test_the_answers_are_those_of_the_whole_look(
    index: Index, monkeypatch: pytest.MonkeyPatch, many: int, few: int
) -> None:
    """However early it is taken for enough, with one look over all parts or over few."""
    whole_looks: list[str] = []
    with_last = Index._with_last

    def counted(self: Index, *words: object) -> dict[str, float]:
        whole_looks.append("")
        return with_last(self, *words)  # type: ignore[arg-type]

    monkeypatch.setattr(Index, "_with_last", counted)
    monkeypatch.setattr(finding, "MANY", 10**9)
    whole = answers(index)
    always = len(whole_looks)
    whole_looks.clear()
    monkeypatch.setattr(finding, "MANY", many)
    monkeypatch.setattr(finding, "FEW", few)
    assert answers(index) == whole
    assert len(whole_looks) < always
