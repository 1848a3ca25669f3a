"""What all commands share: the book they work on, `--json`, and how they print."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Mapping
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click
from msgspec import Struct, to_builtins

from tagbench.commands.named_book import book_there, must_hold_one
from tagbench.records import Bin, Part, Record, to_json

if TYPE_CHECKING:
    from tagbench.book import Book

F = TypeVar("F", bound=Callable[..., Any])
JsonObject = dict[str, Any]
"""What `--json` prints, in plain types."""


def default_folder() -> Path:
    """The book folder when `--book` is not given: `TAGBENCH_BOOK`, else the user data folder."""
    named = os.environ.get("TAGBENCH_BOOK", "").strip()
    if named:
        return Path(named)
    import platformdirs

    return platformdirs.user_data_path("tagbench") / "book"


class Workplace:
    """The book that the commands of one run work on; opened when first asked for."""

    def __init__(self, folder: Path | None, on: date | None = None, begins: bool = True) -> None:
        """`on`: the day as of which the book is looked at; `begins`: whether one may be begun."""
        self.chosen = folder is not None or bool(os.environ.get("TAGBENCH_BOOK", "").strip())
        self.folder = book_there(folder or default_folder())
        self._on = on
        self._begins = begins
        self._book: Book | None = None

    @property
    def book(self) -> Book:
        """The open book; raises BookError when it cannot be read."""
        if self._book is None:
            self._book = self._opened()
        return self._book

    def _opened(self) -> Book:
        from tagbench.book import Book

        if self.folder.is_file():
            from tagbench.book.copies import ReadOnlyBook

            return ReadOnlyBook.of_file(self.folder)
        if self.chosen and not self._begins:
            must_hold_one(self.folder)
        book = Book(self.folder)
        if self._on is not None:
            from tagbench.book.copies import ReadOnlyBook

            return ReadOnlyBook.of_day(book, self._on)
        return book

    def close(self) -> None:
        """Closes the book if it was opened."""
        if self._book is not None:
            self._book.close()
            if self._book.fault:
                click.echo(f"Note: {self._book.fault}; “check --mend” puts that right.", err=True)


pass_workplace = click.make_pass_decorator(Workplace)


def json_option(function: F) -> F:
    """Adds `--json`, passed on as `as_json`."""
    return click.option("--json", "as_json", is_flag=True, help="Print the records as JSON.")(
        function
    )


def book_command(function: Callable[..., Any]) -> Callable[..., Any]:
    """Passes the workplace, and adds `--json`: what a command has that prints records."""
    return json_option(pass_workplace(function))


def print_json(value: object) -> None:
    """Prints records, lists and dictionaries of them as JSON with every field."""
    import json

    click.echo(json.dumps(_plain(value), ensure_ascii=False, indent=1))


def print_lines(lines: Iterable[str]) -> None:
    """Prints lines for a person."""
    for line in lines:
        click.echo(line)


def print_answer(as_json: bool, plain: object, lines: Iterable[str]) -> None:
    """Prints an answer: as JSON what `plain` holds, else the lines for a person."""
    if as_json:
        print_json(plain)
    else:
        print_lines(lines)


def _plain(value: object) -> Any:
    if isinstance(value, Record):
        return to_json(value)
    if isinstance(value, dict):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    if isinstance(value, Struct):
        return to_builtins(value, enc_hook=float)  # the one foreign type is the Fraction
    return value


def part_json(part: Part, bins: Mapping[str, Bin]) -> dict[str, Any]:
    """One part as the commands print it: its fields, and the path of the bins it is kept in.

    `bin` is where it lies now: empty for a part on the machine, with someone else or lost.
    """
    from tagbench.rules.bin_contents import bin_of
    from tagbench.rules.bins import kept_in

    here = bin_of(part)
    return {**to_json(part), "bin": here, "kept_in": list(kept_in(here, bins))}


def parts_json(parts: Iterable[Part], bins: Mapping[str, Bin]) -> object:
    """What a command prints that may be about several parts: of one it is an object."""
    return one_or_list([part_json(part, bins) for part in parts])


def one_or_list(plain: list[dict[str, Any]]) -> object:
    """One thing as an object, several as a list."""
    return plain[0] if len(plain) == 1 else plain
