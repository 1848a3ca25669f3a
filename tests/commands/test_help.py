"""`tagbench --help` lists every command under the moment of the job it belongs to."""

from __future__ import annotations

import importlib
import pkgutil

import click

import tagbench.commands
from tagbench.commands.registry import MOMENTS, CommandsByMoment
from tests.commands.conftest import Tagbench


def test_the_help_has_a_section_for_each_moment_with_its_commands(tagbench: Tagbench) -> None:
    """In the order of the work, each with what it does."""
    out = tagbench("--help").out
    places = [out.index(f"{moment}:") for moment in MOMENTS]
    assert places == sorted(places)
    for commands in MOMENTS.values():
        for name in commands:
            assert f"\n  {name} " in out


def test_every_command_that_is_written_is_in_the_registry() -> None:
    """And none is there twice."""
    listed = [where for commands in MOMENTS.values() for where in commands.values()]
    assert len(listed) == len(set(listed))
    group = CommandsByMoment()
    known = {
        id(group.get_command(click.Context(group), name))
        for commands in MOMENTS.values()
        for name in commands
    }
    for module in pkgutil.iter_modules(tagbench.commands.__path__):
        found = vars(importlib.import_module(f"tagbench.commands.{module.name}")).values()
        groups = [one for one in found if isinstance(one, click.Group)]
        within = {id(sub) for one in groups for sub in one.commands.values()}
        for one in vars(importlib.import_module(f"tagbench.commands.{module.name}")).values():
            if isinstance(one, click.Command) and id(one) not in within:
                assert id(one) in known, one.name
