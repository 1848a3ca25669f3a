"""Find on the command line says what of a question is not in the book."""

from __future__ import annotations

from pathlib import Path

import pytest

from tagbench.cli import run


@pytest.fixture
def book(tmp_path: Path) -> str:
    """A book with one part."""
    folder = str(tmp_path / "book")
    assert run(["--book", folder, "strip", "hub", "--from", "Front wheel"]) == 0
    return folder


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("qq-053", "No part has the code QQ-053; nothing here has the mark QQ."),
        ("A-053", "No part has the code A-053."),
        ("xyzzyq", "Nothing fits “xyzzyq”; try fewer words."),
    ],
)
def test_what_is_not_in_the_book_is_told(
    book: str, words: str, told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    capsys.readouterr()
    assert run(["--book", book, "find", words]) == 2
    assert told in capsys.readouterr().err
