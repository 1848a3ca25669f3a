"""`tagbench phone` as a person starts it: addresses, a symbol to scan, the list of phones."""

from __future__ import annotations

import json
import signal
import socket
import subprocess
import sys
import threading
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image

from labels.output.preview import symbol_lines
from tagbench.book import Book
from tagbench.cli import run
from tagbench.records import Tag, replace
from tests.phone.conftest import Codes


def free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as one:
        port: int = one.getsockname()[1]
        return port


def read_symbol(lines: list[str]) -> str:
    """What an independent reader (zxing-cpp) sees in half blocks drawn black on white."""
    image = Image.new("L", (len(lines[0]), 2 * len(lines)), 255)
    for y, line in enumerate(lines):
        for x, character in enumerate(line):
            for half, dark in enumerate((character in "▀█", character in "▄█")):
                if dark:
                    image.putpixel((x, 2 * y + half), 0)
    found = zxingcpp.read_barcode(image.resize((image.width * 6, image.height * 6), 0))
    assert found is not None
    return str(found.text)


class Running:
    """The command in a process of its own, its lines read as they come."""

    def __init__(self, process: subprocess.Popen[str]) -> None:
        self.process = process
        self.lines: list[str] = []

    def until(self, words: str) -> str:
        """Reads on to the line that holds these words."""
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self.lines.append(line.rstrip("\n"))
            if words in line:
                return self.lines[-1]
        raise AssertionError(f"ended without saying {words!r}: {self.lines}")

    @property
    def symbol(self) -> list[str]:
        """The lines of the symbol printed last."""
        return [line for line in self.lines if set(line) <= set(" ▀▄█") and line]


@contextmanager
def phone_command(folder: Path, *words: str) -> Iterator[Running]:
    process = subprocess.Popen(
        [sys.executable, "-m", "tagbench", "--book", str(folder), "phone", *words],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env={"PATH": "/usr/bin:/bin", "PYTHONIOENCODING": "utf-8", "PYTHONUNBUFFERED": "1"},
    )
    deadline = threading.Timer(30, process.kill)
    deadline.start()
    try:
        yield Running(process)
    finally:
        process.kill()
        process.wait()
        deadline.cancel()
        for pipe in (process.stdout, process.stderr):
            assert pipe is not None
            pipe.close()


def test_from_start_to_end(book: Book, codes: Codes, folder: Path) -> None:
    port = free_port()
    with phone_command(folder, "--port", str(port)) as running:
        running.until("good for one phone")
        assert f"  http://127.0.0.1:{port}/" in running.lines
        assert any("Only this computer is answered" in line for line in running.lines)
        link = read_symbol(running.symbol)
        assert link.startswith(f"HTTP://127.0.0.1:{port}/PAIR/")
        opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor())
        with opener.open(link) as answer:
            assert answer.status == 200
            assert b"Next on the bench" in answer.read()
        with opener.open(f"http://127.0.0.1:{port}/{codes.plate}") as answer:
            assert b"Brake plate" in answer.read()
        running.process.send_signal(signal.SIGINT)
        running.until("closed")
        assert running.process.wait(10) == 0
        assert running.process.stderr is not None
        log = running.process.stderr.read()
    assert f"opened {codes.plate}" in log
    assert link.rsplit("/", 1)[1] not in log
    assert "Traceback" not in log
    book.refresh()
    assert book.records.desk.phone_port == port
    assert len(book.records.phones) == 1


def test_a_port_in_use_is_one_line_and_exit_code_1(folder: Path, codes: Codes) -> None:
    with socket.create_server(("127.0.0.1", 0)) as other:
        port = other.getsockname()[1]
        with phone_command(folder, "--port", str(port)) as running:
            assert running.process.wait(20) == 1
            assert running.process.stderr is not None
            assert f"Port {port} is in use" in running.process.stderr.read()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--port", "80"), "from 1024 to 65535"),
        (("--host", "a b"), "home for the home network"),
        (("--forget", "nobody"), "--list"),
    ],
)
def test_bad_input_is_one_line_and_exit_code_2(
    folder: Path,
    codes: Codes,
    words: tuple[str, ...],
    said: str,
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(["--book", str(folder), "phone", *words]) == 2
    printed = capsys.readouterr()
    assert said in printed.err
    assert printed.err.count("\n") == 1


def test_phones_are_listed_and_taken_away(
    book: Book, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from tagbench.book.operations import phones

    phones.pair(book, "Old phone", "0" * 64)
    phones.pair(book, "Old phone", "1" * 64)
    assert run(["--book", str(folder), "phone", "--list"]) == 0
    assert "Old phone 2" in capsys.readouterr().out
    assert run(["--book", str(folder), "phone", "--forget", "2"]) == 0
    assert "Took away the phone Old phone 2 (number 2)." in capsys.readouterr().out
    assert run(["--book", str(folder), "phone", "--list", "--json"]) == 0
    [one] = json.loads(capsys.readouterr().out)
    assert set(one) == {"id", "name", "paired", "seen"}
    assert one["name"] == "Old phone"


def test_tags_with_an_older_address_are_counted_and_queued(
    book: Book, codes: Codes, folder: Path
) -> None:
    with book.change("printed") as transaction:
        tag = replace(transaction.records.tags[codes.plate], printed=transaction.now, queued=None)
        transaction.put(replace(tag, address="old.local:8017"))
    port = str(free_port())
    with phone_command(folder, "--port", port) as running:
        told = running.until("carry another address")
        assert told.startswith("1 printed tags")
        assert "old.local:8017" in told
    with phone_command(folder, "--port", port, "--reprint") as running:
        running.until("Queued 1 tags")
    book.refresh()
    assert book.records.tags[codes.plate].queued is not None


def test_the_symbol_is_read_by_another_reader() -> None:
    for link in (
        "HTTP://GARAGE.LOCAL:8017/PAIR/ABCDEFGHIJKLMNOPQRSTUVWXYZ",
        "http://[fd00::1]:80/x",
    ):
        assert read_symbol(symbol_lines(link)) == link


def test_a_tag_that_was_never_printed_is_not_counted(book: Book, codes: Codes) -> None:
    from tagbench.phone.addresses import dead_tags

    tag: Tag = book.records.tags[codes.plate]
    assert tag.printed is None
    assert codes.plate not in [dead.code for dead in dead_tags(book.records, "x.local:8017")]


def test_the_pairing_page_says_what_shows_a_code_here(folder: Path, codes: Codes) -> None:
    """No terminal to press Enter in, and no screens with F10: it is started with --pair."""
    port = free_port()
    with phone_command(folder, "--port", str(port)) as running:
        running.until("good for one phone")
        with pytest.raises(urllib.error.HTTPError) as refused:
            urllib.request.urlopen(f"http://127.0.0.1:{port}/{codes.plate}")
        page = refused.value.read().decode()
    assert "tagbench phone --pair" in page
    assert "F10" not in page
