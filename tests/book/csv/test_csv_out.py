"""What goes out can be read by other programs, and comes in again as it was."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings, strategies as st
from PIL import Image

from labels.errors import NoFolderError
from tagbench.book import Book
from tagbench.book.csv.reader import read_csv, take_in_list
from tagbench.book.csv.writer import book_json, write_json, write_parts
from tagbench.book.operations import machines
from tagbench.errors import BadInput
from tagbench.records import Bin, Part, replace
from tagbench.trade.fasteners.text import parse_fasteners
from tests.book.conftest import strip
from tests.book.csv.test_csv_in import LIST
from tests.examples import examples


def _bare(part: Part, names: dict[str, str]) -> Part:
    """Without what a new book gives anew: the code, when it came off, names of pictures."""
    return replace(
        part,
        code="A-001-N",
        removed=None,
        bin="",
        photos=(),
        behind=tuple(names.get(code, code) for code in part.behind),
        fasteners=tuple(replace(line, typed="") for line in part.fasteners),
    )


def test_a_list_goes_out_and_comes_in_again(book: Book, tmp_path: Path) -> None:
    """Into another book: same parts, bins, pictures, same things behind each other."""
    Image.new("RGB", (20, 20), "red").save(tmp_path / "hub.png")
    (tmp_path / "parts.csv").write_text(LIST, encoding="utf-8")
    parts = read_csv(book, tmp_path / "parts.csv")
    write_parts(tmp_path / "out.csv", book.records, book.photos)
    with Book(tmp_path / "other") as other:
        again = read_csv(other, tmp_path / "out.csv")
        names = dict(zip((p.code for p in again), (p.code for p in parts), strict=True))
        assert [_bare(part, names) for part in again] == [_bare(part, {}) for part in parts]
        assert [len(part.photos) for part in again] == [0, 0, 1]
        assert sorted(bin_.name for bin_ in other.records.bins.values()) == sorted(
            bin_.name for bin_ in book.records.bins.values()
        )


TEXT = st.text(st.characters(exclude_categories=["Cc", "Cf", "Cs", "Zl", "Zp"]), max_size=12).map(
    lambda text: " ".join(text.split())
)


@settings(
    max_examples=examples(60),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(
    rows=st.lists(
        st.tuples(TEXT.filter(bool), TEXT, TEXT, TEXT, st.integers(1, 999)), min_size=1, max_size=4
    )
)
def test_any_text_survives_the_way_out_and_in(
    tmp_path_factory: pytest.TempPathFactory, rows: list[tuple[str, str, str, str, int]]
) -> None:
    """Quotation marks, delimiters, any script."""
    folder = tmp_path_factory.mktemp("csv")
    with Book(folder / "one") as one, Book(folder / "two") as two:
        parts = [
            strip(one, name, position=position, sits_how=sits, note=note, quantity=quantity)
            for name, position, sits, note, quantity in rows
        ]
        write_parts(folder / "out.csv", one.records, one.photos)
        again = read_csv(two, folder / "out.csv")
        for before, after in zip(parts, again, strict=True):
            for field in ("name", "position", "sits_how", "note", "quantity"):
                assert getattr(before, field) == getattr(after, field)


def test_the_file_is_plain_csv(book: Book, tmp_path: Path) -> None:
    """As RFC 4180 describes it, with the mark of UTF-8, read by Python's csv module."""
    strip(book, 'hub "A"; left, ü', fasteners=parse_fasteners("4x M5x0.8x12 pan"))
    path = tmp_path / "out.csv"
    write_parts(path, book.records, book.photos)
    assert path.read_bytes().startswith(b"\xef\xbb\xbfref,name,")
    assert path.read_bytes().endswith(b"\r\n")
    with path.open(encoding="utf-8-sig", newline="") as file:
        (row,) = csv.DictReader(file)
    assert row["name"] == 'hub "A"; left, ü'
    assert row["fasteners"] == "4x M5x0.8x12 pan"


def test_one_machine_can_go_out_alone(book: Book, tmp_path: Path) -> None:
    """Of two in the book."""
    strip(book, "hub")
    with book.change("other") as transaction:
        transaction.put(Part(code=transaction.new_code("XY"), name="rim"))
    path = tmp_path / "out.csv"
    write_parts(path, book.records, book.photos, mark="XY")
    assert "rim" in path.read_text(encoding="utf-8")
    assert "hub" not in path.read_text(encoding="utf-8")


def test_the_whole_book_as_json_has_every_field(book: Book, tmp_path: Path) -> None:
    """Defaults too, so that a reader needs to know nothing."""
    part = strip(book, "hub ü")
    with book.change("bin") as transaction:
        transaction.put(Bin(code=transaction.new_code("BIN"), name="Bag 1"))
    path = tmp_path / "book-out.json"
    write_json(path, book.records, book.revision)
    whole = json.loads(path.read_text(encoding="utf-8"))
    assert whole == json.loads(json.dumps(book_json(book.records, book.revision)))
    assert whole["revision"] == 2
    assert whole["parts"][0]["code"] == part.code
    assert set(whole["parts"][0]) == set(Part.__struct_fields__)
    assert "hub ü" in path.read_text(encoding="utf-8")


def test_a_file_that_cannot_be_written_is_told(book: Book, tmp_path: Path) -> None:
    """The folder is not there."""
    with pytest.raises(NoFolderError, match="There is no folder"):
        write_parts(tmp_path / "gone" / "out.csv", book.records, book.photos)


def test_what_the_book_wrote_itself_is_not_taken_in_twice(book: Book, tmp_path: Path) -> None:
    """Rows of parts that are here are left out by their `ref`; a new row beside them comes in."""
    (tmp_path / "parts.csv").write_text("ref,name,behind\na,hub,\nb,drum,a\n", encoding="utf-8")
    hub, drum = read_csv(book, tmp_path / "parts.csv")
    out = tmp_path / "out.csv"
    write_parts(out, book.records, book.photos)
    before = book.revision
    with pytest.raises(BadInput, match=r"every row of out\.csv is a part that is in this book"):
        read_csv(book, out)
    assert book.revision == before
    rows = out.read_text(encoding="utf-8-sig").replace("drum", "Brake drum")
    out.write_text(f"{rows}new,shoe{',' * 9},{drum.code}\n", encoding="utf-8")
    taken = take_in_list(book, out)
    assert [part.name for part in taken.parts] == ["shoe"]
    assert taken.parts[0].behind == (drum.code,)
    assert [part.code for part in taken.known] == [hub.code, drum.code]
    assert [part.code for part in taken.differing] == [drum.code]
    assert book.records.parts[drum.code].name == "drum"


def test_a_list_is_taken_in_again_where_that_is_meant(book: Book, tmp_path: Path) -> None:
    """For a second machine of the same kind, or because it was said."""
    (tmp_path / "parts.csv").write_text("name\nhub\n", encoding="utf-8")
    read_csv(book, tmp_path / "parts.csv")
    write_parts(tmp_path / "out.csv", book.records, book.photos)
    assert len(read_csv(book, tmp_path / "out.csv", again=True)) == 1
    machines.add(book, "Second one", "SE")
    assert [part.machine for part in read_csv(book, tmp_path / "out.csv", mark="SE")] == ["SE"]
