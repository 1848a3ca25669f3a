"""Pictures are checked by decoding, copied under a name of their own, never moved."""

from __future__ import annotations

import random
import sys
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import piexif
import pytest
from PIL import Image

from tagbench.book import Book
from tagbench.book.photos import take_in
from tagbench.errors import BadInput, BookError
from tagbench.records import replace
from tests.book.conftest import strip


@pytest.fixture
def picture(tmp_path: Path) -> Path:
    path = tmp_path / "IMG 1234.JPG"
    Image.effect_noise((64, 48), 80).convert("RGB").save(path, "JPEG")
    return path


def test_the_original_is_copied_and_stays(book: Book, picture: Path) -> None:
    """Byte for byte, under the part's code; where it came from is written down."""
    part = strip(book, "hub")
    photo = take_in(book, picture, part.code, caption="as it came off", moment="before")
    assert photo.file == f"{part.code}-1.jpg"
    assert (photo.caption, photo.moment) == ("as it came off", "before")
    assert photo.original == str(picture)
    assert (book.photos / photo.file).read_bytes() == picture.read_bytes()
    assert [path.name for path in book.photos.iterdir()] == [photo.file]


def test_names_are_numbered_and_never_reused(book: Book, picture: Path, tmp_path: Path) -> None:
    """Whatever the ending."""
    png = tmp_path / "drawing.png"
    Image.new("1", (20, 20)).save(png)
    names = [take_in(book, source, "TP-001-N").file for source in (picture, png, picture)]
    assert names == ["TP-001-N-1.jpg", "TP-001-N-2.png", "TP-001-N-3.jpg"]


@pytest.mark.parametrize(
    ("form", "ending"),
    [("PNG", "png"), ("GIF", "gif"), ("BMP", "bmp"), ("TIFF", "tif"), ("WEBP", "webp")],
)
def test_the_ending_follows_what_the_picture_is(
    book: Book, tmp_path: Path, form: str, ending: str
) -> None:
    """Not what its name says."""
    source = tmp_path / "picture.dat"
    Image.new("RGB", (20, 20), "red").save(source, form)
    assert take_in(book, source, "TP-001-N").file == f"TP-001-N-1.{ending}"


def test_when_it_was_taken_comes_from_the_picture(book: Book, tmp_path: Path) -> None:
    """EXIF 2.32 DateTimeOriginal and OffsetTimeOriginal, written with piexif."""
    source = tmp_path / "a.jpg"
    tags = {
        piexif.ExifIFD.DateTimeOriginal: b"2024:05:06 07:08:09",
        piexif.ExifIFD.OffsetTimeOriginal: b"+02:00",
    }
    Image.new("RGB", (20, 20)).save(source, exif=piexif.dump({"Exif": tags}))
    expected = datetime(2024, 5, 6, 7, 8, 9, tzinfo=timezone(timedelta(hours=2)))
    assert take_in(book, source, "TP-001-N").taken == expected


@pytest.mark.parametrize("text", [b"0000:00:00 00:00:00", b"", b"yesterday", b"\xff" * 19])
def test_a_senseless_time_in_the_picture_is_no_obstacle(
    book: Book, tmp_path: Path, text: bytes
) -> None:
    """Cameras without a set clock write zeros."""
    source = tmp_path / "a.jpg"
    exif = piexif.dump({"Exif": {piexif.ExifIFD.DateTimeOriginal: text}})
    Image.new("RGB", (20, 20)).save(source, exif=exif)
    assert take_in(book, source, "TP-001-N").taken is None


def test_a_picture_without_a_time_has_none(book: Book, picture: Path) -> None:
    """The time of the file says only when it was copied."""
    assert take_in(book, picture, "TP-001-N").taken is None


def test_what_is_no_picture_is_refused_in_one_sentence(book: Book, tmp_path: Path) -> None:
    """Text, an empty file, a folder, nothing at all; nothing is copied."""
    text = tmp_path / "notes.jpg"
    text.write_text("not a picture")
    empty = tmp_path / "empty.png"
    empty.touch()
    for source, told in (
        (text, "is not a picture that can be read"),
        (empty, "is not a picture that can be read"),
        (tmp_path, "no picture file"),
        (tmp_path / "gone.jpg", "no picture file"),
    ):
        with pytest.raises(BadInput, match=told):
            take_in(book, source, "TP-001-N")
    assert not book.photos.exists() or not list(book.photos.iterdir())


def test_postscript_is_refused(book: Book, tmp_path: Path) -> None:
    """Pillow would start another program to draw it."""
    source = tmp_path / "drawing.eps"
    Image.new("RGB", (20, 20)).save(source, "EPS")
    with pytest.raises(BadInput, match="not a picture that can be read"):
        take_in(book, source, "TP-001-N")


@pytest.mark.parametrize("form", ["JPEG", "PNG", "GIF", "TIFF", "WEBP", "BMP"])
def test_damaged_pictures_are_refused_and_never_raise_anything_else(
    book: Book, tmp_path: Path, form: str
) -> None:
    """Cut short and with bytes overwritten, at places chosen once and for all."""
    source = tmp_path / "picture"
    Image.effect_noise((40, 30), 90).convert("RGB").save(source, form)
    whole = source.read_bytes()
    chance = random.Random(form)
    refused = 0
    for _ in range(40):
        damaged = bytearray(whole[: chance.randrange(len(whole))])
        for _ in range(min(4, len(damaged))):
            damaged[chance.randrange(len(damaged))] = chance.randrange(256)
        source.write_bytes(damaged)
        try:
            take_in(book, source, "TP-001-N")
        except BadInput:
            refused += 1
    assert refused > 20


def test_heic_without_its_extra_says_what_to_install(
    book: Book, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Phones take it by default."""
    monkeypatch.setitem(sys.modules, "pillow_heif", None)
    monkeypatch.delitem(Image.OPEN, "HEIF", raising=False)
    source = tmp_path / "IMG_0001.HEIC"
    source.write_bytes(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic")
    with pytest.raises(BadInput, match=r"install the extra .*heic"):
        take_in(book, source, "TP-001-N")


def test_a_picture_that_would_fill_the_memory_is_refused(
    book: Book, picture: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Pillow's own limit, set low for the test."""
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", 100)
    with pytest.raises(BadInput, match="too many pixels"):
        take_in(book, picture, "TP-001-N")


def test_a_full_disk_leaves_no_half_picture(
    book: Book, picture: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One sentence, and the folder as it was."""

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("shutil.copyfileobj", full)
    with pytest.raises(BookError, match="The picture was not taken in because the disk is full"):
        take_in(book, picture, "TP-001-N")
    assert list(book.photos.iterdir()) == []


def test_taken_times_survive_the_book(book: Book, picture: Path) -> None:
    """The record goes through the file and back."""
    part = strip(book, "hub")
    photo = take_in(book, picture, part.code)
    with book.change("photo") as transaction:
        transaction.put(
            replace(part, photos=(replace(photo, taken=datetime(2024, 1, 2, tzinfo=UTC)),))
        )
    with Book(book.folder) as again:
        assert again.records.parts[part.code].photos[0].taken == datetime(2024, 1, 2, tzinfo=UTC)
