"""What was acknowledged outlasts programs that die, disks that fail and bits that tip over.

The suite runs a short round of each; `pytest -m long tests/faults -s` runs them all and prints how
many were tried, survived and lost.
"""

from __future__ import annotations

import os
import random
from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.book.check import check_book, mend_book
from tagbench.errors import BookDamaged, BookError, BookTooNew
from tests.book.conftest import strip
from tests.faults.harness import (
    EIO,
    NO_SPACE,
    Table,
    an_evening,
    at_call,
    damaged,
    dies_at,
    fail,
    flipped,
    grown,
    state,
)

ROUNDS = [
    pytest.param("short", id="short"),
    pytest.param("long", id="long", marks=pytest.mark.long),
]


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a process that can be forked")
@pytest.mark.parametrize("round_", ROUNDS)
def test_a_program_that_dies_before_any_call_loses_nothing(tmp_path: Path, round_: str) -> None:
    """The book opens as it was acknowledged last, or one change further; mended, it is sound."""
    table = Table("killed before a call")
    number, step = 1, 1 if round_ == "long" else 6
    while True:
        folder = tmp_path / f"book-{number}"
        died, acknowledged = dies_at(number, lambda tell, at=folder: an_evening(at, tell))  # type: ignore[misc]
        last = acknowledged[-1] if acknowledged else ""
        expected = {last}
        expected |= {"TP-001-N part 0 "} if not acknowledged else set()
        with Book(folder) as book:
            ok = last == state(book) or _one_further(folder, acknowledged, state(book))
            strip(book, "after")
        ok = ok and not mend_book(folder).problems
        table.survive() if ok else table.lose(f"call {number}")
        if not died:
            break
        number += step
    print(f"\n{table}")
    assert not table.lost
    assert table.tried >= (40 if round_ == "long" else 7)


def _one_further(folder: Path, acknowledged: list[str], now: str) -> bool:
    """Whether the state is that of the next change, which was saved but not yet acknowledged."""
    whole: list[str] = []
    an_evening(folder.with_suffix(".whole"), whole.append)
    after = len(acknowledged)
    return after < len(whole) and whole[:after] == acknowledged and whole[after] == now


@pytest.mark.parametrize("round_", ROUNDS)
def test_a_call_that_fails_is_told_and_loses_nothing(tmp_path: Path, round_: str) -> None:
    """A save that is told to have failed is not there; one that is told is there."""
    table = Table("a call that fails")
    for code in (NO_SPACE, EIO):
        number, step = 1, 1 if round_ == "long" else 4
        while True:
            folder = tmp_path / f"book-{code}-{number}"
            book = grown(folder, 3)
            before = state(book)
            with at_call(number, fail(code)) as made:
                try:
                    strip(book, "washer")
                    saved = True
                except BookError:
                    saved = False
                told = state(book)
                try:
                    book.checkpoint()
                except BookError as error:
                    assert str(error).startswith("Everything is saved")
            with Book(folder) as again:
                ok = state(again) == told and (told != before) == saved
            safe = ok and check_book(folder).ok
            table.survive() if safe else table.lose(f"{code} at call {number}")
            if len(made) < number:
                break
            number += step
    print(f"\n{table}")
    assert not table.lost


@pytest.mark.parametrize("round_", ROUNDS)
@pytest.mark.parametrize("name", ["book.json", "history.jsonl"])
def test_a_tipped_bit_is_never_silent_and_mending_ends(
    tmp_path: Path, name: str, round_: str
) -> None:
    """Opening tells of it, and the mended book is sound and honest about what is lost."""
    table = Table(f"bits tipped over in {name}")
    folder = tmp_path / "book"
    with grown(folder) as book:
        whole = state(book)
        strip_last = book.revision
    _reopen_with_tail(folder)
    files = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    with Book(folder) as book:
        whole, strip_last = state(book), book.revision
    chance = random.Random(name)
    for number in range(2000 if round_ == "long" else 150):
        _restore(folder, files)
        (folder / name).write_bytes(flipped(files[folder / name], chance))
        told = _opening_tells(folder)
        ok, why = _mended_well(folder, whole, strip_last) if number % 5 == 0 else (True, "")
        table.survive() if told and ok else table.lose(f"{number}: told {told}, {why}")
    print(f"\n{table}")
    assert not table.lost, table.lost[:5]


@pytest.mark.parametrize("round_", ROUNDS)
def test_book_and_history_damaged_together_are_mended_honestly(tmp_path: Path, round_: str) -> None:
    """Mending ends, the book is sound, nothing is kept back, and no loss is denied."""
    table = Table("book and history both damaged")
    folder = tmp_path / "book"
    grown(folder)
    files = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    with Book(folder) as book:
        whole, last = state(book), book.revision
    chance = random.Random(400)
    for number in range(400 if round_ == "long" else 40):
        _restore(folder, files)
        broken = {}
        for name in ("book.json", "history.jsonl"):
            broken[name] = damaged(files[folder / name], chance)
            (folder / name).write_bytes(broken[name])
        if number % 3 == 0:
            (folder / "history.end").unlink()
        ok, why = _mended_well(folder, whole, last)
        kept = [path.read_bytes() for path in folder.rglob("*") if path.is_file()]
        for name, data in broken.items():
            if data and data != files[folder / name] and not _kept(folder, data, kept):
                ok, why = False, f"the damaged {name} was not kept"
        table.survive() if ok else table.lose(f"{number}: {why}")
    print(f"\n{table}")
    assert not table.lost, table.lost[:5]


def _kept(folder: Path, data: bytes, kept: list[bytes]) -> bool:
    """Whether the bytes are still there: in one file, or as the history and its torn end."""
    if any(data in one for one in kept):
        return True
    torn = [path.read_bytes() for path in (folder / "backups").glob("torn-*")]
    history = (folder / "history.jsonl").read_bytes()
    return any(data.endswith(end) and history.startswith(data[: -len(end)]) for end in torn)


def _reopen_with_tail(folder: Path) -> None:
    """A few more changes that are in the history only."""
    book = Book(folder)
    for number in range(3):
        strip(book, f"late {number}")


def _restore(folder: Path, files: dict[Path, bytes]) -> None:
    for path in [*folder.rglob("*")]:
        if path.is_file() and path not in files:
            path.unlink()
    for path, data in files.items():
        path.write_bytes(data)


def _opening_tells(folder: Path) -> bool:
    try:
        with Book(folder) as book:
            return bool(book.fault)
    except (BookDamaged, BookTooNew):
        return True


def _mended_well(folder: Path, whole: str, last: int) -> tuple[bool, str]:
    try:
        report = mend_book(folder)
    except BookTooNew:
        return True, ""  # a figure that says so cannot be told from a newer book
    except BookError as error:
        return False, f"mending ended with {error}"
    if not report.ok:
        return False, f"not sound: {report.problems[:2]}"
    said = " ".join(report.mended)
    with Book(folder) as book:
        lost = state(book) != whole
        strip(book, "after")
    if lost and ("No change is lost" in said or not report.lost):
        return False, f"a loss is denied: {said}"
    return True, ""
