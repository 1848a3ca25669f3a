"""`tagbench demo` without a terminal: the main job in text."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

import pypdfium2
import pytest
import zxingcpp

from demo.walk import SHEET, walk
from tagbench.book import Book
from tagbench.trade.fasteners.spelling import spell


@pytest.fixture
def folder(demo_book: Book, tmp_path: Path) -> Path:
    """A copy of the demo book that may be changed."""
    shutil.copytree(demo_book.folder, tmp_path / "book", ignore=shutil.ignore_patterns("*lock*"))
    return tmp_path / "book"


def walked(folder: Path) -> list[str]:
    """The lines of a walk."""
    lines: list[str] = []
    walk(folder, lines.append)
    return lines


def test_the_walk_records_prints_reads_back_and_finds(folder: Path) -> None:
    lines = walked(folder)
    text = "\n".join(lines)
    with Book(folder) as book:
        newest = book.records.parts_of("TP")[-1]
        screws = next(p for p in book.records.parts.values() if p.name == "Backing plate screws")
    assert newest.name == "Prop stand"
    assert text.count(newest.code) >= 3
    assert f"{newest.code} is the part Prop stand, from Frame" in text
    assert "in bag Plate screws, in box Biscuit tin, on Upper shelf" in text
    assert f"show {screws.code}" in text
    assert spell(screws.fasteners[0]) in text
    assert any(line.strip().startswith("sits how") for line in lines)


def test_the_sheet_holds_the_new_tag_for_an_independent_reader(folder: Path) -> None:
    walked(folder)
    with pypdfium2.PdfDocument(folder / SHEET) as sheet:
        page = sheet[0].render(scale=300 / 72).to_pil()
    read = {found.text for found in zxingcpp.read_barcodes(page)}
    with Book(folder) as book:
        newest = book.records.parts_of("TP")[-1]
        screws = next(b for b in book.records.bins.values() if b.name == "Plate screws")
        assert {newest.code, newest.bin, screws.code} < read
        assert book.records.bins[newest.bin].name == "Prop stand bag"
        assert not any(tag.queued for tag in book.records.tags.values())
    assert len(read) == 7  # the new part and its new bag, and five that were too oily to read


def test_each_walk_takes_off_the_next_thing(folder: Path) -> None:
    for _ in range(4):
        walked(folder)
    with Book(folder) as book:
        frame = [part for part in book.records.parts_of("TP") if part.assembly == "Frame"]
    assert [part.name for part in frame] == ["Prop stand", "Footboard", "Tool box", "Prop stand"]
    assert [part.behind for part in frame[1:]] == [(part.code,) for part in frame[:-1]]


def test_without_a_reader_for_pictures_the_walk_says_so_and_goes_on(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "zxingcpp", None)  # as if it were not installed
    text = "\n".join(walked(folder))
    assert "pip install -e '.[scan]'" in text
    assert "is the part Prop stand, from Frame" in text
