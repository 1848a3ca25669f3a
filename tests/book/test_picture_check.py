"""Pictures count as records: measured when taken in, verified, backed up, swept."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image

from tagbench.book import Book
from tagbench.book.check import check_book, mend_book
from tagbench.book.photos import fingerprint, take_in
from tagbench.records import Photo, replace
from tests.book.conftest import strip


@pytest.fixture
def photo(book: Book, tmp_path: Path) -> Photo:
    """A picture on a part."""
    source = tmp_path / "hub.png"
    Image.effect_noise((40, 30), 60).save(source)
    part = strip(book, "hub")
    taken = take_in(book, source, part.code)
    with book.change("photo") as transaction:
        transaction.put(replace(part, photos=(taken,)))
    return taken


def test_size_and_checksum_are_kept(book: Book, photo: Photo) -> None:
    """Of the file as it lies in the book."""
    assert (photo.size, photo.checksum) == fingerprint(book.photos / photo.file)
    assert check_book(book.folder).ok


@pytest.mark.parametrize("damage", ["gone", "empty", "altered", "cut"])
def test_a_damaged_picture_is_told_and_comes_back(book: Book, photo: Photo, damage: str) -> None:
    """From its one backup, which is not a second copy on the disk where hard links go."""
    path = book.photos / photo.file
    whole = path.read_bytes()
    kept = book.folder / "backups" / "photos" / photo.file
    assert kept.stat().st_ino == path.stat().st_ino
    path.unlink()
    if damage != "gone":
        spoiled = {"empty": b"", "altered": whole[:-9] + bytes(9), "cut": whole[:-9]}
        path.write_bytes(spoiled[damage])
    (problem,) = check_book(book.folder).problems
    assert photo.file in problem
    assert "brings it back from its backup" in problem
    report = mend_book(book.folder)
    assert report.ok
    assert "is back from its backup" in " ".join(report.mended)
    assert path.read_bytes() == whole


def test_left_over_and_half_copied_files_are_named_and_swept(book: Book, photo: Photo) -> None:
    """They are no fault, so the book is sound all the same; nothing whole is thrown away."""
    half = book.photos / ".TP-009-1-2.jpg.77.part"
    half.write_bytes(b"half")
    orphan = book.photos / "TP-009-1-1.jpg"
    orphan.write_bytes(b"picture")
    report = check_book(book.folder)
    assert report.ok
    assert [name in " ".join(report.notes) for name in (half.name, orphan.name)] == [True, True]
    mend_book(book.folder)
    assert not half.exists()
    assert not orphan.exists()
    swept = book.folder / "backups" / "left-over-photos" / orphan.name
    assert swept.read_bytes() == b"picture"
    assert check_book(book.folder).notes == ()


def test_a_picture_taken_back_and_put_back_is_there(book: Book, photo: Photo) -> None:
    """Sweeping in between does not lose it."""
    book.undo()
    mend_book(book.folder)
    book.redo()
    mend_book(book.folder)
    assert check_book(book.folder).ok
    assert (book.photos / photo.file).is_file()
