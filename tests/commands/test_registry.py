"""One registry of commands: what it says is what the commands say."""

from __future__ import annotations

import subprocess
import sys

import click
import pytest
from click.testing import CliRunner

from tagbench.cli import tagbench
from tagbench.commands.registry import MOMENTS

COMMANDS = {name: entry for commands in MOMENTS.values() for name, entry in commands.items()}


@pytest.mark.parametrize("name", COMMANDS)
def test_the_list_says_what_the_command_says(name: str) -> None:
    """Word for word, and its own help can be read."""
    command = tagbench.get_command(click.Context(tagbench), name)
    assert command is not None
    assert command.get_short_help_str(300) == COMMANDS[name].help
    assert CliRunner().invoke(tagbench, [name, "--help"]).exit_code == 0


def test_the_list_reads_no_command() -> None:
    """So that `--help` is there at once."""
    program = (
        "import sys, tagbench.cli; tagbench.cli.run(['--help']); "
        "print([m for m in sys.modules if m.startswith('tagbench.commands.')])"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    loaded = done.stdout.splitlines()[-1]
    assert "Count and close" in done.stdout
    assert all(name not in loaded for name in ("commands.care", "commands.torque", "commands.buy"))
