"""A book of its own for every test, and the commands as a person types them."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from tagbench.cli import run


@dataclass(frozen=True)
class Said:
    """What a command printed, and its exit code."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """The output read as JSON."""
        return json.loads(self.out)


Tagbench = Callable[..., Said]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A book folder that is not there yet."""
    return tmp_path / "book"


@pytest.fixture
def tagbench(folder: Path, capsys: pytest.CaptureFixture[str]) -> Tagbench:
    """Runs one command on the book."""

    def call(*words: str) -> Said:
        code = run(["--book", str(folder), *words])
        printed = capsys.readouterr()
        return Said(code, printed.out, printed.err)

    return call
