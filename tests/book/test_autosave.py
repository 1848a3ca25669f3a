"""Half-typed forms outlast a kill, and are no part of the book."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tagbench.book import Book
from tagbench.book.autosave import Autosave, UnsavedForm
from tagbench.errors import BookError

NOW = datetime(2025, 11, 3, 19, 30, tzinfo=UTC)


def form(**fields: str) -> UnsavedForm:
    return UnsavedForm(NOW, fields)


def test_a_form_comes_back_as_it_was(tmp_path: Path) -> None:
    unsaved = form(name="brake shoe", note="Öl; “half” \t typed")
    Autosave(tmp_path).save("strip", unsaved)
    assert Autosave(tmp_path).load("strip") == unsaved
    assert Autosave(tmp_path).load("edit TP-001-N") is None


def test_a_discarded_form_is_gone(tmp_path: Path) -> None:
    saved = Autosave(tmp_path)
    saved.save("strip", form(name="brake shoe"))
    saved.discard("strip")
    saved.discard("strip")
    assert saved.load("strip") is None


def test_what_was_put_off_lies_beside_the_form(tmp_path: Path) -> None:
    """What was half-typed last is offered first, then what was put off, the latest first."""
    saved = Autosave(tmp_path)
    for many in range(1, 12):
        saved.save("made of TP-001-N", form(name=f"{many}"))
        saved.put_off("made of TP-001-N")
    saved.save("made of TP-001-N", form(name="now"))
    saved.save("made of TP-001-N2", form(name="another"))
    assert saved.forms().count("made-of-TP-001-N") == 1
    names = []
    while (found := saved.latest("made of TP-001-N")) is not None:
        file, unsaved = found
        names.append(unsaved.fields["name"])
        saved.throw_away(file)
    assert names == ["now", *map(str, range(11, 0, -1))]


def test_what_was_put_off_is_brought_back_as_the_form(tmp_path: Path) -> None:
    saved = Autosave(tmp_path)
    saved.save("strip", form(name="brake shoe"))
    saved.put_off("strip")
    assert saved.load("strip") is None
    found = saved.latest("strip")
    assert found is not None
    saved.bring_back("strip", found[0])
    assert saved.load("strip") == form(name="brake shoe")
    saved.discard("strip")
    assert saved.latest("strip") is None


@pytest.mark.parametrize("left", [b"", b"{", b'{"at":"2025-11-03T19:30:00Z","fi', b'{"at":1}'])
def test_a_torn_file_offers_nothing(tmp_path: Path, left: bytes) -> None:
    saved = Autosave(tmp_path)
    saved.save("strip", form(name="brake shoe"))
    next(saved.folder.iterdir()).write_bytes(left)
    assert saved.load("strip") is None


def test_forms_never_leave_their_folder(tmp_path: Path) -> None:
    saved = Autosave(tmp_path / "book")
    saved.save("../../edit/../TP-001-N", form(name="x"))
    assert [path.parent for path in tmp_path.rglob("*.json")] == [saved.folder]


def test_a_disk_that_refuses_is_told(tmp_path: Path) -> None:
    (tmp_path / "unsaved").write_text("a file where the folder should be")
    with pytest.raises(BookError, match="not kept until Enter"):
        Autosave(tmp_path).save("strip", form(name="x"))


def test_the_book_knows_nothing_of_it(tmp_path: Path) -> None:
    with Book(tmp_path) as book:
        before = book.revision, len(list(book.history()))
        Autosave(tmp_path).save("strip", form(name="x"))
        assert not book.refresh()
        assert (book.revision, len(list(book.history()))) == before


WRITER = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from tagbench.book.autosave import Autosave, UnsavedForm
saved, number = Autosave(Path(sys.argv[1])), 0
while True:
    number += 1
    saved.save("strip", UnsavedForm(datetime.now(UTC), {"name": "x" * number, "n": str(number)}))
    print(number, flush=True)
"""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="no SIGKILL on this system")
@pytest.mark.parametrize("seconds", [0.01, 0.05, 0.12])
def test_a_kill_at_any_moment_leaves_a_whole_form(tmp_path: Path, seconds: float) -> None:
    command = [sys.executable, "-c", WRITER, str(tmp_path)]
    with subprocess.Popen(command, stdout=subprocess.PIPE) as writer:
        assert writer.stdout is not None
        first = int(writer.stdout.readline())
        time.sleep(seconds)
        os.kill(writer.pid, signal.SIGKILL)
        last = max([first, *(int(line) for line in writer.stdout if line.endswith(b"\n"))])
    unsaved = Autosave(tmp_path).load("strip")
    assert unsaved is not None
    number = int(unsaved.fields["n"])
    assert number >= last
    assert unsaved.fields["name"] == "x" * number
