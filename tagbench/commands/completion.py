"""What the shell completes: codes, label stock, marks of machines, kinds, files by their kind.

Commands and options are click's own. The values are given to parameters by their names, and only
while the shell asks, so that a command that runs does not pay for it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import cache
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any, get_args

import click
from click.shell_completion import CompletionItem

from labels.errors import LabelError
from tagbench.commands.base import Workplace
from tagbench.errors import TagbenchError
from tagbench.rules.scan import is_free
from tagbench.trade.published import read_table

if TYPE_CHECKING:
    from tagbench.book import Book

MOST = 200
"""So many values are offered."""
Completions = Iterable[tuple[str, str]]
"""Values, each with a word about it for shells that show one."""
CompletionSource = Callable[["Book"], Completions]
"""Gives the values from the book."""


def codes(book: Book) -> Completions:
    """Parts, then bins."""
    yield from part_codes(book)
    yield from bin_codes(book)


def part_codes(book: Book) -> Completions:
    """The parts."""
    return ((part.code, part.name) for part in book.records.parts.values())


def bin_codes(book: Book) -> Completions:
    """The bins."""
    return ((one.code, one.name) for one in book.records.bins.values())


def spare_codes(book: Book) -> Completions:
    """The codes of spare tags."""
    return ((tag.code, "") for tag in book.records.tags.values() if is_free(book.records, tag))


def marks(book: Book) -> Completions:
    """The machines."""
    return ((machine.mark, machine.name) for machine in book.records.machines.values())


def stocks(book: Book) -> Completions:
    """The label stock there is, the person's own included."""
    from tagbench.book.operations.tagging import known_stock

    for stock in known_stock(book).values():
        yield stock.name, f"{stock.label_width:g} x {stock.label_height:g} mm"


def printers(_book: Book) -> Completions:
    """The printers of the system."""
    from labels.output.cups import known_printers

    return ((one.name, "default" if one.is_default else "") for one in known_printers())


def texts(field: str) -> CompletionSource:
    """What the field of that name on Strip is completed with."""

    def offer(book: Book) -> Completions:
        from tagbench.rules.stripping.completion import known_texts

        return without_words(known_texts(book.records, book.records.parts.values())[field])

    return offer


def places(book: Book) -> Completions:
    """Bins as they are typed, then their codes."""
    return (*texts("bin")(book), *bin_codes(book))


def about(book: Book) -> Completions:
    """What a report may be about: codes, assemblies."""
    assemblies = sorted({part.assembly for part in book.records.parts.values()} - {""})
    return (*codes(book), *without_words(assemblies))


def marked_as(_book: Book) -> Completions:
    """Care steps and what is decided."""
    from tagbench.records import CARE_STEPS

    return without_words((*CARE_STEPS, "reuse", "replace", "undecided"))


def substances(book: Book) -> Completions:
    """What steps are done with."""
    from tagbench.records import CARE_STEPS
    from tagbench.rules.care.substances import substances_for

    return without_words(
        name for step in CARE_STEPS for name in substances_for(book.records.desk, step)
    )


def readings(book: Book) -> Completions:
    """What was measured on some part."""
    return without_words(one.what for part in book.records.parts.values() for one in part.readings)


def trays(book: Book) -> Completions:
    """Where parts soak, and the trays among the bins."""
    soaking = [part.soak.tray for part in book.records.parts.values() if part.soak is not None]
    kept = [one.name for one in book.records.bins.values() if one.kind == "tray"]
    return without_words((*soaking, *kept))


def people(book: Book) -> Completions:
    """With whom parts are or were."""
    parts = book.records.parts.values()
    return without_words(one.who for part in parts for one in (part.away, *part.errands) if one)


def suppliers(book: Book) -> Completions:
    """Where things were ordered, latest first."""
    return without_words(book.records.desk.suppliers)


def wants(book: Book) -> Completions:
    """The numbers of the wants that have not arrived."""
    open_ones = (want for want in book.records.wants.values() if want.arrived is None)
    return ((str(want.id), want.what) for want in open_ones)


def settings(book: Book) -> Completions:
    """The numbers of the settings."""
    return ((str(one.id), one.what) for one in book.records.settings.values())


def batches(book: Book) -> Completions:
    """The numbers of the batches that are not closed."""
    still_out = (one for one in book.records.batches.values() if one.closed is None)
    return ((str(one.id), one.who) for one in still_out)


def loose(book: Book) -> Completions:
    """The numbers of what was found."""
    return ((str(one.id), one.what) for one in book.records.loose.values())


def drawer(book: Book) -> Completions:
    """What is in the drawer."""
    return without_words(one.what for one in book.records.stock.values())


def changes(book: Book) -> Completions:
    """The last changes by number."""
    return ((str(one.number), one.words) for one in book.history())


def phones(book: Book) -> Completions:
    """The paired phones."""
    return ((str(one.id), one.name) for one in book.records.phones.values())


def hosts(_book: Book) -> Completions:
    """Whom the phone pages answer."""
    return (("home", "the home network"), ("127.0.0.1", "this computer only"))


def copies(book: Book) -> Completions:
    """The backups, newest first."""
    from tagbench.book.backups import backups

    return ((one.path.stem, f"{one.at:%Y-%m-%d %H:%M}") for one in backups(book.folder))


def taken_back(book: Book) -> Completions:
    """What may be taken back out of a copy."""
    return (("all", "the whole book"), *codes(book))


def pictures(book: Book) -> Completions:
    """The pictures of the parts."""
    for part in book.records.parts.values():
        yield from ((photo.file, photo.caption or part.name) for photo in part.photos)


def own_parts(book: Book) -> Completions:
    """What sub-assemblies are known to hold."""
    return without_words(one.name for part in book.records.parts.values() for one in part.own_parts)


def torque_units(_book: Book) -> Completions:
    """The units of torque."""
    from tagbench.records.machine import TorqueUnit

    return without_words(get_args(TorqueUnit))


def days(_book: Book) -> Completions:
    """Days as they are typed."""
    return without_words(("today", "yesterday"))


def days_ahead(_book: Book) -> Completions:
    """Days to come as they are typed."""
    return without_words(("in 1 week", "in 2 weeks", "in 4 weeks"))


def without_words(words: Iterable[str]) -> Completions:
    """Values that need no word about them, each once."""
    return ((word, "") for word in dict.fromkeys(words) if word)


@cache
def completed() -> Mapping[tuple[str, str], str]:
    """Words of a command, empty for every one, and a parameter → where its values come from:
    `tables/completion.csv`."""
    rows = read_table("completion", "tagbench.commands")
    return {(row["command"], row["parameter"]): row["values"] for row in rows}


def source_named(values: str) -> CompletionSource:
    """The source of values that a row of the table names."""
    module, _, name = values.rpartition(":")
    if module == "typed":
        return texts(name)
    if not module:
        source: CompletionSource = globals()[name]
        return source

    def offer(_book: Book) -> Completions:
        found = getattr(import_module(module), name)
        return without_words(found() if callable(found) else found)

    return offer


TYPED_IN = (type(click.STRING), type(click.INT), click.IntRange)
"""Types of parameters for which values of the book can be offered; others complete themselves."""
ENDINGS = {
    "away batch": (".csv",),
    "boltcard": (".pdf", ".png"),
    "export": (".csv", ".json"),
    "mat": (".pdf",),
    "printer ruler": (".pdf", ".png"),
    "report": (".pdf", ".html", ".txt", ".csv"),
    "tags": (".pdf", ".png"),
    "trace": (".pdf", ".svg", ".dxf"),
    "wants shop": (".txt", ".csv"),
}
"""Words of a command → the kinds of files it writes."""


class FromBook(click.ParamType[Any]):
    """A parameter as it was declared, for which values of the book are offered."""

    def __init__(self, declared: click.ParamType[Any], offer: CompletionSource) -> None:
        self.name = declared.name
        self._declared = declared
        self.offer = offer

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        """What the declared type makes of it."""
        return self._declared.convert(value, param, ctx)

    def shell_complete(
        self, ctx: click.Context, param: click.Parameter, incomplete: str
    ) -> list[CompletionItem]:
        """The values that begin with what was typed; nothing from a book that cannot be read."""
        workplace = Workplace(ctx.find_root().params.get("folder"))
        start = incomplete.casefold()
        try:
            offered = [
                CompletionItem(value, help=words)
                for value, words in self.offer(workplace.book)
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


def offer_values(command: click.Command, words: str = "") -> click.Command:
    """Gives the parameters of a command, and of those under it, what is offered for them."""
    words = f"{words} {command.name}".lstrip()
    if isinstance(command, click.Group):
        for one in command.commands.values():
            offer_values(one, words)
    for param in command.params:
        name = param.name or ""
        where = (words, words.rpartition(" ")[0], "")
        values = next((completed()[of, name] for of in where if (of, name) in completed()), "")
        if name in ("target", "file") and words in ENDINGS:
            param.type = FileOfKind(ENDINGS[words])
        elif values and type(param.type) in TYPED_IN:
            param.type = FromBook(param.type, source_named(values))
    return command
