"""A part and its screws, typed as one line in the field of the name."""

from __future__ import annotations

from pathlib import Path

from tagbench.book import Book
from tagbench.book.operations.strip import StripForm, strip_part
from tagbench.trade.fasteners.text import parse_fasteners


def test_the_screws_come_out_of_the_name(tmp_path: Path) -> None:
    with Book(tmp_path / "book") as book:
        part = strip_part(book, StripForm("cover: 2 long at 12 and 6, 3 short else"))
        assert part.name == "cover"
        assert [(line.quantity, line.place) for line in part.fasteners] == [
            (2, "long, 12 and 6 o'clock"),
            (3, "short, all other holes"),
        ]
        assert book.history()[0].words == f"took off cover {part.code}"


def test_a_name_with_a_colon_and_fasteners_of_its_own_stay_as_they_are(tmp_path: Path) -> None:
    with Book(tmp_path / "book") as book:
        part = strip_part(book, StripForm("Cover: left one"))
        assert (part.name, part.fasteners) == ("Cover: left one", ())
        said = "cover: 2 long at 12 and 6, 3 short else"
        part = strip_part(book, StripForm(said, fasteners=parse_fasteners("4x M6x20")))
        assert part.name == said
