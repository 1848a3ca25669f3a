"""What is said of words that a command does not take: plain sentences instead of click's."""

from __future__ import annotations

import re
from collections.abc import Sequence

import click

_NUMBER = re.compile(r"'(?P<value>.*)' is not a valid (?P<kind>integer|float)", re.DOTALL)
_RANGE = re.compile(
    r"(?P<value>\S+) is not in the range "
    r"(?:(?P<least>[^<>x]+)<=)?x(?:<=(?P<most>.+?)|>=(?P<least_alone>.+?))?\.?$"
)
_CHOICE = re.compile(r"'(?P<value>.*)' is not one of (?P<names>'.*')", re.DOTALL)
_FOLDER = re.compile(r"(?:File|Path) '(?P<value>.*)' is a directory", re.DOTALL)
_EXTRA = re.compile(r"unexpected extra arguments? \((?P<words>.*)\)", re.DOTALL)
MOST_LIKE = 3
"""How many names are offered for one that was mistyped."""


def usage_words(error: click.ClickException) -> str:
    """The sentence for a mistake in the words of a command, with where its help is."""
    ctx = getattr(error, "ctx", None)
    hint = f" See `{ctx.command_path} --help`." if ctx else ""
    if isinstance(error, click.NoSuchOption):
        if error.option_name in ("--book", "--on"):
            name = error.option_name
            return f"{name} stands before the command: tagbench {name} …"
        like = _like(error.possibilities)
        return f"There is no option {error.option_name} here.{like}{hint}"
    if isinstance(error, click.exceptions.NoSuchCommand):
        return f"There is no command {error.command_name} here.{_like(error.possibilities)}{hint}"
    if isinstance(error, click.MissingParameter):
        return f"{_missing(error)}{hint}"
    if isinstance(error, click.BadParameter):
        return f"{_bad_value(error)}{hint}"
    if isinstance(error, click.BadOptionUsage) and "requires an argument" in error.message:
        return f"{error.option_name} needs its value behind it.{hint}"
    if extra := _EXTRA.search(error.format_message()):
        name = ctx.info_name if ctx else "the command"
        return f"“{extra['words']}” is more than {name} takes; put one text in quotes.{hint}"
    return f"{error.format_message().rstrip('.')}.{hint}"


def _like(names: Sequence[str] | None) -> str:
    """` Did you mean --found?`, or nothing."""
    return f" Did you mean {_either(list(names)[:MOST_LIKE])}?" if names else ""


def _either(names: Sequence[str]) -> str:
    """`a, b or c`."""
    return " or ".join(filter(None, [", ".join(names[:-1]), names[-1]]))


def _missing(error: click.MissingParameter) -> str:
    name = error.ctx.info_name if error.ctx else "The command"
    return f"{name} still needs {_called(error)}."


def _called(error: click.BadParameter) -> str:
    """The option or argument as it is typed: `--dpi`, `PICTURE`."""
    if error.param is None:
        return str(error.param_hint or "a value")
    if isinstance(error.param, click.Option):
        return max(error.param.opts, key=len)
    return error.param.make_metavar(error.ctx or click.Context(click.Command(""))).strip("[].")


def _bad_value(error: click.BadParameter) -> str:
    """Read from what click says: the types may be wrapped by what the shell completes."""
    said, called = error.message, _called(error)
    if text := _NUMBER.match(said):
        kind = "whole number" if text["kind"] == "integer" else "number"
        return f"{called} takes a {kind}, not “{text['value']}”."
    if text := _RANGE.match(said):
        span = _range(text["least"] or text["least_alone"], text["most"])
        return f"{called} is {span}, not {text['value']}."
    if text := _CHOICE.match(said):
        names = re.findall(r"'([^']*)'", text["names"])
        return f"{called} is {_either(names)}, not “{text['value']}”."
    if text := _FOLDER.search(said):
        return f"{text['value']} is a folder; {called} takes a file."
    return f"{called}: {said.rstrip('.')}."


def _range(least: str | None, most: str | None) -> str:
    """`from 0.1 to 0.9`, `1 or more`, `at most 9`."""
    if least is None:
        return f"at most {most}"
    return f"{least} or more" if most is None else f"from {least} to {most}"
