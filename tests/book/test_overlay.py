"""A table in two layers says what a dict would say, and what was handed out never changes."""

from __future__ import annotations

import threading
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType

import pytest
from hypothesis import given, strategies as some

from tagbench.book import Book, overlay
from tagbench.book.overlay import DraftTable, OverlayTable
from tagbench.records import Machine, Part, Record, replace
from tagbench.rules.find.index import Index

KEYS = [f"TP-{number}" for number in range(12)]
NEVER = "TP-999"
STEPS = some.lists(
    some.tuples(
        some.sampled_from(("put", "put", "put", "drop", "walk", "save", "save")),
        some.sampled_from(KEYS),
    ),
    max_size=60,
)
"""Put or drop a record, walk through all of them, or save: begin the next change."""


def part(key: str, order: int = 0) -> Part:
    """A part that can be told from the one before it."""
    return Part(code=key, name="nut", order=order)


def says_the_same(table: Mapping[str, Record], wanted: dict[str, Record]) -> None:
    """Every question a Mapping answers, in an order that asks single records before all of them."""
    for key in (*KEYS, NEVER):
        assert (key in table) is (key in wanted)
        assert table.get(key) is wanted.get(key)
        assert table.get(key, key) is wanted.get(key, key)
        if key in wanted:
            assert table[key] is wanted[key]
        else:
            with pytest.raises(KeyError):
                table[key]
    assert len(table) == len(wanted)
    assert list(table) == list(wanted)
    assert list(table.keys()) == list(wanted)
    assert list(table.values()) == list(wanted.values())
    assert list(table.items()) == list(wanted.items())
    if isinstance(table, OverlayTable):
        assert list(reversed(table)) == list(reversed(wanted))
    assert dict(table) == {**table} == wanted
    assert table == wanted and wanted == table and table == MappingProxyType(wanted)
    assert table != {**wanted, NEVER: part(NEVER)}
    assert table == OverlayTable(dict(wanted), {})
    assert len(table) == len(wanted)


@pytest.mark.parametrize("small", [0, overlay.SMALL])
@given(start=some.lists(some.sampled_from(KEYS), unique=True), steps=STEPS)
def test_a_table_goes_on_as_a_dict_does(
    small: int, start: list[str], steps: list[tuple[str, str]]
) -> None:
    """Any sequence of changes, beside a dict; each state that was saved is asked again at the
    end, when all later changes are made."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(overlay, "SMALL", small)
        table: Mapping[str, Record] = MappingProxyType({key: part(key) for key in start})
        wanted: dict[str, Record] = dict(table)
        saved, draft = [(table, dict(wanted))], DraftTable(table)
        for number, (step, key) in enumerate(steps):
            if step == "put":
                wanted[key] = part(key, number)
                draft.put(key, wanted[key])
            elif step == "drop":
                wanted.pop(key, None)
                draft.drop(key)
            elif step == "walk":
                assert list(draft.values()) == list(wanted.values())
            else:
                table = draft.finished()
                saved.append((table, dict(wanted)))
                draft = DraftTable(table)
            assert draft.get(key) is wanted.get(key)
            assert len(draft) == len(wanted)
        says_the_same(draft, wanted)
        for state, then in saved:
            says_the_same(state, then)


@pytest.fixture
def copies(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """How many records each copy had that was made of a table."""
    made: list[int] = []
    copied = overlay._copied

    def watched(rows: Mapping[str, Record]) -> dict[str, Record]:
        made.append(len(rows))
        return copied(rows)

    monkeypatch.setattr(overlay, "_copied", watched)
    return made


def test_a_small_change_of_a_large_table_copies_no_table(copies: list[int]) -> None:
    """Neither the change nor asking for single records; but a walk through all of them does."""
    table: Mapping[str, Record] = {str(number): part("") for number in range(overlay.SMALL)}
    for number in range(20):
        draft = DraftTable(table)
        draft.put(str(number), part("", 1))
        draft.put(f"new {number}", part("", 2))
        table = draft.finished()
        assert table[f"new {number}"] is draft.get(f"new {number}")
        assert len(table) == overlay.SMALL + number + 1
    assert not copies
    list(table)
    list(table.values())
    assert len(copies) == 1


def test_what_lies_over_a_table_stays_small(copies: list[int]) -> None:
    """A long list that is taken in at once makes one copy, as soon as that is the better way."""
    draft = DraftTable({str(number): part("") for number in range(overlay.SMALL)})
    for number in range(5_000):
        draft.put(f"new {number}", part(""))
    assert copies == [overlay.SMALL]
    assert isinstance(draft.finished(), dict)


def test_two_threads_may_ask_at_once() -> None:
    """Whoever walks first, each sees the whole table."""
    for _ in range(50):
        table = OverlayTable({key: part(key) for key in KEYS}, {NEVER: part(NEVER)})
        seen: list[tuple[list[str], int, bool]] = []

        def ask(
            table: OverlayTable = table, seen: list[tuple[list[str], int, bool]] = seen
        ) -> None:
            seen.append((list(table), len(table), NEVER in table))

        threads = [threading.Thread(target=ask) for _ in range(4)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert seen == [([*KEYS, NEVER], len(KEYS) + 1, True)] * 4


def test_a_book_with_large_tables_is_the_same_after_every_save(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Here, to another program that takes the changes in, and to one that opens the book anew;
    what was handed out before stays as it was, and Find knows every change."""
    monkeypatch.setattr(overlay, "SMALL", 0)
    folder = tmp_path / "book"
    with Book(folder) as book, Book(folder) as other:
        with book.change("a machine") as transaction:
            transaction.put(Machine(mark="TP", name="Tarnbrook Packman"))
            codes = [transaction.new_code("TP") for _ in range(40)]
            for code in codes:
                transaction.put(Part(code=code, name="plain nut"))
        index, before = Index(book.records), book.records
        for number, code in enumerate(codes[:8]):
            with book.change("renamed") as transaction:
                transaction.put(replace(transaction.records.parts[code], name=f"drum {number}"))
                made = transaction.new_code("TP")
                transaction.put(Part(code=made, name="hub", order=number))
            assert issubclass(type(book.records.parts), OverlayTable)
            assert book.records.parts[made].name == "hub"
            if number % 3 == 0:
                book.undo()
                assert made not in book.records.parts
            index.refresh(book.records)
            other.refresh()
            assert other.records == book.records
            assert list(other.records.parts) == list(book.records.parts)
            hits = {found.part.code for found in index.find("hub")}
            assert hits == {c for c, p in book.records.parts.items() if p.name == "hub"}
        assert list(before.parts) == codes
        assert {record.name for record in before.parts.values()} == {"plain nut"}
        now = book.records
    with Book(folder) as again:
        assert again.records == now
