"""What the shell completes, how wide the help is, and what commands end with."""

from __future__ import annotations

import re
from pathlib import Path

import click
import pytest

from tagbench import cli
from tagbench.cli import EXIT_CODES, WIDEST
from tagbench.commands.registry import MOMENTS
from tagbench.errors import BadInput, BookError, ExitCode, NotFound, Refused
from tests.commands.conftest import Tagbench


def completed(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], words: str
) -> list[str]:
    """What bash is told for the last of the words, as click's own script asks."""
    typed = words.split(" ")
    monkeypatch.setenv("COMP_WORDS", words)
    monkeypatch.setenv("COMP_CWORD", str(len(typed) - 1))
    monkeypatch.setenv("_TAGBENCH_COMPLETE", "bash_complete")
    with pytest.raises(SystemExit):
        cli.tagbench.main(args=[], prog_name="tagbench", standalone_mode=False)
    told = (line.partition(",") for line in capsys.readouterr().out.splitlines())
    return [value for kind, _, value in told if kind == "plain"]


@pytest.fixture
def book(tagbench: Tagbench, folder: Path) -> str:
    """A book with a machine, a part in a bag and another part."""
    tagbench("machine", "add", "Tarnbrook Packman", "--mark", "TP")
    tagbench("strip", "brake drum", "--from", "Front wheel / Brake", "--bin", "Bag 7")
    tagbench("strip", "hub nut", "--from", "Front wheel / Brake")
    return f"tagbench --book {folder}"


def test_commands_and_options_complete(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """By click's own completion."""
    assert completed(monkeypatch, capsys, "tagbench str") == ["strip"]
    assert completed(monkeypatch, capsys, "tagbench strip --fr") == ["--from"]


def test_values_of_the_book_complete(
    book: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Codes in any case, marks, stock, kinds, assemblies."""
    capsys.readouterr()
    assert len(completed(monkeypatch, capsys, f"{book} show tp")) == 2
    assert len(completed(monkeypatch, capsys, f"{book} show bin")) == 1
    assert completed(monkeypatch, capsys, f"{book} tags --machine ") == ["TP"]
    assert "a4-3x7-63.5x38.1" in completed(monkeypatch, capsys, f"{book} tags --stock a4-3")
    assert "gasket" in completed(monkeypatch, capsys, f"{book} strip x --kind gas")


def test_files_complete_with_the_kinds_that_are_written(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A report is a page, a text or a table; no command offers what it refuses."""
    found = completed(monkeypatch, capsys, "tagbench report count -o sheet")
    assert found == ["sheet.pdf", "sheet.html", "sheet.txt", "sheet.csv"]
    found = completed(monkeypatch, capsys, "tagbench wants shop -o list")
    assert found == ["list.txt", "list.csv"]


def test_a_book_that_cannot_be_read_completes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """And says nothing into the line that is being typed."""
    (tmp_path / "book.json").write_text("{ rubbish")
    assert completed(monkeypatch, capsys, f"tagbench --book {tmp_path} show t") == []
    assert capsys.readouterr().err == ""


def test_the_help_uses_the_width_there_is(
    tagbench: Tagbench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Up to 100 columns, no more and not less where there are fewer."""
    for columns, widest in ((300, WIDEST), (100, WIDEST), (70, 70)):
        monkeypatch.setenv("COLUMNS", str(columns))
        lines = tagbench("torque", "--help").out.splitlines()
        assert widest - 20 < max(map(len, lines)) <= widest


def test_there_is_one_table_of_exit_codes() -> None:
    """The errors take theirs from it, and the help says it."""
    assert (BadInput.exit_code, Refused.exit_code, NotFound.exit_code) == (ExitCode.BAD_INPUT,) * 3
    assert BookError.exit_code == ExitCode.FAILED
    said = [int(code) for code in re.findall(r"(?:: |; )(\d)\b", EXIT_CODES)]
    assert said == [int(code) for code in ExitCode]


@pytest.mark.parametrize("name", [name for names in MOMENTS.values() for name in names])
def test_every_command_keeps_the_table(tagbench: Tagbench, name: str) -> None:
    """Its help is done, an option that there is not is bad input, in one line."""
    try:
        cli.tagbench.get_command(click.Context(cli.tagbench), name)
    except ModuleNotFoundError:
        pytest.skip("its module is not here yet")
    assert tagbench(name, "--help").code == ExitCode.DONE
    said = tagbench(name, "--no-such-option")
    assert said.code == ExitCode.BAD_INPUT
    assert len(said.err.splitlines()) == 1
