"""One table of exit codes that every command keeps, and help that uses the width there is."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from tagbench.cli import EXIT_CODES, WIDEST, run, tagbench
from tagbench.commands.registry import MOMENTS
from tagbench.errors import ExitCode


def every_command() -> Iterator[tuple[str, ...]]:
    """The words of every command and of those under it."""
    ctx = click.Context(tagbench)
    for commands in MOMENTS.values():
        for name in commands:
            command = tagbench.get_command(ctx, name)
            yield (name,)
            if isinstance(command, click.Group):
                for below in command.list_commands(ctx):
                    yield name, below


ALL = list(every_command())


def test_the_table_is_that_of_the_program() -> None:
    """`--help` prints what `ExitCode` holds."""
    printed = {int(figure) for figure in re.findall(r"(?:: |; )([0-9]) ", EXIT_CODES)}
    assert printed == {int(code) for code in ExitCode} == {0, 1, 2}


@pytest.mark.parametrize("words", ALL, ids=" ".join)
def test_every_command_keeps_it(
    words: tuple[str, ...], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """0 for its help, 2 for an option that is not there, 2 for too many words."""
    book = ("--book", str(tmp_path / "book"))
    assert run([*book, *words, "--help"]) == ExitCode.DONE
    help_text = capsys.readouterr().out
    assert max(map(len, help_text.splitlines())) <= WIDEST
    assert run([*book, *words, "--no-such-option"]) == ExitCode.BAD_INPUT
    assert len(capsys.readouterr().err.splitlines()) == 1


@pytest.mark.parametrize("words", ALL, ids=" ".join)
def test_a_book_that_is_damaged_is_a_failure_and_never_bad_input_or_success(
    words: tuple[str, ...], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """1 where the command came to the book, 2 where it was told too little before; no traceback."""
    folder = tmp_path / "book"
    folder.mkdir()
    (folder / "book.json").write_text("{ rubbish")
    code = run(["--book", str(folder), *words])
    out, err = capsys.readouterr()
    assert "unexpected" not in err
    if code == ExitCode.FAILED:
        assert "damaged" in err or "problem" in out
