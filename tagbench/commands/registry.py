"""The commands by moment of the job: where each is written, and in which part of the help."""

from __future__ import annotations

import importlib
import os
from collections.abc import Mapping
from types import MappingProxyType

import click

MOMENTS: Mapping[str, Mapping[str, str]] = MappingProxyType(
    {
        "Before you start": {
            "demo": "demo:demo",
            "machine": "machine:machine",
            "bins": "bins:bins",
            "tags": "tags:tags",
            "printer": "printer:printer",
            "import": "files:import_csv",
        },
        "Strip": {
            "strip": "strip:strip",
            "edit": "edit:edit",
            "remove": "edit:remove",
            "stays": "whereabouts:stays",
            "photos": "photos:photos",
            "boltcard": "printer:boltcard",
        },
        "Find": {
            "find": "look:find",
            "show": "look:show",
            "scan": "look:scan",
            "lost": "whereabouts:lost",
            "phone": "phone:phone",
        },
        "Clean and inspect": {
            "mark": "care:mark",
            "soak": "care:soak",
            "care": "care:care",
            "inspect": "inspect:inspect",
            "reading": "inspect:reading",
            "cautions": "inspect:cautions",
            "finish": "whereabouts:finish",
            "away": "away:away",
        },
        "Buy and make": {
            "wants": "buy:wants",
            "stock": "stock:stock",
            "number": "number:number",
            "make": "make:make",
            "old": "whereabouts:old",
        },
        "Build": {
            "build": "build:build",
            "fit": "fit:fit",
            "reach": "fit:reach",
            "settings": "settings:settings",
        },
        "Count and close": {
            "count": "count:count",
            "leftover": "whereabouts:leftover",
            "report": "report:report",
            "export": "report:export",
        },
        "Workshop figures": {
            "thread": "thread:thread",
            "torque": "torque:torque",
            "wear": "wear:wear",
            "chain": "chain:chain",
            "usual": "usual:usual",
            "gasket": "gasket:gasket",
            "mat": "mat:mat",
            "trace": "trace:trace",
        },
        "The book": {
            "history": "files:history",
            "undo": "mending:undo",
            "redo": "mending:redo",
            "check": "mending:check",
            "backups": "mending:backups",
        },
    }
)
"""Moment of the job → its commands in the order of the work, each with module and function.

A module is read only when its command is called, so that each command starts quickly.
"""


ASKED_BY = "_TAGBENCH_COMPLETE"
"""The variable that the shell asks with what may follow."""


def _with_values(command: click.Command) -> click.Command:
    """The command with what the shell completes for its parameters."""
    from tagbench.commands.completion import offer_values

    return offer_values(command)


class CommandsByMoment(click.Group):
    """A group whose commands are imported when they are called, and listed by moment of the job."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The names of all commands, moment by moment."""
        return [name for commands in MOMENTS.values() for name in commands]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name, or None."""
        for commands in MOMENTS.values():
            if cmd_name in commands:
                module, name = commands[cmd_name].split(":")
                command = getattr(importlib.import_module(f"tagbench.commands.{module}"), name)
                assert isinstance(command, click.Command)
                return _with_values(command) if ASKED_BY in os.environ else command
        return None

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """One section of the help for each moment."""
        for moment, names in MOMENTS.items():
            with formatter.section(moment):
                formatter.write_dl([(name, self._says(ctx, name)) for name in names])

    def _says(self, ctx: click.Context, name: str) -> str:
        command = self.get_command(ctx, name)
        return command.get_short_help_str(limit=120) if command else ""
