"""A CSV file of parts is taken in whole as one change, or not at all with the row named."""

from __future__ import annotations

from pathlib import Path

import pytest
from PIL import Image

from tagbench.book import Book
from tagbench.book.csv.reader import read_csv
from tagbench.book.csv.rows import COLUMNS
from tagbench.errors import BadInput
from tagbench.rules.bins import kept_in_words
from tests.book.conftest import strip

HEAD = ",".join(COLUMNS) + "\n"
LIST = (
    HEAD
    + "nut,axle nut,Front wheel,left,1,castle nut M12x1.25,,Bag 1,,,,\n"
    + 'wheel,wheel,front  wheel,,,,,Shelf A / Box 2,valve to the left,"two, three",,nut\n'
    + 'plate,backing plate,Front wheel / Brake,,1,"4x M5x0.8x12 pan; cotter pin 3.2x32",'
    + "PK-17,Shelf A / Box 2 / Bag 7,,,hub.png,wheel; nut\n"
)


@pytest.fixture
def file(tmp_path: Path) -> Path:
    Image.new("RGB", (20, 20), "red").save(tmp_path / "hub.png")
    return tmp_path / "parts.csv"


def _written(file: Path, text: str, encoding: str = "utf-8") -> Path:
    file.write_bytes(text.encode(encoding))
    return file


def test_every_column_arrives_in_its_field(book: Book, file: Path) -> None:
    """In the order of the rows, which is the order in which the parts came off."""
    nut, wheel, plate = read_csv(book, _written(file, LIST))
    assert [part.order for part in (nut, wheel, plate)] == [1, 2, 3]
    assert (nut.position, nut.quantity) == ("left", 1)
    assert wheel.assembly == nut.assembly == "Front wheel"
    assert (wheel.sits_how, wheel.note) == ("valve to the left", "two, three")
    assert [line.quantity for line in plate.fasteners] == [4, 1]
    assert plate.fasteners[0].thread == "M5x0.8"
    assert plate.part_numbers[0].number == "PK-17"
    assert wheel.behind == (nut.code,)
    assert plate.behind == (wheel.code, nut.code)
    assert plate.photos[0].file == f"{plate.code}-1.png"
    assert (book.photos / plate.photos[0].file).is_file()
    assert book.records.parts == {part.code: part for part in (nut, wheel, plate)}


def test_bins_are_made_once_and_nested(book: Book, file: Path) -> None:
    """A path goes from the outside in."""
    _, wheel, plate = read_csv(book, _written(file, LIST))
    bins = book.records.bins
    assert len(bins) == 4
    assert bins[plate.bin].kept_in == wheel.bin
    assert kept_in_words(plate.bin, bins) == "in Bag 7, in Box 2, on Shelf A"


def test_it_is_one_change(book: Book, file: Path) -> None:
    """Undo takes the whole list back, bins and machine as well."""
    strip_first = book.revision
    read_csv(book, _written(file, LIST))
    assert book.revision == strip_first + 1
    assert book.undo().words == "took in 3 parts from parts.csv"
    assert not book.records.parts
    assert not book.records.bins


def test_parts_join_the_machine_they_are_for(book: Book, file: Path) -> None:
    """After the parts that are there already; their codes may be named in `behind`."""
    hub = strip(book, "hub", order=1)
    text = f"name,behind\ndrum,{hub.code}\nshoe,{hub.code.lower().replace('-', '')}\n"
    drum, shoe = read_csv(book, _written(file, text), mark="TP")
    assert drum.machine == "TP"
    assert drum.behind == shoe.behind == (hub.code,)
    assert (drum.order, shoe.order) == (2, 3)


def test_a_row_may_name_a_later_one(book: Book, file: Path) -> None:
    """The list is in removal order, but people also write it the other way round."""
    first, second = read_csv(book, _written(file, "ref,name,behind\na,hub,b\nb,drum,\n"))
    assert first.behind == (second.code,)


@pytest.mark.parametrize(
    ("rows", "number", "told"),
    [
        ("a,hub,,,one,,,,,,,\n", 2, "quantity “one”"),
        ("a,hub,,,0,,,,,,,\n", 2, "quantity “0”"),
        ("a,hub,,,1.5,,,,,,,\n", 2, "quantity “1.5”"),
        ("a,hub,,,,,,,,,,\nb,,,,,,,,,,,\n", 3, "the name is missing"),
        ("a,hub,,,,4x M5x0.8x12 \x07,,,,,,\n", 2, "control character"),
        ("a,hub,,,,,,,,,,\n\n\nb,drum,,,,,,,,,,nowhere\n", 5, "names “nowhere”"),
        ("a,hub,,,,,,,,,,\na,drum,,,,,,,,,,\n", 3, "the ref “a” is on row 2 too"),
        ("a,hub,,,,,,,,,,a\n", 2, "behind itself"),
        ("a,hub,,,,,,,,,,b\nb,drum,,,,,,,,,,a\n", 2, "loop"),
        ("a,hub,,,,,,,,,gone.jpg,\n", 2, "no picture"),
        ("a,hub,,,,,,,,,hub.png,\nb,drum,,,,,,,,,parts.csv,\n", 3, "not a picture that can"),
        ("a,hub,,,,,,,,,,,surplus\n", 2, "more in it"),
        ('a,hub,,,,,,,,,,\nb,"drum,,,,,,,,,,\n', 3, "quotation marks"),
        ('a,hub,,,,,,,,,,\nb,"drum"x,,,,,,,,,,\n', 3, "quotation marks"),
    ],
)
def test_a_bad_row_is_named_and_nothing_is_taken_in(
    book: Book, file: Path, rows: str, number: int, told: str
) -> None:
    """The number is the one a spreadsheet shows; records, files and pictures stay as they were."""
    strip(book, "before")
    records = book.records
    with pytest.raises(BadInput) as caught:
        read_csv(book, _written(file, HEAD + rows))
    sentence = str(caught.value)
    assert f"parts.csv, row {number}" in sentence
    assert told in sentence
    assert "Nothing was taken in" in sentence
    assert "\n" not in sentence
    assert book.records is records
    assert not book.photos.exists() or not list(book.photos.iterdir())


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_spreadsheets_of_all_countries_are_read(
    book: Book, file: Path, encoding: str, delimiter: str, end: str
) -> None:
    """Byte order marks, semicolons, tabs, and three ways to end a line."""
    rows = [["Ref", " NAME ", "Sits how"], ["a", "Bremsbacke ü", f"left{delimiter} up"]]
    text = end.join(
        delimiter.join(f'"{cell}"' if delimiter in cell else cell for cell in row) for row in rows
    )
    (part,) = read_csv(book, _written(file, text + end, encoding))
    assert part.name == "Bremsbacke ü"
    assert part.sits_how == f"left{delimiter} up"


def test_the_hint_some_spreadsheets_write_is_skipped(book: Book, file: Path) -> None:
    """And counted as a row, since the spreadsheet counts it."""
    assert read_csv(book, _written(file, "sep=;\nname;quantity\nhub;2\n"))[0].quantity == 2
    with pytest.raises(BadInput, match="row 3"):
        read_csv(book, _written(file, "sep=;\nname;quantity\nhub;two\n"))


def test_another_encoding_is_refused_with_the_way_out(book: Book, file: Path) -> None:
    """Guessing would turn a name into another one without a word."""
    with pytest.raises(BadInput, match=r"line 3\).*CSV UTF-8"):
        read_csv(book, _written(file, "name\nhub\nBremsbacke ü\n", "latin-1"))
    with pytest.raises(BadInput, match="zero bytes"):
        read_csv(book, _written(file, "name\nhub\n", "utf-16-le"))


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "is empty"),
        ("\n \n", "is empty"),
        ("ref,what\na,hub\n", "no column “name”"),
        ("name,quantities\nhub,1\n", r"“quantities” .*did you mean quantity"),
        ("name,name\nhub,1\n", "there twice"),
        (HEAD, "no parts below"),
    ],
)
def test_a_heading_that_does_not_fit_is_told(book: Book, file: Path, text: str, told: str) -> None:
    """With the columns there are."""
    with pytest.raises(BadInput, match=told):
        read_csv(book, _written(file, text))
    assert book.revision == 0


def test_all_bad_rows_are_named_at_once(book: Book, file: Path) -> None:
    """So that the list is put right in one go."""
    text = "name,quantity\nhub,1\nnut,two\ndrum,3\nshoe,x\n,1\n"
    with pytest.raises(BadInput, match=r"row 3 \(part 2\): .*; rows 5, 6 are bad too\."):
        read_csv(book, _written(file, text))


def test_a_missing_file_is_told(book: Book, file: Path) -> None:
    """Not a traceback."""
    with pytest.raises(BadInput, match="cannot be read"):
        read_csv(book, file)


def test_progress_is_told(book: Book, file: Path) -> None:
    """For the bar on long lists."""
    told: list[tuple[int, int]] = []
    read_csv(book, _written(file, LIST), progress=lambda *at: told.append(at))
    assert told == [(1, 3), (2, 3), (3, 3)]
