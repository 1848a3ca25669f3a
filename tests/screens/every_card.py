"""Every screen of the registry and every card there is, each opened over one full book.

Cards are found by importing all modules of the screens; what a card is opened for is found by the
names and types of its own parameters, so that a new card is in every test as soon as it is written,
and one that nobody can open fails them.
"""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import shutil
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from textual.widgets import Input

from tagbench import screens
from tagbench.book import Book
from tagbench.book.operations.away import AwayForm
from tagbench.book.operations.batches import pack
from tagbench.book.operations.loose import write_down
from tagbench.book.operations.measuring import read_off
from tagbench.book.operations.photos import attach
from tagbench.book.operations.stock import count_stock
from tagbench.book.operations.strip import StripForm, edit, strip_part
from tagbench.book.operations.tagging import known_stock
from tagbench.book.operations.wanting import WantForm, add_want
from tagbench.records import Override, Part, Phone, Reading
from tagbench.rules.buying.single_use import drawer
from tagbench.rules.open_questions import open_questions
from tagbench.screens.build.fit_cards import torque_question
from tagbench.screens.frame.actions import NEW_KEY
from tagbench.screens.frame.registry import SCREENS
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.trade.fasteners.text import parse_fasteners
from tests.screens.conftest import NOW
from tests.screens.driver import ScreenDriver
from tests.screens.rebuild_bench import clutch


class Full(NamedTuple):
    """A book with something of every kind in it."""

    book: Book
    part: str
    """Code of the part that cards are opened for."""
    other: str
    """Code of a part that is scanned."""
    bag: str
    """Code of a bin that is scanned."""


def full_book(book: Book, picture: Path) -> tuple[str, str, str]:
    """Writes the clutch down with a want, a reading, a picture, a loose screw, an open thread.

    Gives the codes of `Full`.
    """
    codes = clutch(book)
    edit(book, codes.hub, part_numbers=(), note="rattled")
    attach(book, [(picture, codes.hub)])
    read_off(book, codes.hub, Reading(what="bore", values=(20.1,), low=20.0, high=20.2))
    add_want(book, WantForm(what="clutch plates", codes=(codes.hub,), supplier="Old Stores"))
    count_stock(book, "cotter pin 3.2x32", 4)
    write_down(book, "M6 bolt 20 long, bench floor", "TP")
    form = StripForm(name="stay", fasteners=parse_fasteners("2 long screws"), behind=(codes.hub,))
    strip_part(book, form)
    pulley = strip_part(
        book, StripForm(name="pulley", bin="Box 9", fasteners=parse_fasteners("2x M6x1x20 hex"))
    )
    pack(book, AwayForm(who="Hill Plating"), [pulley.code])
    return codes.hub, codes.inner, book.records.parts[codes.inner].bin


@cache
def card_kinds() -> tuple[type[TagbenchDialog[Any]], ...]:
    """Every card that can be opened, found by importing every module of the screens."""
    for module in pkgutil.walk_packages(screens.__path__, f"{screens.__name__}."):
        importlib.import_module(module.name)
    return tuple(sorted(set(_opened_kinds(TagbenchDialog)), key=lambda kind: kind.__name__))


def _opened_kinds(kind: type) -> Iterator[type[TagbenchDialog[Any]]]:
    kinds: list[Any] = kind.__subclasses__()
    for one in kinds:
        yield from _opened_kinds(one)
        if not _lacks_something(one):
            yield one


def _lacks_something(kind: type) -> bool:
    """Whether a method is still abstract; Textual's own classes are not asked."""
    ours = [one for one in kind.__mro__ if one.__module__.startswith("tagbench.")]
    names = {name for one in ours for name in vars(one)}
    found = (inspect.getattr_static(kind, name) for name in names)
    return any(getattr(method, "__isabstractmethod__", False) for method in found)


class Opening(NamedTuple):
    """A card and how it is opened: for a record, or for a new one where it takes none."""

    kind: type[TagbenchDialog[Any]]
    empty: bool

    def __str__(self) -> str:
        return f"{self.kind.__name__}{' empty' if self.empty else ''}"


@cache
def openings() -> tuple[Opening, ...]:
    """Each card for a record, and once more empty where it may be."""
    return tuple(
        Opening(kind, empty)
        for kind in card_kinds()
        for empty in (False, True)
        if not empty or any("None" in str(one.annotation) for one in _parameters(kind))
    )


def _parameters(kind: type) -> list[inspect.Parameter]:
    own: type = next(one for one in kind.__mro__ if "__init__" in vars(one))
    if not own.__module__.startswith("tagbench."):
        return []  # a card with no argument of its own
    return list(inspect.signature(vars(own)["__init__"]).parameters.values())[1:]


async def open_card(driver: ScreenDriver, full: Full, opening: Opening) -> None:
    """Lays the card over Bench, which tells what it gives; a folded form in it is unfolded."""
    if opening.kind.__name__ == "PairDialog":
        await driver.app.phone.on("127.0.0.1", 0, announce=False)
    arguments = {
        one.name: await _argument(driver, full, opening, one) for one in _parameters(opening.kind)
    }
    card: Any = opening.kind
    below: Any = driver.screen

    def given(result: object) -> None:
        words = getattr(result, "words", result)
        if isinstance(words, str):
            below.call_later(below.finished, words)

    driver.app.push_screen(card(**arguments), given)
    await driver.settle()
    folded = [one for one in driver.screen.query(Input) if not one.region.width]
    if folded and any(NEW_KEY in one.key for one in opening.kind.all_actions()):
        await driver.press(NEW_KEY)


async def _argument(
    driver: ScreenDriver, full: Full, opening: Opening, parameter: inspect.Parameter
) -> Any:
    """What a card is opened for, by the name and type of its parameter."""
    tables = full.book.records
    part, machine = tables.parts[full.part], tables.machines["TP"]
    kind = str(parameter.annotation)
    if "None" in kind and (opening.empty or "Screen" in kind or "Lever" in kind):
        return None
    refusals = [(Override(what="held up", codes=()), "not degreased")]
    by_type: dict[str, Any] = {
        "Part": part,
        "Sequence[Part]": [part],
        "Machine": machine,
        "Reading": part.readings[0],
        "Photo": part.photos[0],
        "Setting": next(iter(tables.settings.values())),
        "Want": next(iter(tables.wants.values())),
        "Sequence[Want]": [*tables.wants.values()],
        "Needed": drawer(tables, "TP")[0],
        "Bin": tables.bins[full.bag],
        "Phone": Phone(id=1, name="Pocket", token_hash="x", paired=NOW),
        "PhoneServer": driver.app.phone.server,
        "Question": torque_question(part, "N·m"),
        "Sequence[tuple[Override, str]]": refusals,
        "OpenQuestion": open_questions(tables, "TP")[0],
        "Sequence[OpenQuestion]": open_questions(tables, "TP"),
        "LooseItem": next(iter(tables.loose.values())),
        "Stock": next(iter(known_stock(full.book).values())),
        "Mapping[str, Stock]": known_stock(full.book),
        "Tables": tables,
        "Collection[int]": [],
        "Sequence[str]": [full.part],
        "Mapping[str, str]": {},
        "dict[str, str]": {},
        "Collection[str]": [full.part],
    }
    where = opening.kind.__module__
    numbered: Any = tables.loose if "count" in where else tables.settings
    numbered = tables.batches if "away" in where else numbered
    by_name: dict[str, Any] = {
        "code": full.part,
        "number": next(iter(numbered.values())).id,
        "mark": "TP",
        "unit": "mm",
        "heading": "Heading",
        "words": "Words.",
        "yes": "Yes",
        "no": "Close",
        "step": "degreased",
        "kind": "count",
        "printer": "",
        "used": "",
        "typed": "",
        "asks": "What becomes of the order?",
        "now": "",
        "text": "2x M6x20",
        "name": "sheet.pdf",
        "picture": full.book.photos / part.photos[0].file,
        "label": "Label",
        "example": "20 mm",
        "material": "cork",
        "thickness_mm": 0.5,
    }
    plain = kind.replace(" | None", "")
    if plain in by_type:
        return by_type[plain]
    assert parameter.name in by_name, f"{opening}: what is its {parameter.name}: {kind}?"
    return by_name[parameter.name]


def part_of(full: Full) -> Part:
    """The part that the cards are opened for."""
    return full.book.records.parts[full.part]


async def open_screen(driver: ScreenDriver, full: Full, name: str) -> None:
    """Goes to a screen of the registry; one that is for a record is opened for the part or bag."""
    entry = next(one for one in SCREENS if one.name == name)
    if entry.by_name:
        await driver.app.go(name)
    else:
        opened_for: dict[str, object] = {"bin": full.bag, "backup": _a_copy(full)}
        await driver.app.open_screen(name, opened_for.get(name, full.part))
    await driver.settle()


def _a_copy(full: Full) -> Path:
    """A copy of the book as the backups hold it."""
    folder = full.book.folder / "backups"
    folder.mkdir(exist_ok=True)
    copy = folder / "book-000001-of-the-test.json"
    shutil.copy(full.book.folder / "book.json", copy)
    return copy


def fields_of(driver: ScreenDriver) -> list[Input]:
    """The fields that can be typed in on the open screen or card, in the order of Tab."""
    return [one for one in driver.screen.focus_chain if isinstance(one, Input)]
