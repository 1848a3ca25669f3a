"""What the shell completes: codes, label stock, marks of machines, kinds, files by their kind.

Commands and options are click's own. The values are given to parameters by their names, and only
while the shell asks, so that a command that runs does not pay for it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click
from click.shell_completion import CompletionItem

from labels.errors import LabelError
from tagbench.commands.base import Workplace
from tagbench.errors import TagbenchError

if TYPE_CHECKING:
    from tagbench.book import Book

MOST = 200
"""So many values are offered."""
Offer = Iterable[tuple[str, str]]
"""Values, each with a word about it for shells that show one."""


def codes(book: Book) -> Offer:
    """Parts, then bins."""
    for part in book.records.parts.values():
        yield part.code, part.name
    for one in book.records.bins.values():
        yield one.code, one.name


def marks(book: Book) -> Offer:
    """The machines."""
    for machine in book.records.machines.values():
        yield machine.mark, machine.name


def stocks(book: Book) -> Offer:
    """The label stock there is, the person's own included."""
    from tagbench.book.operations.tagging import known_stock

    for stock in known_stock(book).values():
        yield stock.name, f"{stock.label_width:g} x {stock.label_height:g} mm"


def part_kinds(_book: Book) -> Offer:
    """The kinds of parts that the inspection lists know."""
    from tagbench.rules.care.inspecting import kinds

    return ((name, "") for name in kinds())


def assemblies(book: Book) -> Offer:
    """Where parts came from."""
    return ((name, "") for name in sorted({one.assembly for one in book.records.parts.values()}))


VALUES: dict[str, Callable[[Book], Offer]] = {
    "code": codes,
    "codes": codes,
    "behind": codes,
    "part": codes,
    "text_or_image": codes,
    "mark": marks,
    "stock": stocks,
    "kind": part_kinds,
    "assembly": assemblies,
}
"""Name of a parameter → what is offered for it."""
ENDINGS = {
    "tags": (".pdf", ".png"),
    "boltcard": (".pdf", ".png"),
    "ruler": (".pdf", ".png"),
    "mat": (".pdf",),
    "trace": (".pdf", ".svg", ".dxf"),
    "report": (".html", ".txt", ".csv"),
    "export": (".csv",),
    "shop": (".html", ".txt", ".csv"),
}
"""Command → the kinds of files it writes."""


class FromBook(click.ParamType[str]):
    """Text for which values of the book are offered."""

    name = "text"

    def __init__(self, offer: Callable[[Book], Offer]) -> None:
        self._offer = offer

    def shell_complete(
        self, ctx: click.Context, param: click.Parameter, incomplete: str
    ) -> list[CompletionItem]:
        """The values that begin with what was typed; nothing from a book that cannot be read."""
        workplace = Workplace(ctx.find_root().params.get("folder"))
        start = incomplete.casefold()
        try:
            offered = [
                CompletionItem(value, help=words)
                for value, words in self._offer(workplace.book)
                if value.casefold().startswith(start)
            ]
        except (TagbenchError, LabelError, OSError):
            return []
        finally:
            workplace.close()
        return offered[:MOST]


class FileOfKind(click.Path):
    """A file to write: the shell completes paths, and a name without an ending gets one."""

    def __init__(self, endings: tuple[str, ...]) -> None:
        super().__init__(path_type=Path, dir_okay=False)
        self._endings = endings

    def shell_complete(
        self, ctx: click.Context, param: click.Parameter, incomplete: str
    ) -> list[CompletionItem]:
        """Paths, and the name with each ending."""
        paths = super().shell_complete(ctx, param, incomplete)
        name = incomplete.rpartition("/")[2]
        if not name or "." in name:
            return paths
        return [*(CompletionItem(incomplete + ending) for ending in self._endings), *paths]


def offer_values(command: click.Command) -> click.Command:
    """Gives the parameters of a command, and of those under it, what is offered for them."""
    if isinstance(command, click.Group):
        for one in command.commands.values():
            offer_values(one)
    for param in command.params:
        offer = VALUES.get(param.name or "")
        if offer is not None and param.type is click.STRING:
            param.type = FromBook(offer)
        elif param.name in ("target", "file") and command.name in ENDINGS:
            param.type = FileOfKind(ENDINGS[command.name])
    return command
