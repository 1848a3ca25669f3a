"""The part screen says of every part what every other front end says."""

from __future__ import annotations

import pytest

from tagbench.book import Book
from tagbench.records import Part, Tables
from tagbench.rules.describe.part import describe_part, linked_parts
from tagbench.screens.part.page import above, below, heading
from tagbench.screens.part.screen import draw_near
from tests.rules.describe.books import NOW, missing_words, random_book

BOOKS = [range(first, first + 25) for first in range(0, 300, 25)]
WIDE = 200
"""Columns in which no name is cut."""


def shown(tables: Tables, part: Part) -> str:
    """All that the screen lays out."""
    facts = describe_part(tables, part, NOW)
    lines = [heading(facts).plain]
    for _, said in (*above(facts, part, tables), *below(facts, part, tables, [])):
        lines += said
    for one in linked_parts(facts):
        lines += draw_near(one, WIDE)
    return "\n".join(lines)


def check(tables: Tables) -> None:
    """Nothing of any part is left out or worded in another way."""
    for part in tables.parts.values():
        assert not missing_words(describe_part(tables, part, NOW), shown(tables, part)), part.code


def test_of_every_part_of_the_demo(demo_book: Book) -> None:
    """Some sixty parts, every state among them."""
    check(demo_book.records)


@pytest.mark.sampled(12)
@pytest.mark.parametrize("seeds", BOOKS, ids=str)
def test_of_every_part_of_random_books(seeds: range) -> None:
    """Every kind of fact in every mix."""
    for seed in seeds:
        check(random_book(seed))
