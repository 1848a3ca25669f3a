"""The commands by moment of the job: where each is written, and in which part of the help."""

from __future__ import annotations

import importlib
import os
from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

import click

from tagbench.trade.published import read_table


class CommandEntry(NamedTuple):
    """A command of the registry."""

    written_in: str
    """`module:function` below `tagbench.commands`."""
    help: str
    """What it is for: the first sentence of its own help, so that the list needs no module."""
    begins: bool
    """Whether it begins a book where there is none; one that only looks says that there is none."""


def _moments() -> Mapping[str, Mapping[str, CommandEntry]]:
    moments: dict[str, dict[str, CommandEntry]] = {}
    for row in read_table("commands", "tagbench.commands"):
        entry = CommandEntry(row["written_in"], row["help"], row["begins"] == "yes")
        moments.setdefault(row["moment"], {})[row["command"]] = entry
    return MappingProxyType(moments)


MOMENTS = _moments()
"""Moment of the job → its commands in the order of the work: `tables/commands.csv`."""
ASKED_BY = "_TAGBENCH_COMPLETE"
"""The variable that the shell asks with what may follow."""


def _with_values(command: click.Command) -> click.Command:
    """The command with what the shell completes for its parameters."""
    from tagbench.commands.completion import offer_values

    return offer_values(command)


def begins_a_book(name: str) -> bool:
    """Whether a command begins a book where there is none; so do the screens, without a name."""
    return all(commands[name].begins for commands in MOMENTS.values() if name in commands)


class CommandsByMoment(click.Group):
    """A group whose commands are imported when they are called, and listed by moment of the job."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The names of all commands, moment by moment."""
        return [name for commands in MOMENTS.values() for name in commands]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name, or None."""
        for commands in MOMENTS.values():
            if cmd_name in commands:
                module, name = commands[cmd_name].written_in.split(":")
                command = getattr(importlib.import_module(f"tagbench.commands.{module}"), name)
                assert isinstance(command, click.Command)
                return _with_values(command) if ASKED_BY in os.environ else command
        return None

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """One section of the help for each moment."""
        for moment, commands in MOMENTS.items():
            with formatter.section(moment):
                formatter.write_dl([(name, entry.help) for name, entry in commands.items()])
