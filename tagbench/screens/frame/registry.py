"""The screens and cards by name: one entry here and one file are all that a new one takes.

To add a screen:

1. Write `tagbench/screens/<place>/screen.py` with a class derived from `TagbenchScreen`
   (see `shared/base.py`): set `screen_name` to its name, list its `actions`, yield its widgets from
   `body` and fill them from the records in `show_book`, which is called when the screen is opened
   and after every change of the book, whoever made it.
2. Add a row to `tables/screens.csv`. The key, the key bar, the help and the list under Ctrl+G
   follow from it. The module is imported when the screen is first opened, so that a screen costs
   nothing until it is used.
3. Put its styles into `frame/styles/<name>.tcss`, if it needs any of its own, and name it in the
   class: `CSS_PATH = stylesheets("field", "<name>")`, `field` for a screen with fields to type in.

Places do not import each other. What one opens of another it opens by name: a screen with
`open_screen(name, …)`, a card that is a `CardEntry` below with `open_card(FIT(code))`, or
`await ask(…)` for what the card gives.

A screen decides and calls the operations of `tagbench.book.operations`; it holds no rule.
"""

from __future__ import annotations

import importlib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Generic, ParamSpec, TypeVar

from tagbench.trade.published import read_table

if TYPE_CHECKING:
    from pathlib import Path

    from textual.screen import ModalScreen, Screen

    from tagbench.records import Fastener, Machine

Arguments = ParamSpec("Arguments")
Result = TypeVar("Result")


def load(written_in: str) -> Any:
    """The class behind `module:Class`."""
    module, name = written_in.split(":")
    return getattr(importlib.import_module(f"tagbench.screens.{module}"), name)


@dataclass(frozen=True, slots=True)
class ScreenEntry:
    """A screen that can be gone to by name."""

    name: str
    """Its name, e.g. `strip`."""
    key: str
    """The key that opens it from anywhere; empty when it is reached by `back` alone."""
    title: str
    """Its title, one word."""
    help: str
    """What it is for, one sentence."""
    written_in: str
    """`module:Class`, the module under `tagbench.screens`."""
    by_name: bool
    """False for a screen that is only ever opened for one record."""

    def make(self, *arguments: object) -> Screen[None]:
        """A new screen of this kind; `arguments` name the record it is opened for."""
        screen: Screen[None] = self.kind()(*arguments)
        return screen

    def kind(self) -> Any:
        """The class of the screen, a `TagbenchScreen`."""
        return load(self.written_in)


SCREENS = tuple(
    ScreenEntry(
        name=row["name"],
        key=row["key"],
        title=row["title"],
        help=row["help"],
        written_in=row["written_in"],
        by_name=row["by_name"] == "yes",
    )
    for row in read_table("screens", "tagbench.screens.frame")
)
"""The screens in the order in which they stand in the key bar: `tables/screens.csv`."""


def screen_entry(name: str) -> ScreenEntry:
    """The entry of the screen of that name; KeyError when there is none."""
    return next(entry for entry in SCREENS if entry.name == name)


@dataclass(frozen=True, slots=True)
class CardEntry(Generic[Arguments, Result]):
    """A card of one place that others open; calling the entry makes a new card."""

    written_in: str
    """`module:Class`, the module under `tagbench.screens`."""

    def __call__(
        self, *arguments: Arguments.args, **named: Arguments.kwargs
    ) -> ModalScreen[Result]:
        card: ModalScreen[Result] = load(self.written_in)(*arguments, **named)
        return card


FIT: CardEntry[[str], str] = CardEntry("build.fit:FitDialog")
"""Fitting the part with that code; gives words that say what was done."""
LAY_OUT: CardEntry[[Machine, Sequence[str], str], None] = CardEntry("build.lay_out:LayOutDialog")
"""What to lay out for some parts of a machine, under a heading of its own."""
MEASURE_SETTING: CardEntry[[int], str] = CardEntry("settings.cards:MeasureDialog")
"""Measuring the setting with that number; gives words that say where it stands."""
PICTURE_TO_MEASURE: CardEntry[[], str] = CardEntry("measure.picture:PictureToMeasureDialog")
"""Which picture is measured; gives its path."""
LAID: CardEntry[[Path], tuple[Fastener, ...]] = CardEntry("measure.laid:LaidDialog")
"""The fasteners of a picture, confirmed group by group."""
