"""Books for the screens: an empty one, and one with a small brake in it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from PIL import Image

from tagbench.book import Book
from tagbench.book.operations.machines import add
from tagbench.book.operations.strip import StripForm, strip_part
from tagbench.trade.fasteners.text import parse_fasteners

if TYPE_CHECKING:
    from tests.screens.every_card import Full

NOW = datetime(2025, 11, 3, 19, 30, tzinfo=timezone(timedelta(hours=1)))
BRAKE = "Front wheel / Brake"


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[Book]:
    """A book in which nothing is written yet."""
    with Book(tmp_path / "book", now=lambda: NOW) as book:
        yield book


@pytest.fixture
def brake(empty: Book) -> Book:
    """A machine TP with a drum, behind it four backing plate screws, behind them the plate."""
    add(empty, "Tarnbrook Packman", "TP")
    shelf = "Shelf A / Box 2 / Bag 7"
    drum = strip_part(empty, StripForm(name="brake drum", assembly=BRAKE, bin=shelf))
    screws = strip_part(
        empty,
        StripForm(
            name="backing plate screws",
            assembly=BRAKE,
            fasteners=parse_fasteners("4x M5x0.8x12 pan"),
            bin=shelf,
            behind=(drum.code,),
        ),
    )
    strip_part(
        empty,
        StripForm(name="backing plate", assembly=BRAKE, position="left", behind=(screws.code,)),
    )
    return empty


@pytest.fixture
def picture(tmp_path: Path) -> Path:
    """A picture on the disk, outside the book."""
    path = tmp_path / "pictures" / "hub.png"
    path.parent.mkdir()
    Image.new("RGB", (64, 48), "orange").save(path)
    return path


@pytest.fixture(scope="session")
def full_folder(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, tuple[str, str, str]]:
    """The folder of a book with something of every kind in it, and three codes; made once."""
    from tests.screens.every_card import full_book

    folder = tmp_path_factory.mktemp("full")
    Image.new("RGB", (64, 48), "orange").save(folder / "hub.png")
    with Book(folder / "book", now=lambda: NOW) as book:
        return folder / "book", full_book(book, folder / "hub.png")


@pytest.fixture
def full(full_folder: tuple[Path, tuple[str, str, str]], tmp_path: Path) -> Iterator[Full]:
    """A copy of that book."""
    from tests.screens.every_card import Full

    folder, codes = full_folder
    shutil.copytree(folder, tmp_path / "book")
    with Book(tmp_path / "book", now=lambda: NOW) as book:
        yield Full(book, *codes)
