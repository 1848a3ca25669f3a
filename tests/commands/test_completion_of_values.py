"""Every parameter of every command is completed, or it is said why there is nothing to offer."""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from tagbench.cli import tagbench as group
from tagbench.commands import completion
from tagbench.commands.completion import (
    ENDINGS,
    FileOfKind,
    FromBook,
    completed,
    offer_values,
)
from tagbench.commands.registry import MOMENTS
from tests.commands.conftest import Tagbench

Parameter = tuple[str, click.Parameter]
"""The words of a command, and one of its parameters."""

FREE = {
    "what a person says": "name what text note why caption last_seen maker model serial what_for "
    "source differs diagram routing part_number sits_how number by words designation new_name",
    "a figure with its unit": "across angle around arms before bolts bore castle_nut centres "
    "circle close copies count counts cross_holes dpi distances dropped engaged estimate extension "
    "figures height high hole holes hours length level limit low maximum minimum new now offset "
    "outline piston pitch pulleys quantity range_text reading readings rod short since size "
    "sizes slots span stroke teeth thickness threshold torque tpi uncertainty unit used_on value "
    "values wrench depth steps year first spare port ahead left top down links drum scale",
    "fasteners and parts as they are written on a bag": "fasteners measured missing own_parts pins "
    "parts part line",
    "a day in the past": "on",
    "money": "price deposit currency",
    "a word of a table that its help lists": "grade friction metal face reason bare",
}
"""Why nothing is offered → the parameters by their names."""
WHY_NOT = {name: why for why, names in FREE.items() for name in names.split()}


def every_parameter() -> Iterator[Parameter]:
    """Of each command and of those under it; flags are completed with the options."""
    yield from (("", one) for one in group.params)
    ctx = click.Context(group)
    for names in MOMENTS.values():
        for name in names:
            command = group.get_command(ctx, name)
            assert command is not None
            yield from _of(offer_values(command), name)


def _of(command: click.Command, words: str) -> Iterator[Parameter]:
    for param in command.params:
        if not getattr(param, "is_flag", False):
            yield words, param
    if isinstance(command, click.Group):
        for name, one in command.commands.items():
            yield from _of(one, f"{words} {name}")


def how(param: click.Parameter) -> str:
    """How it is completed; empty when it is not."""
    kind = param.type
    if isinstance(kind, FromBook):
        return "from the book"
    if isinstance(kind, FileOfKind):
        return "a file of its kinds"
    if isinstance(kind, click.Path):
        return "a path"
    if isinstance(kind, click.Choice):
        return "a choice"
    return "a switch" if isinstance(kind, type(click.BOOL)) else ""


def test_every_parameter_is_completed_or_it_is_said_why_not() -> None:
    missing = [
        f"{words} {param.name}"
        for words, param in every_parameter()
        if not how(param) and param.name not in WHY_NOT
    ]
    assert not missing


def test_no_entry_is_left_over() -> None:
    """Each names a parameter that there is, so that a renamed one is noticed."""
    there = [(words, param.name or "") for words, param in every_parameter()]
    names = {name for _, name in there}
    assert {name for words, name in completed() if not words} <= names
    groups = {f"{words.rpartition(' ')[0]} {name}" for words, name in there}
    of_commands = {f"{words} {name}" for words, name in completed() if words}
    assert of_commands <= {f"{words} {name}" for words, name in there} | groups
    assert set(ENDINGS) <= {words for words, _ in there}
    functions = {
        name
        for name, one in vars(completion).items()
        if inspect.isfunction(one) and [*inspect.signature(one).parameters] in (["book"], ["_book"])
    }
    assert functions <= {"bin_codes", *completed().values()}
    assert set(WHY_NOT) <= names


def test_files_that_are_written_complete_with_their_kinds() -> None:
    """Every `-o`."""
    for words, param in every_parameter():
        if "-o" in param.opts:
            assert how(param) == "a file of its kinds", words


@pytest.fixture
def asked(
    tagbench: Tagbench, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[click.Context]:
    """A context over a book with something of most kinds in it."""
    tags = str(folder.parent / "tags.pdf")
    for typed in (
        ("machine", "add", "Tarnbrook Packman", "--mark", "TP"),
        ("strip", "brake drum", "--from", "Front wheel / Brake", "--bin", "Shelf A / Bag 7"),
        ("strip", "shoe", "--from", "Front wheel / Brake", "--position", "left"),
        ("strip", "stay", "--fasteners", "2x M6x20"),
        ("away", "pack", "TP-3", "--to", "Hill Plating"),
        ("tags", "--spare", "2", "-o", tags),
        ("wants", "add", "felt seal", "--supplier", "Old Stores"),
        ("settings", "add", "chain slack", "20-30 mm"),
        ("leftover", "M6 bolt 20 long"),
        ("stock", "set", "cotter pin 3.2x32", "4"),
        ("away", "send", "TP-2", "--to", "Hill Plating"),
        ("soak", "TP-1", "--tray", "tray 2", "--with", "kerosene"),
        ("reading", "TP-1", "bore", "20.1 mm"),
    ):
        assert tagbench(*typed).code == 0, typed
    yield click.Context(group)


OFFERED = [
    ("show code", r"BIN-\d+-\w"),
    ("show code", r"TP-\d+-\w"),
    ("tags stock", "a4-3x8-70x37"),
    ("tags mark", "TP"),
    ("strip assembly", "Front wheel / Brake"),
    ("strip bin_text", "Shelf A / Bag 7"),
    ("strip position", "left"),
    ("strip name", "brake drum"),
    ("strip kind", "gasket"),
    ("strip code", r"TP-\d+-\w"),
    ("bins add kind", "shelf"),
    ("bins move name", "Shelf A"),
    ("mark what", "degreased"),
    ("mark with_what", "kerosene"),
    ("mark day", "yesterday"),
    ("soak tray", "tray 2"),
    ("care name", "undecided"),
    ("cautions ids", "brake dust"),
    ("finish what", "painted"),
    ("reading what", "bore"),
    ("away count number", "1"),
    ("away send who", "Hill Plating"),
    ("away send due", "in 2 weeks"),
    ("wants order numbers", "1"),
    ("wants order supplier", "Old Stores"),
    ("stock take what", r"cotter pin 3\.2x32"),
    ("settings measure number", "1"),
    ("leftover explain", "1"),
    ("report about", "Front wheel / Brake"),
    ("undo number", "1"),
    ("make material", "cork"),
    ("machine add torque_unit", "lbf·ft"),
    ("backups take", "all"),
    ("phone host", "home"),
    ("usual what", "ring gap"),
]
"""Parameter and what must be among what is told for it."""


def test_values_are_those_of_the_book(asked: click.Context, folder: Path) -> None:
    """One of each kind, told to the shell for the start that was typed."""
    asked.params["folder"] = folder
    every = {(told, one.name or ""): one for told, one in every_parameter()}
    for parameter, value in OFFERED:
        words, _, name = parameter.rpartition(" ")
        param = every[words, name]
        offered = [item.value for item in param.type.shell_complete(asked, param, "")]
        assert any(re.fullmatch(value, one) for one in offered), (parameter, offered)
