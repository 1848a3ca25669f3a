"""Whatever is typed, piped in or opened is answered or refused soon and in little memory.

Under 300 MB, in a process of its own that is ended when it never stops reckoning; the one sentence
that it says is no longer than the line or two it needs, however long the input was.
"""

from __future__ import annotations

import os
import struct
import sys
import zlib
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image

from tagbench.book import Book
from tests.book.conftest import strip
from tests.faults.measured import Measured, measured

pytestmark = pytest.mark.skipif(not hasattr(os, "wait4"), reason="needs the resources of a child")

MEGABYTES = 300.0
LONGEST_SENTENCE = 420
"""Characters of an error: a sentence, at most a line of what was typed, and the way out."""
DIGITS, WORD = "9" * 5_000, "a" * 100_000
WORDS = "ab " * 33_000
LEVELS = " / ".join(f"box {level}" for level in range(200))


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a small book in it."""
    place = tmp_path_factory.mktemp("bounds")
    with Book(place / "book") as book:
        for name in ("hub", "nut", "washer"):
            strip(book, name)
    return place


@pytest.fixture
def run(place: Path) -> Iterator[object]:
    """Runs a command on the book."""
    yield lambda *words, **streams: measured(place, "--book", "book", *words, **streams)


def within(done: Measured, what: str) -> None:
    """It ended by itself, small, no traceback, one short sentence."""
    print(f"{what:44} exit {done.code}  {done.seconds:5.2f} s  {done.megabytes:4.0f} MB")
    assert done.code in (0, 1, 2), (what, done.code, done.err[:300])
    assert done.megabytes < MEGABYTES, (what, done.megabytes)
    assert "unexpected" not in done.err, (what, done.err[:300])
    assert "Traceback" not in done.err, (what, done.err[-300:])
    assert len(done.err) < LONGEST_SENTENCE, (what, done.err[:300])
    assert done.err.count("\n") <= 1, (what, done.err[:300])


LONG_INPUT = [
    ("find", WORD),
    ("find", WORDS),
    ("find", DIGITS),
    ("show", f"TP-{DIGITS}-7"),
    ("scan", f"TP-{DIGITS}-7"),
    ("scan", WORD),
    ("torque", f"{DIGITS} N·m"),
    ("torque", "8 N·m", "--wrench", f"{DIGITS} mm"),
    ("thread", f"M{DIGITS}"),
    ("thread", "--across", f"{DIGITS} mm", "--pitch", "0.8"),
    ("wear", f"{DIGITS} mm", "--limit", "2"),
    ("strip", WORD, "--from", "Hub"),
    ("strip", "x", "--from", WORD),
    ("strip", "x", "--from", WORDS),
    ("strip", "x", "--from", "Hub", "--fasteners", f"{DIGITS}x M5"),
    ("strip", "x", "--from", "Hub", "--fasteners", WORD),
    ("strip", "x", "--from", "Hub", "--fasteners", WORDS),
    ("strip", "x", "--from", "Hub", "--note", WORD),
    ("strip", "x", "--from", "Hub", "--quantity", DIGITS),
    ("strip", "x", "--from", "Hub", "--bin", "/" * 100_000),
    ("strip", "x", "--from", "Hub", "--bin", LEVELS),
    ("strip", "x", "--from", LEVELS),
    ("bins", "add", WORD),
    ("bins", "add", LEVELS),
    ("bins", "add", LEVELS),
    ("machine", "add", WORD),
    ("machine", "add", "x", "--mark", WORD),
    ("undo", DIGITS),
    ("history", WORD),
    ("mark", WORD, "lubed"),
    ("leftover", WORDS),
    ("stock", "set", WORD, "3"),
    ("usual", WORD),
    ("report", WORD),
    ("tags", "--spare", "99999999", "-o", "x.pdf"),
    ("tags", "--spare", "3", "--stock", WORD, "-o", "x.pdf"),
    ("check", "--join", WORD),
    ("backups", "--take", WORD, "--from", "x"),
    (WORD,),
    (f"--{WORD}",),
]


@pytest.mark.sampled(12)
@pytest.mark.parametrize("words", LONG_INPUT, ids=lambda words: " ".join(w[:12] for w in words))
def test_long_input_is_answered_or_refused(run: object, words: tuple[str, ...]) -> None:
    """Long digits, words of 100 000 characters, paths of 200 bins."""
    done = run(*words)  # type: ignore[operator]
    within(done, " ".join(word[:14] for word in words))


@pytest.mark.parametrize("words", [("--on", WORD, "find", "x"), ("--book", WORD, "find", "x")])
def test_long_options_before_the_command_too(place: Path, words: tuple[str, ...]) -> None:
    """A day and a folder."""
    done = measured(place, *words)
    within(done, f"{words[0]} and a long word")
    assert done.code == 2


# Streams without an end


@pytest.mark.sampled(6)
@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="needs an endless stream")
@pytest.mark.parametrize(
    "words",
    [
        ("import", "/dev/stdin"),
        ("import", "/dev/zero"),
        ("scan", "/dev/stdin"),
        ("scan", "/dev/zero"),
        ("trace", "/dev/zero", "-o", "x.pdf"),
        ("lay", "/dev/zero"),
        ("photos", "add", "TP-001-N", "/dev/zero"),
        ("photos", "folder", "."),
        ("backups", "--take", "all", "--from", "/dev/zero"),
        ("remove", "TP-099-9"),
        ("find", "hub"),
    ],
    ids=" ".join,
)
def test_a_stream_without_an_end_is_answered_or_refused(
    run: object, words: tuple[str, ...]
) -> None:
    """As the input of a command, and named as a file."""
    done = run(*words, stdin="/dev/zero")  # type: ignore[operator]
    within(done, " ".join(words))


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="needs an endless stream")
def test_a_book_without_an_end_is_refused(place: Path) -> None:
    """A device is neither a folder nor a file."""
    done = measured(place, "--book", "/dev/zero", "find", "hub")
    within(done, "--book /dev/zero")
    assert done.code == 2


@pytest.mark.sampled(3)
@pytest.mark.parametrize(
    ("name", "one", "times"),
    [("open", "x", 7_000_000), ("big", "x\nhub,", 1_800_000), ("wide", ",", 4_000_000)],
)
def test_a_table_that_is_no_list_of_parts_is_refused(
    run: object, place: Path, name: str, one: str, times: int
) -> None:
    """Ten megabytes, one line that never ends its quotation, and four million columns."""
    begins = {"open": 'name,note\nhub,"', "big": "name,note\nhub,", "wide": ""}[name]
    (place / f"{name}.csv").write_text(begins + one * times)
    done = run("import", f"{name}.csv")  # type: ignore[operator]
    within(done, f"import {name}.csv")
    assert done.code == 2


# Pictures and PDF files


def png(path: Path, width: int, height: int) -> None:
    """A picture of a few bytes whose head promises that many pixels."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        whole = kind + data
        return struct.pack(">I", len(data)) + whole + struct.pack(">I", zlib.crc32(whole))

    head = struct.pack(">IIBBBBB", width, height, 8, 6, 0, 0, 0)
    body = zlib.compress(bytes(1000), 9)
    signature = b"\x89PNG\r\n\x1a\n"
    path.write_bytes(signature + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b""))


def pdf(path: Path, pages: int, side: int = 200) -> None:
    """A PDF (ISO 32000-1) of so many pages, `side` points long, a black bar on each."""
    bar = "0 0 20 60 re f"
    kids = " ".join(f"{number + 3} 0 R" for number in range(pages))
    objects = [
        "<< /Type /Catalog /Pages 2 0 R >>",
        f"<< /Type /Pages /Kids [{kids}] /Count {pages} >>",
        *[
            f"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 {side} {side}] "
            f"/Contents {pages + 3} 0 R >>"
        ]
        * pages,
        f"<< /Length {len(bar)} >>\nstream\n{bar}\nendstream",
    ]
    out, places = bytearray(b"%PDF-1.4\n"), []
    for number, text in enumerate(objects, 1):
        places.append(len(out))
        out += f"{number} 0 obj\n{text}\nendobj\n".encode()
    start = len(out)
    out += f"xref\n0 {len(objects) + 1}\n0000000000 65535 f \n".encode()
    for at in places:
        out += f"{at:010} 00000 n \n".encode()
    out += f"trailer << /Size {len(objects) + 1} /Root 1 0 R >>\n".encode()
    out += f"startxref\n{start}\n%%EOF\n".encode()
    path.write_bytes(bytes(out))


@pytest.mark.sampled(3)
@pytest.mark.parametrize(("pages", "side"), [(1, 14_400), (10_000, 200), (1, 200)])
def test_a_pdf_of_many_or_giant_pages(run: object, place: Path, pages: int, side: int) -> None:
    """10 000 pages are refused; a page of five metres is looked at coarser."""
    pytest.importorskip("pypdfium2")
    pytest.importorskip("zxingcpp")
    pdf(place / "x.pdf", pages, side)
    done = run("scan", "x.pdf")  # type: ignore[operator]
    within(done, f"scan, {pages} pages of {side} points")
    assert done.code in (1, 2)
    assert ("10000 pages" in done.err) == (pages == 10_000)


COMMANDS = [("scan",), ("photos", "add", "TP-001-N"), ("trace", "-o", "t.pdf"), ("lay",)]


@pytest.mark.sampled(9)
@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
@pytest.mark.parametrize("side", [9_000, 15_000, 60_000, 2_000_000_000])
def test_a_picture_that_promises_too_much(
    run: object, place: Path, words: tuple[str, ...], side: int
) -> None:
    """A few hundred bytes that would fill the memory are refused by their head."""
    png(place / "bomb.png", side, side)
    done = run(*words, "bomb.png")  # type: ignore[operator]
    within(done, f"{words[0]}, {side} pixels a side")
    assert done.code in (1, 2)


@pytest.mark.sampled(2)
@pytest.mark.parametrize("words", COMMANDS[:2], ids=" ".join)
def test_a_large_photograph_is_taken(run: object, place: Path, words: tuple[str, ...]) -> None:
    """100 million pixels of a camera: read at a fraction of the size."""
    path = place / "large.jpg"
    if not path.exists():
        Image.new("L", (11_600, 8_700), 200).save(path, quality=30)
    done = run(*words, "large.jpg")  # type: ignore[operator]
    print(f"{words[0]:44} exit {done.code}  {done.seconds:5.2f} s  {done.megabytes:4.0f} MB")
    assert done.megabytes < MEGABYTES
    assert done.code == 0 or "No tag was found" in done.err


# Where the words go


SPEAKING = [("show", "TP-001-N"), ("--help",), ("history",), ("torque", "8 N·m"), ("show", "…")]


@pytest.mark.sampled(11)
@pytest.mark.parametrize("encoding", ["cp1252", "ascii", "latin-1", "utf-16"])
@pytest.mark.parametrize("words", SPEAKING, ids=" ".join)
def test_any_encoding_of_the_output_will_do(
    run: object, encoding: str, words: tuple[str, ...]
) -> None:
    """Signs that it lacks become others; nothing fails for them."""
    plain = run(*words)  # type: ignore[operator]
    done = run(*words, env={"PYTHONIOENCODING": encoding})  # type: ignore[operator]
    assert done.code == plain.code
    assert "unexpected" not in done.err
    assert bool(done.out) == bool(plain.out)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is full")
def test_a_full_device_ends_in_a_sentence_and_what_was_saved_is_not_denied(
    run: object, place: Path
) -> None:
    """Exit code 1; the part is there all the same, and the sentence does not say otherwise."""
    done = run("strip", "printed nowhere", "--from", "Hub", stdout="/dev/full")  # type: ignore[operator]
    assert done.code == 1
    assert "what was saved before is saved" in done.err
    assert "not saved" not in done.err.casefold()
    with Book(place / "book") as book:
        assert "printed nowhere" in {part.name for part in book.records.parts.values()}
    assert run("find", "hub", stdout="/dev/full", stderr="/dev/full").code == 1  # type: ignore[operator]


@pytest.mark.sampled(2)
@pytest.mark.skipif(sys.platform == "win32", reason="needs a shell")
@pytest.mark.parametrize(
    ("end", "code"),
    [("| head -c 0", 1), (">&-", 0), (">&- 2>&-", 0), ("2>&- | head -c 0", 1), ("0<&-", 0)],
)
def test_a_closed_pipe_or_stream_says_nothing_of_its_own(place: Path, end: str, code: int) -> None:
    """As other programs do; the exit code tells where a reader went away too early."""
    import subprocess

    # More than a pipe holds, so that writing meets the closed end.
    many = " ".join(["--help"] if end.startswith(">") else ["report", "book"])
    command = f"set -o pipefail; '{sys.executable}' -m tagbench --book book {many} {end}"
    done = subprocess.run(
        ["bash", "-c", command], cwd=place, capture_output=True, text=True, check=False
    )
    assert "unexpected" not in done.stderr
    assert "Exception ignored" not in done.stderr
    assert "Traceback" not in done.stderr
    assert done.returncode in (code, 0)
