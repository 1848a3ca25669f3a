"""Whatever is tried in whatever order, nothing is ever shut in unasked."""

from __future__ import annotations

import random
from pathlib import Path

import networkx as nx
import pytest

from labels.code import make_code
from tagbench.book import Book
from tagbench.book.operations.building import fit_part, take_off_again
from tagbench.errors import BadInput, Refused
from tagbench.records import Machine, replace
from tagbench.rules.rebuild.overview import build_overview
from tagbench.rules.rebuild.reach import reach_part
from tests.book.conftest import Clock
from tests.rules.machines import MARK, codes_on, graph, random_machine


def filled(folder: Path, dice: random.Random) -> Book:
    """A book with a random machine, all in pieces, its codes with real check characters."""
    made = random_machine(dice, dice.choice(("scattered", "dense", "deep", "wide")), on=0.0)
    coded = {one: str(make_code(MARK, int(one.split("-")[1]))) for one in made.parts}
    book = Book(folder, now=Clock())
    with book.change("took a machine apart") as transaction:
        transaction.put(Machine(mark=MARK, name="Tarnbrook Packman"))
        for one, part in made.parts.items():
            behind = tuple(coded[other] for other in part.behind)
            transaction.put(replace(part, code=coded[one], behind=behind))
    return book


@pytest.mark.parametrize("seed", range(25))
def test_nothing_is_shut_in_and_nothing_comes_off_from_underneath(
    seed: int, tmp_path: Path
) -> None:
    """Refused exactly when networkx says that something is in the way, and then not written."""
    dice = random.Random(seed)
    with filled(tmp_path / "book", dice) as book:
        drawn = graph(book.records)
        for _ in range(40):
            code = dice.choice(sorted(book.records.parts))
            on = codes_on(book.records)
            if dice.random() < 0.7:
                ready = code in build_overview(book.records, MARK).ready or code in on
                assert _allowed(fit_part, book, code) == ready
            else:
                free = code in on and not nx.descendants(drawn, code) & on
                assert _allowed(take_off_again, book, code) == free
            now = codes_on(book.records)
            assert all(nx.ancestors(drawn, one) <= now for one in now)
        _dig_out(book, dice)


def _dig_out(book: Book, dice: random.Random) -> None:
    """What reach says comes off in its order, step by step, without a refusal."""
    on = sorted(codes_on(book.records))
    if on:
        code = dice.choice(on)
        for outer in reach_part(book.records, code).take_off:
            take_off_again(book, outer)
        assert reach_part(book.records, code).take_off == []
        take_off_again(book, code)


def _allowed(verb: object, book: Book, code: str) -> bool:
    before = book.revision
    try:
        verb(book, code)  # type: ignore[operator]
    except (Refused, BadInput):
        assert book.revision == before
        return False
    return True
