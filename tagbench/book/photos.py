"""Pictures: checked by decoding, copied into the book, never moved from where they were."""

from __future__ import annotations

import hashlib
import os
import shutil
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from hashlib import blake2b
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from labels.atomic_write import PART, new_file, put_in_place
from tagbench.book.backups import BACKUP_FOLDER, link_or_copy
from tagbench.book.damage import told
from tagbench.book.durable import sync_folder
from tagbench.book.exif import taken
from tagbench.errors import BadInput
from tagbench.records import Photo, from_plain

if TYPE_CHECKING:
    from PIL import Image

    from tagbench.book.book import Book

#: The picture formats taken in, as Pillow calls them, and the ending each gets. Others, such as
#: PostScript, would start programs to be shown.
ENDINGS = {
    "JPEG": ".jpg",
    "MPO": ".jpg",
    "PNG": ".png",
    "WEBP": ".webp",
    "GIF": ".gif",
    "BMP": ".bmp",
    "TIFF": ".tif",
    "AVIF": ".avif",
    "HEIF": ".heic",
}
MOST_PIXELS = 50_000_000
"""Pixels held in memory at once while a picture is looked at, 4 bytes each."""
DECODED_SIDE = 1024
"""A plain JPEG is decoded to about this long a side, which reads it to its end all the same."""
CHECKSUM_BYTES = 16


def take_in(
    book: Book,
    source: Path,
    code: str,
    *,
    caption: str = "",
    moment: Literal["", "before", "after"] = "",
) -> Photo:
    """Copies a picture into `photos/` and gives its record, which the caller puts on the part.

    Raises `BadInput` when the file is no picture that can be decoded, `BookError` when it cannot
    be written.
    """
    ending, taken = _examined(source)
    with told(book.photos, "The picture was not taken in"):
        name = _copied(source, book.photos, code, ending)
        back_up_picture(book.photos / name)
        size, checksum = fingerprint(book.photos / name)
    photo = Photo(
        file=name,
        caption=caption,
        moment=moment,
        taken=taken,
        original=_writable(source),
        size=size,
        checksum=checksum,
    )
    return from_plain(_plain(photo), Photo)


def fingerprint(path: Path) -> tuple[int, str]:
    """Length and checksum of a picture file, as its record keeps them."""
    with path.open("rb") as file:
        checksum = hashlib.file_digest(file, lambda: blake2b(digest_size=CHECKSUM_BYTES))
        return file.tell(), checksum.hexdigest()


def is_whole(path: Path, photo: Photo) -> bool:
    """Whether a file is the picture that was taken in, as far as the record can tell."""
    if not path.is_file():
        return False
    if not photo.checksum:
        return path.stat().st_size > 0
    return path.stat().st_size == photo.size and fingerprint(path)[1] == photo.checksum


def back_up_picture(path: Path) -> None:
    """Keeps a picture once more beside the backups of the book, by a hard link where it goes."""
    place = path.parent.parent / BACKUP_FOLDER / path.parent.name
    place.mkdir(parents=True, exist_ok=True)
    link_or_copy(path, place / path.name)


@contextmanager
def all_or_none(book: Book) -> Iterator[list[Photo]]:
    """A list for the pictures of one change; they are taken away again when the change fails."""
    pictures: list[Photo] = []
    try:
        yield pictures
    except BaseException:
        for photo in pictures:
            (book.photos / photo.file).unlink(missing_ok=True)
            (book.folder / BACKUP_FOLDER / book.photos.name / photo.file).unlink(missing_ok=True)
        raise


def when_taken(source: Path) -> datetime | None:
    """When a picture was taken, from the picture itself; `BadInput` when it is none."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        with _opened(source) as picture:
            return taken(picture)


def _plain(photo: Photo) -> dict[str, object]:
    return {name: getattr(photo, name) for name in photo.__struct_fields__}


def _examined(source: Path) -> tuple[str, datetime | None]:
    """The ending for the file and when the picture was taken; decodes it to the last pixel."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # odd details that do not matter for the picture
        with _opened(source) as picture:
            _refuse_size(picture, source)
            picture.load()
            return ENDINGS[str(picture.format)], taken(picture)


def _refuse_size(picture: Image.Image, source: Path) -> None:
    """A picture that would fill the memory; a plain JPEG is decoded at a fraction of its size."""
    if picture.format in ("JPEG", "MPO") and not picture.info.get("progressive"):
        picture.draft("RGB", (DECODED_SIDE, DECODED_SIDE))
    if picture.width * picture.height > MOST_PIXELS:
        raise BadInput(f"{source} has too many pixels; make it smaller first.")


@contextmanager
def _opened(source: Path) -> Iterator[Image.Image]:
    from PIL import Image

    if not source.is_file():
        raise BadInput(f"There is no picture file {source}; check the name.")
    formats = _formats()
    try:
        with Image.open(source, formats=formats) as picture:
            yield picture
    except PermissionError as error:
        raise BadInput(f"{source} may not be read; allow reading it and try again.") from error
    except Image.DecompressionBombError as error:
        raise BadInput(f"{source} has too many pixels; make it smaller first.") from error
    except (OSError, ValueError, SyntaxError) as error:
        words = f"{source} is not a picture that can be read; {_way_out(source)}."
        raise BadInput(words) from error


def _way_out(source: Path) -> str:
    if source.suffix.lower() in (".heic", ".heif") and "HEIF" not in _formats():
        return "install the extra (.venv/bin/pip install -e '.[heic]') for HEIC, or save it as JPEG"
    return "take it again as JPEG or PNG"


def _formats() -> list[str]:
    """The formats that this installation can open, HEIC only with its extra."""
    from PIL import Image

    try:
        import pillow_heif
    except ImportError:
        pass
    else:
        pillow_heif.register_heif_opener()
    Image.init()
    return [name for name in ENDINGS if name in Image.OPEN]


def _copied(source: Path, photos: Path, code: str, ending: str) -> str:
    """Copies it whole, under the first free name of that code."""
    photos.mkdir(parents=True, exist_ok=True)
    written = photos / f".{code}.{os.getpid()}{PART}"
    with source.open("rb") as original, new_file(written) as target:
        shutil.copyfileobj(original, target)
    name = _free_name(photos, code, ending)  # from here on the name is taken
    put_in_place(written, photos / name)
    sync_folder(photos)
    return name


def _free_name(photos: Path, code: str, ending: str) -> str:
    """The next name that no picture has, whatever its ending; reserved by making the file."""
    taken = {path.stem for path in photos.iterdir()}
    number = 1
    while True:
        name = f"{code}-{number}"
        if name not in taken:
            try:
                (photos / (name + ending)).touch(exist_ok=False)
            except FileExistsError:
                pass
            else:
                return name + ending
        number += 1


def _writable(source: Path) -> str:
    """The path as text that can be written down, even with bytes that are no UTF-8."""
    return str(source.absolute()).encode("utf-8", "replace").decode()
