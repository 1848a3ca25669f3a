"""Which machine or part a command is about: `--machine MARK`, else the chosen one; a code."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any, TypeVar

import click

from tagbench.book.operations.machines import by_mark, chosen
from tagbench.commands.base import Workplace
from tagbench.errors import BadInput, NotFound
from tagbench.records import Machine, Part, Tables
from tagbench.rules.scan import part_with, short_form, typed_part

F = TypeVar("F", bound=Callable[..., Any])


def machine_option_with(words: str) -> Callable[[F], F]:
    """Adds `--machine`, passed on as `mark`; `words` are its help."""
    return click.option("--machine", "mark", default="", help=words)


machine_option = machine_option_with("Mark of the machine; else the chosen one.")
"""Adds `--machine` for a command that is about one machine."""


def machine_meant(tables: Tables, mark: str) -> Machine:
    """The machine with this mark, else the chosen one, else the only one.

    Raises NotFound on a book without machines, BadInput when there are several and none is chosen.
    """
    if mark.strip():
        return by_mark(tables, mark)
    machine = chosen(tables)
    if machine is None and tables.machines:
        marks = ", ".join(sorted(tables.machines))
        raise BadInput(f"Which machine? Choose one first with: machine choose MARK ({marks}).")
    if machine is None:
        raise NotFound("The book is empty; take a first part off with: strip NAME --from ASSEMBLY.")
    return machine


def part_meant(tables: Tables, text: str) -> Part:
    """The part with the code that was typed; BadInput when it is a bin's or a spare tag's."""
    return part_with(tables, typed_part(tables, text))


def key_meant(text: str, *books: Tables) -> str:
    """The key of a record that may be gone: a short form in the first book that has one, else as
    it was typed."""
    found = (short_form(tables, text) for tables in books)
    return next(filter(None, found), text.strip().upper())


def codes_meant(workplace: Workplace, codes: Iterable[str]) -> tuple[str, ...]:
    """The codes of parts that were typed, in their one spelling."""
    return tuple(part_meant(workplace.book.records, code).code for code in codes)
