"""Commands against a tiny click and sqlite3 script that does the same, whole programs both."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from labels.code import make_code
from tests.bench.books import book_of, write_peer
from tests.bench.rows import TABLE, TURNS, Wanted, program_milliseconds, reached

pytestmark = pytest.mark.bench

SIZES = (100, 1_000, 10_000, 100_000)
TURNS_OF = {100: 3, 100_000: 1}
"""Fewer turns where one takes seconds, and its ratio is only to be seen."""
HELP = 1.3
"""Most that `--help` may take, against `--version`."""
WANTED = {
    ("show", 1_000): 1.6,
    ("strip", 1_000): 1.6,
    ("mark", 1_000): 1.6,
    ("find", 1_000): 2.0,
    ("find", 10_000): 4.0,
}
"""Command and size → the ratio that is wanted."""
PEER = """
import sqlite3, sys
import click

@click.group()
@click.argument("db")
@click.pass_context
def main(ctx, db):
    ctx.obj = sqlite3.connect(db)

@main.command()
@click.argument("code")
@click.pass_obj
def show(db, code):
    print(db.execute("select * from parts where code = ?", (code,)).fetchone())

@main.command()
@click.argument("name")
@click.pass_obj
def strip(db, name):
    number = db.execute("select count(*) from parts").fetchone()[0]
    db.execute("insert into parts values (?, ?, ?)", (f"X-{number}", name, ""))
    db.commit()
    print(number)

@main.command()
@click.argument("code")
@click.pass_obj
def mark(db, code):
    db.execute("update parts set text = text || '.' where code = ?", (code,))
    db.commit()
    print("marked")

@main.command()
@click.argument("words")
@click.pass_obj
def find(db, words):
    pieces = sorted({words[at : at + 3] for at in range(len(words) - 2)})
    asked = " OR ".join('"' + piece + '"' for piece in pieces)
    for row in db.execute("select * from t where text match ? order by rank limit 20", (asked,)):
        print(*row)

main()
"""


@pytest.mark.parametrize("count", SIZES)
def test_commands_from_the_shell(
    tmp_path: Path, own_book: Callable[[int], Path], count: int
) -> None:
    """Each in turns with its peer; the time is that of the whole program."""
    tables = book_of(count)
    folder = own_book(count)
    write_peer(tmp_path / "peer.db", tables)
    script = tmp_path / "peer.py"
    script.write_text(PEER, encoding="utf-8")
    ours = [sys.executable, "-m", "tagbench", "--book", str(folder)]
    theirs = [sys.executable, str(script), str(tmp_path / "peer.db")]
    code = make_code("TP", 7)
    rows = []
    for name, mine, peers in (
        ("show", ["show", code], ["show", code]),
        ("strip", ["strip", "drum", "--from", "Hub"], ["strip", "drum"]),
        ("mark", ["mark", code, "degreased"], ["mark", code]),
        ("find", ["find", "gudgen pin left"], ["find", "gudgen pin left"]),
    ):
        if code not in tables.parts:
            continue
        row = TABLE.compare(
            f"command {name}",
            "click + sqlite3",
            count,
            program_milliseconds([*ours, *mine]),
            program_milliseconds([*theirs, *peers]),
            Wanted(ratio=WANTED.get((name, count))),
            turns=TURNS_OF.get(count, TURNS),
        )
        rows.append(row)
    reached(*rows)


def test_help_against_the_version() -> None:
    """The list of all commands needs none of them."""
    ours = [sys.executable, "-m", "tagbench"]
    asked, version = (program_milliseconds([*ours, way]) for way in ("--help", "--version"))
    reached(TABLE.compare("--help", "--version", 0, asked, version, Wanted(ratio=HELP)))
