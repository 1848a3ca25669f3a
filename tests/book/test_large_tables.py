"""A large book is read piece by piece and keeps equal values once; what it says stays the same."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone
from pathlib import Path

import msgspec
import pytest

from tagbench.book import Book, memory
from tagbench.book.layout import header_in, parsed_file
from tagbench.book.memory import Memory
from tagbench.errors import BookDamaged
from tagbench.records import Fastener, Part, Record, TorquePass

HERE, ELSEWHERE = timezone(timedelta(hours=2)), timezone(timedelta(hours=1))
MOMENTS = (datetime(2024, 5, 1, 19, tzinfo=HERE), datetime(2024, 5, 1, 18, tzinfo=ELSEWHERE))
"""The same moment, told by two clocks."""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Three hundred parts, alike in much."""
    line = Fastener(quantity=4, thread="M5x0.8", length=12)
    torqued = Fastener(thread="M6x1", passes=(TorquePass(given=4.0, at=MOMENTS[1]),))
    with Book(tmp_path / "book") as book, book.change("many parts") as draft:
        for number in range(300):
            draft.put(
                Part(
                    code=draft.new_code("TP"),
                    name=f"plate {number % 7}",
                    assembly="Front wheel / Brake",
                    note='a line\nand, {another} one: "x"' if number % 5 == 0 else "",
                    removed=MOMENTS[number % 2],
                    fasteners=(line, line) if number % 3 else (torqued,),
                    order=number,
                )
            )
    return tmp_path / "book"


def loaded(data: bytes) -> Memory:
    """What a book file holds."""
    found = Memory()
    found.load(data)
    return found


def as_written(record: Record) -> str:
    """Everything that it says, offsets of moments and kinds of figures too."""
    return repr(record)


def test_pieces_give_the_same_records(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The same keys in the same order, the same values down to the offset of each moment."""
    data = (folder / "book.json").read_bytes()
    whole = loaded(data).tables.parts
    monkeypatch.setattr(memory, "LARGE", 1)
    monkeypatch.setattr(memory, "PIECE", 700)
    pieces = loaded(data).tables.parts
    assert list(pieces) == list(whole)
    assert list(map(as_written, pieces.values())) == list(map(as_written, whole.values()))


def test_equal_values_are_one_object(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Texts, moments with one offset, lines of fasteners."""
    monkeypatch.setattr(memory, "LARGE", 1)
    parts = loaded((folder / "book.json").read_bytes()).tables.parts.values()
    assert len({id(part.assembly) for part in parts}) == 1
    assert len({id(part.removed) for part in parts}) == len(MOMENTS)
    assert len({id(part.fasteners) for part in parts if len(part.fasteners) == 2}) == 1


def test_a_table_that_others_laid_out_is_read_whole(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where records share lines a piece is no JSON; nothing is lost."""
    data = (folder / "book.json").read_bytes()
    _, tables = parsed_file(data)
    spread = bytes(tables["parts"]).replace(b',"', b',\n"')
    monkeypatch.setattr(memory, "LARGE", 1)
    monkeypatch.setattr(memory, "PIECE", 700)
    rows = memory._decoded({"parts": msgspec.Raw(spread)}, unseen=False)
    assert list(map(as_written, rows["parts"].values())) == list(
        map(as_written, loaded(data).tables.parts.values())
    )


def test_the_header_alone_is_that_of_the_whole_file(folder: Path) -> None:
    """Its seal still covers every record: one letter changed anywhere is damage."""
    data = (folder / "book.json").read_bytes()
    assert header_in(data) == parsed_file(data)[0]
    at = data.rindex(b"plate")
    for broken in (data[:at] + b"q" + data[at + 1 :], data[:-40], data[:20], b"{}", b""):
        with pytest.raises(BookDamaged):
            header_in(broken)


def test_the_edits_of_one_record_are_told_without_the_others(folder: Path) -> None:
    """And a change is found by its record either way."""
    with Book(folder) as book:
        code = list(book.records.parts)[150]
        [whole], [bare] = book.history(code), book.history(code, whole=False)
        assert (bare.number, bare.at, bare.words) == (whole.number, whole.at, whole.words)
        assert {edit.key for edit in bare.edits} == {code}
        assert all(edit in whole.edits for edit in bare.edits)
