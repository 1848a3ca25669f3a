"""Other programs on the same book: run as `python programs.py VERB FOLDER …`."""

from __future__ import annotations

import subprocess
import sys
import time
from pathlib import Path

from tagbench.book import Book
from tagbench.records import Part


def strip_on(folder: Path, name: str, count: int) -> None:
    """Records parts one after the other and prints each code once it has been acknowledged."""
    with Book(folder) as book:
        for number in range(count):
            with book.change(f"{name} {number}") as transaction:
                part = Part(
                    code=transaction.new_code("TP"), name=f"{name} {number}", note="n" * 2000
                )
                transaction.put(part)
            print(part.code, flush=True)


def hold(folder: Path, seconds: float) -> None:
    """Stays inside a change."""
    with Book(folder) as book, book.change("hold"):
        print("holding", flush=True)
        time.sleep(seconds)


def start(verb: str, folder: Path, *words: object) -> subprocess.Popen[str]:
    """Starts one of the above as a process of its own; its output is read line by line."""
    command = [sys.executable, __file__, verb, str(folder), *map(str, words)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, text=True)


if __name__ == "__main__":
    if sys.argv[1] == "strip":
        strip_on(Path(sys.argv[2]), sys.argv[3], int(sys.argv[4]))
    else:
        hold(Path(sys.argv[2]), float(sys.argv[3]))
