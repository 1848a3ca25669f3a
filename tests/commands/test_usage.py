"""Words that a command does not take are answered with a plain sentence and where the help is."""

from __future__ import annotations

from pathlib import Path

import pytest

from tagbench.cli import run
from tests.commands.conftest import Tagbench
from tests.commands.test_exit_codes import ALL


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("trace", "--dpi", "x"), "--dpi takes a number, not “x”."),
        (("strip", "hub", "--quantity", "x"), "--quantity takes a whole number, not “x”."),
        (("wants", "edit", "x"), "WANT takes a whole number, not “x”."),
        (("trace", "g.jpg", "--threshold", "3"), "--threshold is from 0.1 to 0.9, not 3.0."),
        (("undo", "0"), "NUMBER is 1 or more, not 0."),
        (("mat", "--paper", "a5"), "--paper is a4 or letter, not “a5”."),
        (("mark",), "mark still needs CODE."),
        (("strip", "hub", "--photo"), "--photo needs its value behind it."),
        (("lost", "4", "--foud"), "There is no option --foud here. Did you mean --found?"),
        (("frob",), "There is no command frob here."),
        (("show", "4", "5", "6"), "“5 6” is more than show takes; put one text in quotes."),
        (("show", "--on", "3"), "--on stands before the command: tagbench --on …"),
    ],
    ids=str,
)
def test_it_is_a_plain_sentence(tagbench: Tagbench, words: tuple[str, ...], said: str) -> None:
    answer = tagbench(*words)
    assert (answer.code, answer.err.count("\n")) == (2, 1)
    assert answer.err.startswith(said)


def test_a_folder_for_a_picture_is_called_one(tagbench: Tagbench, tmp_path: Path) -> None:
    said = tagbench("lay", str(tmp_path))
    assert (said.code, said.err.partition(".")[0]) == (
        2,
        f"{tmp_path} is a folder; PICTURE takes a file",
    )


@pytest.mark.parametrize("words", [(), *ALL], ids=" ".join)
def test_h_is_help(words: tuple[str, ...], capsys: pytest.CaptureFixture[str]) -> None:
    assert run([*words, "-h"]) == 0
    short = capsys.readouterr().out
    assert run([*words, "--help"]) == 0
    assert short == capsys.readouterr().out
    assert "Usage: tagbench" in short
