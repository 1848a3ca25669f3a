"""Nothing unseen gets into a record, a list or a terminal, and no spreadsheet runs a cell."""

from __future__ import annotations

import csv
import io
import unicodedata
from pathlib import Path

import pytest
from hypothesis import given, strategies as st

from tagbench.book import Book
from tagbench.book.csv.reader import read_csv
from tagbench.book.csv.writer import parts_csv
from tagbench.book.layout import END, Header, RecordLine, sealed, table_text
from tagbench.cli import run
from tagbench.errors import BadInput
from tagbench.records.text import clean, one_line
from tagbench.rules.table import as_typed, csv_text, defused
from tests.book.conftest import strip

HOSTILE = "a\x1b[2Jb\u202ec\u200bd\ufeffe\x85f\x9bg\u2066h\u061ci\U000e0041j"
"""An escape sequence, an override of direction, zero-width signs, C1, an isolate, a tag."""


def _is_unseen(sign: str) -> bool:
    """Of the Unicode categories Cc and Cf (UnicodeData), line ends and tabs left out.

    Those of the block of tags that are not assigned are ignored by what shows them as the others
    are (DerivedCoreProperties, Default_Ignorable_Code_Point).
    """
    tag = "\U000e0000" <= sign <= "\U000e007f"
    return (tag or unicodedata.category(sign) in ("Cc", "Cf")) and sign not in "\n\t"


@given(st.text(alphabet=st.characters(exclude_categories=["Cs"])))
def test_clean_leaves_out_what_is_unseen_and_nothing_else(text: str) -> None:
    """The categories of Unicode say what is unseen; marks inside Arabic words are not."""
    kept = clean(text)
    assert clean(kept) == kept
    unseen = {sign for sign in kept if _is_unseen(sign)}
    assert all(0x600 <= ord(s) <= 0x8FF or 0x110BD <= ord(s) <= 0x1D17A for s in unseen)
    seen = [sign for sign in text if not _is_unseen(sign) and sign not in "\n\r\x85\u2028\u2029"]
    assert [sign for sign in kept if not _is_unseen(sign) and sign != "\n"] == seen


def test_a_record_holds_nothing_unseen(book: Book) -> None:
    """Whatever was pasted; the words around it stay."""
    part = strip(book, HOSTILE, note="one\r\ntwo\tthree")
    kept = book.records.parts[part.code]
    assert kept.name == "a[2Jbcde\nfghij"
    assert kept.note == "one\ntwo\tthree"


def test_a_book_made_by_another_hand_is_read_clean(folder: Path) -> None:
    """Escapes of JSON as well as the signs themselves."""
    raw = '{"code":"TP-001-N","name":"a\\u001b[2Jb\u202ec"}'.encode()
    tag = b'{"code":"TP-001-N"}'
    body = [
        table_text("parts", [RecordLine(1, raw)]),
        table_text("tags", [RecordLine(1, tag)]),
        END,
    ]
    folder.mkdir()
    (folder / "book.json").write_bytes(b"".join(sealed(Header(), body)))
    with Book(folder) as book:
        assert book.records.parts["TP-001-N"].name == "a[2Jbc"


def test_what_a_command_prints_is_clean(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Names, what was typed, and the sentence of an error; the latter in one line of its size."""
    run(["--book", str(folder), "strip", HOSTILE, "--from", "Hub"])
    run(["--book", str(folder), "show", "A-001-N"])
    run(["--book", str(folder), "show", "\x1b[31mx\u202e" + "y" * 100_000])
    out, err = capsys.readouterr()
    assert not any(map(_is_unseen, out + err))
    assert max(map(len, err.splitlines())) <= 2_000


@given(st.text(max_size=30))
def test_a_cell_that_would_run_is_defused_and_reads_back(text: str) -> None:
    """What begins with = + - @ is a formula to spreadsheets (OWASP, CSV injection)."""
    cell = defused(text)
    assert isinstance(cell, str)
    assert cell.lstrip()[:1] not in {*"=+-@"} or cell == text == ""
    assert as_typed(cell) == text


def test_a_list_of_parts_is_safe_to_open_and_reads_back(
    book: Book, folder: Path, tmp_path: Path
) -> None:
    """Export, import, and the names are the same."""
    names = ["=1+1", "-5 mm shim", "@lever", "'=quoted", "+ washer", "plain"]
    for name in names:
        strip(book, name, assembly="Hub")
    text = parts_csv(book.records, book.photos)
    cells = [cell for row in csv.reader(io.StringIO(text)) for cell in row]
    assert not [cell for cell in cells if cell.lstrip()[:1] in {*"=+-@"} and cell]
    path = tmp_path / "parts.csv"
    path.write_text(text, encoding="utf-8")
    with Book(tmp_path / "other") as other:
        assert [part.name for part in read_csv(other, path)] == names


def test_every_table_is_written_defused() -> None:
    """Reports and the shop list use the same writer; figures stay figures."""
    assert csv_text([["=A1", -5, "x"]]) == "'=A1,-5,x\r\n"


def test_one_line_is_cut() -> None:
    """However long the text is."""
    assert one_line("a\n  b") == "a b"
    assert one_line("x" * 10_000_000).endswith("…")
    assert len(one_line("word " * 100_000)) == 200


def test_an_export_never_goes_onto_the_book(
    book: Book, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """It would be the end of the book."""
    strip(book, "hub")
    book.checkpoint()
    before = (folder / "book.json").read_bytes()
    assert run(["--book", str(folder), "export", "-o", str(folder / "book.json")]) == 2
    assert "belongs to the book" in capsys.readouterr().err
    assert (folder / "book.json").read_bytes() == before


def test_empty_after_cleaning_is_refused(book: Book) -> None:
    """A name of nothing but unseen signs says nothing."""
    with pytest.raises(BadInput, match="name"):
        strip(book, "\u200b\u202e")
