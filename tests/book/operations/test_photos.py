"""Pictures on parts, and a folder of them by the time they were taken (EXIF 2.32)."""

from __future__ import annotations

from datetime import datetime, timedelta
from pathlib import Path

import piexif
import pytest
from PIL import Image

from tagbench.book import Book
from tagbench.book.operations import photos
from tagbench.errors import BadInput, NotFound
from tests.book.conftest import Clock, strip


def picture(path: Path, taken: datetime | None = None) -> Path:
    """A JPEG whose EXIF says when it was taken, with its offset, written by piexif."""
    exif = piexif.dump({})
    if taken is not None:
        wall, offset = taken.strftime("%Y:%m:%d %H:%M:%S"), taken.strftime("%z")
        fields = {
            piexif.ExifIFD.DateTimeOriginal: wall.encode(),
            36881: f"{offset[:3]}:{offset[3:]}".encode(),  # OffsetTimeOriginal, 0x9011
        }
        exif = piexif.dump({"Exif": fields})
    Image.new("RGB", (32, 24), (90, 60, 30)).save(path, exif=exif)
    return path


@pytest.fixture
def shots(tmp_path: Path) -> Path:
    """A folder for pictures."""
    folder = tmp_path / "shots"
    folder.mkdir()
    return folder


def test_a_folder_is_offered_and_only_what_is_confirmed_is_attached(
    book: Book, clock: Clock, shots: Path
) -> None:
    """Each picture for the part written down just after it; the files stay where they are."""
    codes = []
    for number, name in enumerate(("drum", "shoe", "cam")):
        clock.on(minutes=20)
        codes.append(strip(book, name, removed=book.now()).code)
        picture(shots / f"{number}.jpg", clock() - timedelta(minutes=2))
    picture(shots / "no time.jpg")
    (shots / "notes.txt").write_text("not a picture")
    (shots / "broken.jpg").write_bytes(b"\xff\xd8 no picture")
    told: list[tuple[int, int]] = []
    found = photos.look_through(book, shots, lambda done, of: told.append((done, of)))
    assert told[-1] == (5, 5)
    assert len(found.unreadable) == 1
    matches = photos.propose(book, found, "TP")
    assert [match.code for match in matches] == [*codes, ""]
    assert book.revision == 3
    chosen = [(Path(match.picture), match.code) for match in matches[:2]]
    parts = photos.attach(book, chosen, moment="before")
    assert book.history(limit=1)[0].words == "added 2 photos to 2 parts"
    assert [part.photos[0].moment for part in parts] == ["before", "before"]
    assert all((book.photos / part.photos[0].file).is_file() for part in parts)
    assert len(list(shots.iterdir())) == 6
    again = photos.look_through(book, shots)
    assert [path.name for path in again.known] == ["0.jpg", "1.jpg"]
    book.undo()
    assert all(not book.records.parts[code].photos for code in codes)


def test_one_bad_picture_leaves_nothing_behind(book: Book, shots: Path) -> None:
    """All or none: no record, and no copied file."""
    code = strip(book, "drum").code
    good = picture(shots / "good.jpg")
    bad = shots / "bad.jpg"
    bad.write_bytes(b"no picture")
    with pytest.raises(BadInput, match="is not a picture"):
        photos.attach(book, [(good, code), (bad, code)])
    assert book.records.parts[code].photos == ()
    assert [path for path in book.photos.iterdir() if path.suffix == ".jpg"] == []
    with pytest.raises(NotFound):
        photos.attach(book, [(good, "TP-099-X")])
    with pytest.raises(BadInput, match="at least one picture"):
        photos.attach(book, [])


def test_several_pictures_before_and_after_with_captions(
    book: Book, clock: Clock, shots: Path
) -> None:
    """Oldest first; described by number or name; one taken off comes back with undo."""
    code = strip(book, "drum").code
    later = picture(shots / "later.jpg", clock() + timedelta(hours=1))
    earlier = picture(shots / "earlier.jpg", clock())
    (part,) = photos.attach(book, [(later, code), (earlier, code)])
    assert [Path(photo.original).name for photo in part.photos] == ["earlier.jpg", "later.jpg"]
    part = photos.describe_photo(book, code, "2", caption=" which way  round ", moment="after")
    assert (part.photos[1].caption, part.photos[1].moment) == ("which way round", "after")
    part = photos.describe_photo(book, code, part.photos[1].file, caption="x")
    assert part.photos[1].moment == "after"
    assert len(photos.drop_photo(book, code, "1").photos) == 1
    book.undo()
    assert len(book.records.parts[code].photos) == 2
    with pytest.raises(NotFound, match="no photo 7"):
        photos.drop_photo(book, code, "7")


def test_folders_that_give_nothing_are_named(book: Book, shots: Path) -> None:
    """No folder, or none with pictures."""
    with pytest.raises(BadInput, match="no folder"):
        photos.look_through(book, shots / "missing")
    with pytest.raises(BadInput, match="no pictures"):
        photos.look_through(book, shots)
