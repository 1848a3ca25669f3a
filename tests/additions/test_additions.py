"""One row of a registry and a file of its own add a thing to every front end.

The program is copied, six things are added to the copy as a developer would add them, and the copy
is asked (`probes.py`) whether its parser, screens, help, phone pages and count know them.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

import pytest

ROOT = Path(__file__).parents[2]


class Row(NamedTuple):
    """A text put into a file that is there."""

    file: str
    """The file, under `tagbench/`."""
    before: str
    """What stands behind the new text; it must stand there once."""
    text: str
    """The new text."""


class NewFile(NamedTuple):
    """A file of its own."""

    file: str
    """Its path under `tagbench/`."""
    text: str
    """All of it."""


CARE_STEP = """    CareKind(
        "polished",
        "polish",
        "h",
        "Polished, with what was used last.",
        "to polish",
        wanted_by="used pieces",
        usual_with=("metal polish",),
        cautions_of="degreased",
    ),
"""
QUANTITY = """resistance,Ω,1,ω ohm ohms,Ω or kΩ,4.7 kΩ,definition
resistance,kΩ,1000,kω kohm kohms,,,definition
"""
WEIGHT_SHEET = '''"""How many pieces there are, part by part."""

from tagbench.reports.paper.blocks import Line, Sheet


def sheet(request):
    lines = (Line(f"{part.name} {part.quantity}") for part in request.parts)
    return Sheet("Weight sheet", "", lines)


def rows(request):
    yield ("code", "pieces")
    yield from ((part.code, part.quantity) for part in request.parts)
'''
WEIGH_SCREEN = '''"""Weighing."""

from textual.widgets import Static

from tagbench.screens.shared.base import TagbenchScreen


class WeighScreen(TagbenchScreen):
    """The scales."""

    screen_name = "weigh"

    def body(self):
        yield Static("the scales show nothing yet", id="scales")
'''
WEIGH_COMMAND = '''"""Weighing."""

import click


@click.command()
def weigh() -> None:
    """Put a part on the scales."""
    click.echo("the scales show nothing yet")
'''
ADDITIONS: Mapping[str, tuple[Row | NewFile, ...]] = {
    "care step": (Row("records/care_steps.py", ')\n"""The care steps in the', CARE_STEP),),
    "setting kind": (Row("trade/tables/units.csv", "angle,°", QUANTITY),),
    "fastener head": (
        Row(
            "trade/tables/heads.csv",
            "wing,hand",
            "pancake,driver,,,pancake|pancake head,practice\n",
        ),
    ),
    "report": (
        NewFile("reports/weight_sheet.py", WEIGHT_SHEET),
        Row(
            "reports/tables/reports.csv",
            "book,Whole",
            "weights,Weight sheet,weight_sheet,,,,what it weighs\n",
        ),
    ),
    "screen": (
        NewFile("screens/find/weigh.py", WEIGH_SCREEN),
        Row(
            "screens/frame/tables/screens.csv",
            "part,,",
            "weigh,,Weigh,find.weigh:WeighScreen,yes,Weighs parts.\n",
        ),
    ),
    "command": (
        NewFile("commands/weigh.py", WEIGH_COMMAND),
        Row(
            "commands/tables/commands.csv",
            "Clean and inspect,soak,",
            "Clean and inspect,weigh,weigh:weigh,yes,Put a part on the scales.\n",
        ),
    ),
}
"""What is added → where."""
FILES = {
    "care step": 1,
    "setting kind": 1,
    "fastener head": 1,
    "report": 2,
    "screen": 2,
    "command": 2,
}
"""What is added → the number of files it touches, its own among them."""


@pytest.mark.parametrize("thing", ADDITIONS)
def test_so_many_files_are_touched(thing: str) -> None:
    """One registry, and the file of the thing itself where it has one."""
    assert len({one.file for one in ADDITIONS[thing]}) == FILES[thing]


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The program and its tests with the six things added."""
    copy = tmp_path_factory.mktemp("copy")
    for folder in ("tagbench", "tests"):
        shutil.copytree(ROOT / folder, copy / folder)
    shutil.copy(ROOT / "pyproject.toml", copy)
    for one in (one for added in ADDITIONS.values() for one in added):
        path = copy / "tagbench" / one.file
        if isinstance(one, NewFile):
            assert not path.exists()
            path.write_text(one.text, encoding="utf-8")
        else:
            text = path.read_text(encoding="utf-8")
            assert text.count(one.before) == 1, one
            path.write_text(text.replace(one.before, one.text + one.before), encoding="utf-8")
    return copy


def test_every_front_end_knows_what_was_added(copy: Path) -> None:
    """Parser, screens, help, phone pages, count: what `probes.py` asks."""
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-p", "no:cacheprovider", "tests/additions/probes.py"],
        cwd=copy,
        env={**os.environ, "PYTHONPATH": str(copy), "PYTEST_ADDOPTS": ""},
        capture_output=True,
        text=True,
        check=False,
        timeout=150,
    )
    assert done.returncode == 0, done.stdout + done.stderr
