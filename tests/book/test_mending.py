"""Mending starts from what is good, goes on with the history, and names what is lost."""

from __future__ import annotations

from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.book.check import check_book, mend_book
from tagbench.book.layout import SCHEMA
from tagbench.errors import BookDamaged, BookTooNew, NotFound
from tagbench.records import Tables, replace
from tests.book.conftest import Clock, strip, strip_slowly


@pytest.fixture
def sound(book: Book, folder: Path, clock: Clock) -> Tables:
    """Ten changes, backups in between; the records as they should be again."""
    for number in range(10):
        strip_slowly(book, f"part {number}")
        clock.on(minutes=4)
    return book.records


def _backups(folder: Path) -> list[Path]:
    return sorted((folder / "backups").glob("book-*"))


def _cut_lines(path: Path, start: int, stop: int) -> None:
    lines = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join(lines[:start] + lines[stop:]))


def test_a_sound_book_needs_no_mending(sound: Tables, folder: Path) -> None:
    """And is not written."""
    before = (folder / "book.json").stat()
    report = mend_book(folder)
    assert (report.ok, report.problems, report.mended, report.lost) == (True, (), (), False)
    assert (folder / "book.json").stat() == before


@pytest.mark.parametrize("damage", [b"", b"{", b"\0" * 500])
def test_backup_and_history_bring_everything_back(
    sound: Tables, folder: Path, damage: bytes
) -> None:
    """Nothing is lost, undo works on, and the damaged file is kept."""
    (folder / "book.json").write_bytes(damage)
    report = mend_book(folder)
    assert report.ok
    assert any("No change is lost" in line for line in report.mended)
    assert [path.read_bytes() for path in (folder / "backups").glob("damaged-*")] == [damage]
    with Book(folder) as again:
        assert again.records == sound
        assert again.undo().words == "took off part 9"
        strip(again, "after")
    assert check_book(folder).ok


def test_a_missing_book_is_brought_back(sound: Tables, folder: Path) -> None:
    """There is no damaged file to keep then."""
    (folder / "book.json").unlink()
    assert mend_book(folder).ok
    with Book(folder) as again:
        assert again.records == sound


def test_the_history_alone_is_enough(sound: Tables, folder: Path) -> None:
    """Without any backup."""
    for path in _backups(folder):
        path.unlink()
    (folder / "book.json").write_bytes(b"")
    report = mend_book(folder)
    assert report.ok
    assert "from the beginning of the history" in " ".join(report.mended)
    with Book(folder) as again:
        assert again.records == sound


def test_without_history_the_lost_changes_are_named(sound: Tables, folder: Path) -> None:
    """By number; the codes that were in them stay given out, and new ones keep clear of them."""
    book = folder / "book.json"
    book.write_bytes(book.read_bytes()[:-2])
    (folder / "history.jsonl").unlink()
    revision = int(_backups(folder)[-1].name.split("-")[1])
    assert revision < 10
    report = mend_book(folder)
    assert report.ok
    told = " ".join(report.mended)
    lost = f"Changes {revision + 1} to 10 are lost" if revision < 9 else "Change 10 is lost"
    assert lost in told
    assert "holds other records of" in told
    with Book(folder) as again:
        assert len(again.records.parts) == revision
        assert strip(again, "after").code.startswith("TP-11")
        assert again.undo().words == "took off after"
    assert check_book(folder).ok


def test_a_hole_in_the_history_loses_only_what_was_in_it(sound: Tables, folder: Path) -> None:
    """Later changes are still taken in."""
    for path in _backups(folder):
        path.unlink()
    (folder / "book.json").write_bytes(b"")
    _cut_lines(folder / "history.jsonl", 4, 5)
    report = mend_book(folder)
    assert report.ok
    assert any(line.startswith("Change 5 is lost") for line in report.mended)
    with Book(folder) as again:
        names = [part.name for part in again.records.parts.values()]
    assert names == [f"part {number}" for number in range(10) if number != 4]


def test_with_nothing_else_the_whole_lines_are_saved(sound: Tables, folder: Path) -> None:
    """Neither backup nor history: what can still be read of the damaged file counts."""
    for path in [*_backups(folder), folder / "history.jsonl"]:
        path.unlink()
    book = folder / "book.json"
    text = book.read_bytes()
    book.write_bytes(text[: text.index(b"part 7") + 3])
    report = mend_book(folder)
    assert "its lines that are whole" in " ".join(report.mended)
    with Book(folder) as again:
        names = {part.name for part in again.records.parts.values()}
        assert names == {f"part {number}" for number in range(7)}
        assert strip(again, "after").code not in sound.tags
    assert mend_book(folder).ok


@pytest.mark.parametrize("history", [b"", b"x", b'{"number":'])
def test_saving_whole_lines_never_says_that_nothing_is_lost(
    sound: Tables, folder: Path, history: bytes
) -> None:
    """The first line alone still names the last change, but holds no record."""
    for path in _backups(folder):
        path.unlink()
    (folder / "history.jsonl").write_bytes(history)
    book = folder / "book.json"
    book.write_bytes(book.read_bytes()[:60])
    said = " ".join(mend_book(folder).mended)
    assert "0 records could be read" in said
    assert "No change is lost" not in said
    with Book(folder) as again:
        assert strip(again, "after").code not in sound.tags


def test_a_torn_last_line_is_set_aside(sound: Tables, folder: Path) -> None:
    """It is kept as a file; the book was never told that it had been saved."""
    with (folder / "history.jsonl").open("ab") as file:
        file.write(b'{"number":11,"at":"2024')
    assert "broken off" in " ".join(check_book(folder).problems)
    with Book(folder) as again:
        assert again.records == sound
    report = mend_book(folder)
    assert report.ok
    torn = list((folder / "backups").glob("torn-*"))
    assert [path.read_bytes() for path in torn] == [b'{"number":11,"at":"2024']


def test_the_next_change_sets_a_torn_line_aside_too(sound: Tables, folder: Path) -> None:
    """Without the person having to know."""
    with (folder / "history.jsonl").open("ab") as file:
        file.write(b'{"number":11,"at":"2024')
    with Book(folder) as again:
        strip(again, "after")
        assert again.history()[0].number == 11
    assert check_book(folder).ok
    assert list((folder / "backups").glob("torn-*"))


def test_a_damaged_history_of_a_sound_book_is_begun_anew(sound: Tables, folder: Path) -> None:
    """The records stay as they are; the old history is kept, its changes cannot be undone."""
    path = folder / "history.jsonl"
    text = path.read_bytes()
    path.write_bytes(text.replace(b"took off part 3", b"took \xff off part 3"))
    problems = check_book(folder).problems
    assert any("Line 4 of history.jsonl" in line for line in problems)
    report = mend_book(folder)
    assert report.ok
    assert "cannot be taken back" in " ".join(report.mended)
    with Book(folder) as again:
        assert again.records == sound
        assert not again.history()
        strip(again, "after")
        assert again.history()[0].number == 11
    assert check_book(folder).ok


@pytest.mark.parametrize("lines_left", [None, 0, 7])
def test_a_lost_history_of_a_sound_book_is_told_until_it_is_mended(
    sound: Tables, folder: Path, lines_left: int | None
) -> None:
    """The book opens and works on; later saves do not hide that earlier changes are gone."""
    path = folder / "history.jsonl"
    if lines_left is None:
        path.unlink()
    else:
        _cut_lines(path, lines_left, 10)
    lost = "changes 1 to 10 can no longer be taken back"
    assert lost in " ".join(check_book(folder).problems)
    with Book(folder) as again:
        assert again.records == sound
        assert lost in again.fault
        strip(again, "after")
        assert again.undo().words == "took off after"
        assert lost in again.fault
    assert lost in " ".join(check_book(folder).problems)
    assert mend_book(folder).ok
    with Book(folder) as again:
        assert again.fault == ""
        assert again.records.parts == sound.parts
    assert check_book(folder).ok
    assert len(list((folder / "backups").glob("history-*"))) == (1 if lines_left else 0)


def test_line_ends_and_a_mark_of_an_editor_are_told_and_mended(sound: Tables, folder: Path) -> None:
    """An editor that saves with another end of line alters every line."""
    path = folder / "history.jsonl"
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n"))
    with Book(folder) as again:
        assert "was altered" in again.fault
        assert again.records == sound
    assert mend_book(folder).ok
    with Book(folder) as again:
        assert again.records == sound
        assert again.fault == ""


def test_an_old_backup_put_in_place_by_hand_catches_up(sound: Tables, folder: Path) -> None:
    """The history holds what came after it."""
    (folder / "book.json").write_bytes(_backups(folder)[0].read_bytes())
    with Book(folder) as again:
        assert again.records == sound
        assert again.revision == 10


def test_an_unreadable_backup_is_told_and_put_out_of_the_way(sound: Tables, folder: Path) -> None:
    """So that nobody relies on it."""
    bad = _backups(folder)[0]
    bad.unlink()
    bad.write_bytes(b"{}")
    assert bad.name in " ".join(check_book(folder).problems)
    assert mend_book(folder).ok
    assert not bad.exists()
    assert (folder / "backups" / f"damaged-{bad.name}").exists()


def test_missing_tags_and_low_counters_are_set_right(sound: Tables, folder: Path) -> None:
    """So that no code is given out twice; as a change that is in the history."""
    first = min(sound.parts)
    with Book(folder) as again, again.change("break") as transaction:
        transaction.set("tags", first, None)
        transaction.set("desk", "desk", replace(transaction.records.desk, serials={"TP": 2}))
    problems = " ".join(check_book(folder).problems)
    assert f"The part {first} has no tag" in problems
    highest = max(int(code.split("-")[1]) for code in sound.tags if code.startswith("TP"))
    assert f"The counter of TP is below {highest}" in problems
    report = mend_book(folder)
    assert report.ok
    assert len(report.mended) == 2
    with Book(folder) as again:
        assert again.records == sound


def test_a_newer_book_is_not_mended(sound: Tables, folder: Path) -> None:
    """It is not damaged."""
    book = folder / "book.json"
    book.write_bytes(book.read_bytes().replace(b'"schema":%d' % SCHEMA, b'"schema":99'))
    before = book.read_bytes()
    for verb in (mend_book, check_book):
        with pytest.raises(BookTooNew, match="not touched; open it with the newer one"):
            verb(folder)
    assert book.read_bytes() == before


def test_no_book_at_all_is_said(folder: Path) -> None:
    """A mistyped folder is not a sound book."""
    for verb in (mend_book, check_book):
        with pytest.raises(NotFound, match="--book DIR"):
            verb(folder)
    assert not folder.exists()


@pytest.mark.parametrize("round_", range(8))
def test_mending_any_cut_of_book_and_history_leaves_a_sound_book(
    sound: Tables, folder: Path, round_: int
) -> None:
    """Whatever was torn off, the mended book is sound and holds no record that never was."""
    for name, share in (("book.json", 0.12 * round_), ("history.jsonl", 0.9 - 0.11 * round_)):
        path = folder / name
        text = path.read_bytes()
        path.write_bytes(text[: int(len(text) * share)])
    with pytest.raises(BookDamaged):
        Book(folder)
    report = mend_book(folder)
    assert report.ok, report
    with Book(folder) as again:
        for code, part in again.records.parts.items():
            assert sound.parts[code] == part
        new = strip(again, "after").code
    assert new not in sound.tags
    whole = len(again.records.parts) == len(sound.parts) + 1
    assert whole == ("No change is lost" in " ".join(report.mended))
