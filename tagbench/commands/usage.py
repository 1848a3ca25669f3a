"""What is said of words that a command does not take: plain sentences instead of click's."""

from __future__ import annotations

import re
from collections.abc import Sequence

import click

_SAID = re.compile(r"'(?P<value>.*)' is not a valid ", re.DOTALL)
"""How click begins when a text is no number."""
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
    said, called = error.message, _called(error)
    kind = error.param.type if error.param is not None else None
    if text := _SAID.search(said):
        whole = isinstance(kind, click.types.IntParamType)
        return f"{called} takes a {'whole number' if whole else 'number'}, not “{text['value']}”."
    if isinstance(kind, click.IntRange | click.FloatRange) and "not in the range" in said:
        return f"{called} is {_range(kind)}, not {said.split()[0]}."
    if isinstance(kind, click.Choice) and "is not one of" in said:
        value = said.partition(" is not one of")[0].strip("'")
        return f"{called} is {_either([str(one) for one in kind.choices])}, not “{value}”."
    if isinstance(kind, click.Path) and (text := _FOLDER.search(said)):
        return f"{text['value']} is a folder; {called} takes a file."
    return f"{called}: {said.rstrip('.')}."


def _range(kind: click.IntRange | click.FloatRange) -> str:
    """`from 0.1 to 0.9`, `1 or more`, `at most 9`."""
    if kind.min is None:
        return f"at most {kind.max:g}"
    return f"{kind.min:g} or more" if kind.max is None else f"from {kind.min:g} to {kind.max:g}"
