"""A damaged book is recognised, told, never overwritten; a newer one is not touched."""

from __future__ import annotations

import random
import re
from pathlib import Path

import msgspec
import pytest

from tagbench.book import Book
from tagbench.book.layout import END, SCHEMA, Header, RecordLine, sealed, table_text
from tagbench.book.memory import Memory
from tagbench.errors import BookDamaged, BookError, BookTooNew
from tests.book.conftest import Clock, strip, strip_slowly


@pytest.fixture
def saved(book: Book, folder: Path, clock: Clock) -> Path:
    """A book with some changes and a backup."""
    for number in range(6):
        strip_slowly(book, f"part {number}")
        clock.on(minutes=4)
    return folder / "book.json"


def _damage_told(folder: Path) -> str:
    before = {path: path.read_bytes() for path in folder.rglob("*.json*")}
    with pytest.raises(BookDamaged) as caught:
        Book(folder)
    assert before == {path: path.read_bytes() for path in folder.rglob("*.json*")}
    return str(caught.value)


def test_a_cut_book_is_recognised_at_every_length(saved: Path, folder: Path) -> None:
    """Cut to any length, also by a single byte, even where what is left is whole JSON."""
    whole = saved.read_bytes()
    lengths = {*range(0, len(whole), 37), *range(len(whole) - 80, len(whole))}
    for length in sorted(lengths):
        saved.write_bytes(whole[:length])
        with pytest.raises(BookDamaged):
            Book(folder)
    saved.write_bytes(whole)
    assert len(Book(folder).records.parts) == 6


def test_a_changed_byte_is_recognised_anywhere(saved: Path, folder: Path) -> None:
    """A bit that tips over in a figure or a name would else pass as a value."""
    whole = saved.read_bytes()
    chance = random.Random(98)
    for place in chance.sample(range(len(whole)), 300) + list(range(120)):
        damaged = bytearray(whole)
        damaged[place] ^= 1 << chance.randrange(8)
        saved.write_bytes(damaged)
        with pytest.raises((BookDamaged, BookTooNew)):
            Book(folder)


@pytest.mark.parametrize("junk", [b"", b"\0" * 4096, b"{}", b"[]", b"null", b"\xff\xfe{", b"{\n"])
def test_junk_is_damage_not_an_empty_book(saved: Path, folder: Path, junk: bytes) -> None:
    """Zeros are what a crash of the whole computer may leave."""
    saved.write_bytes(junk)
    _damage_told(folder)


def test_the_message_names_the_backup_and_the_command(saved: Path, folder: Path) -> None:
    """One sentence with the way out."""
    saved.write_bytes(saved.read_bytes()[:-9])
    sentence = _damage_told(folder)
    newest = sorted((folder / "backups").iterdir())[-1].name
    assert newest in sentence
    assert f"tagbench --book {folder} check --mend" in sentence
    assert "not touched" in sentence
    assert "\n" not in sentence


def test_a_damaged_backup_is_not_the_one_offered(saved: Path, folder: Path) -> None:
    """The newest that can be read whole is."""
    newest, older = sorted((folder / "backups").iterdir(), reverse=True)[:2]
    newest.unlink()
    newest.write_bytes(b"{}")
    saved.write_bytes(b"{")
    assert older.name in _damage_told(folder)


def test_a_missing_book_is_damage_while_its_history_is_there(saved: Path, folder: Path) -> None:
    """Not a new, empty book."""
    saved.unlink()
    assert "is gone" in _damage_told(folder)
    (folder / "history.jsonl").unlink()
    assert "is gone" in _damage_told(folder)  # the backups are still there


def test_a_change_on_a_book_damaged_meanwhile_is_refused(
    book: Book, saved: Path, folder: Path
) -> None:
    """The open program does not write over the damaged file either."""
    saved.write_bytes(saved.read_bytes()[:-9])
    damaged = saved.read_bytes()
    with pytest.raises(BookDamaged):
        strip(book, "one more")
    assert saved.read_bytes() == damaged


def test_a_field_of_the_wrong_kind_is_named(saved: Path, folder: Path) -> None:
    """Table, key and path of the field; the seal is right, as if a program had written it."""
    text = saved.read_bytes().replace(b'"name":"part 3"', b'"name":"part 3","quantity":-4')
    line, _, body = text.partition(b"\n")
    figures = re.search(rb'{"schema".*?}', line)
    assert figures
    header = msgspec.json.decode(figures[0], type=Header)
    saved.write_bytes(b"".join(sealed(header, [b",\n" + body])))
    sentence = _damage_told(folder)
    assert re.search(r"parts TP-004-.: quantity: expected int >= 1", sentence)


def test_a_newer_book_is_not_touched(saved: Path, folder: Path) -> None:
    """Nor is it called damaged, though nothing else in it may be understood."""
    newer = b'"schema":%d' % (SCHEMA + 1)
    saved.write_bytes(saved.read_bytes().replace(b'"schema":%d' % SCHEMA, newer))
    before = saved.read_bytes()
    with pytest.raises(BookTooNew, match="newer tagbench"):
        Book(folder)
    assert saved.read_bytes() == before


def test_a_record_written_twice_is_damage(saved: Path, folder: Path) -> None:
    """One of the two would silently win."""
    raw = b'{"code":"TP-001-N","name":"hub"}'
    body = [table_text("parts", [RecordLine(1, raw), RecordLine(2, raw)]), END]
    with pytest.raises(BookDamaged, match="twice"):
        Memory().load(b"".join(sealed(Header(revision=1), body)))


def test_a_file_in_place_of_the_folder_is_told(tmp_path: Path) -> None:
    """In a sentence, for opening."""
    file = tmp_path / "notes.txt"
    file.write_text("notes")
    with pytest.raises(BookError, match="is not a folder"):
        Book(file)
    assert file.read_text() == "notes"


def test_a_folder_in_place_of_the_book_is_told(folder: Path) -> None:
    """Someone made a folder of that name."""
    (folder / "book.json").mkdir(parents=True)
    with pytest.raises(BookError, match="cannot be read"):
        Book(folder)
