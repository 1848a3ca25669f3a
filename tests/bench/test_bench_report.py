"""A report with photos, against Pillow making the same pictures small."""

from __future__ import annotations

import io
import os
from pathlib import Path

import pytest
from PIL import Image

from tagbench.book import Book
from tagbench.book.operations.machines import add
from tagbench.book.operations.strip import StripForm, strip_in
from tagbench.records import Photo, replace
from tagbench.reports.kinds import write_report
from tagbench.reports.photo_data import LONGEST_SIDE
from tagbench.reports.request import ReportRequest
from tests.bench.rows import TABLE, Wanted, milliseconds, reached

pytestmark = pytest.mark.bench

PICTURES, ACROSS, DOWN = 21, 4000, 3000
"""A tenth of the pictures of a whole machine, each of 12 MP."""
EACH_MS = 12_000 / 210
"""A book of 210 pictures is wanted in 12 seconds."""


def picture(path: Path) -> None:
    """A picture of 12 MP that is as hard to decode as one from a garage: grain all over."""
    grain = Image.frombytes("L", (ACROSS // 8, DOWN // 8), os.urandom(ACROSS * DOWN // 64))
    grain.resize((ACROSS, DOWN), Image.Resampling.BICUBIC).convert("RGB").save(path, quality=88)


def test_a_book_with_photos(tmp_path: Path) -> None:
    """Each picture is decoded at a reduced size and written down once."""
    with Book(tmp_path / "book") as book:
        add(book, "Tarnbrook Packman", "TP")
        book.photos.mkdir(parents=True)
        picture(book.photos / "one.jpg")
        with book.change("parts with pictures") as transaction:
            for number in range(PICTURES):
                file = f"{number}.jpg"
                (book.photos / file).write_bytes((book.photos / "one.jpg").read_bytes())
                part = strip_in(transaction, StripForm(name=f"part {number}", assembly="Cab"))
                transaction.put(replace(part, photos=(Photo(file=file),)))
        tables = book.records
        told: list[tuple[int, int]] = []
        request = ReportRequest(
            tables=tables,
            machine=tables.machines["TP"],
            printed=book.now(),
            photos=book.photos,
            progress=lambda done, total: told.append((done, total)),
        )

        def ours() -> None:
            write_report("book", tmp_path / "book.html", request)

        def theirs() -> None:
            for number in range(PICTURES):
                with Image.open(book.photos / f"{number}.jpg") as one:
                    one.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))
                    one.convert("RGB").save(io.BytesIO(), "JPEG", quality=80)

        row = TABLE.compare(
            f"book with {PICTURES} photos of 12 MP",
            "Pillow making them small",
            PICTURES,
            milliseconds(ours),
            milliseconds(theirs),
            Wanted(most=EACH_MS * PICTURES),
            turns=2,
        )
        assert told[-1] == (PICTURES, PICTURES)
    assert (tmp_path / "book.html").read_text(encoding="utf-8").count("data:image/jpeg") == PICTURES
    reached(row)
