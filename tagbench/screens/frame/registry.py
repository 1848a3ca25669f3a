"""The screens by name: one entry here and one file are all that a new screen takes.

To add a screen:

1. Write `tagbench/screens/<place>/screen.py` with a class derived from `TagbenchScreen`
   (see `base.py`): set `place` to its name, list its `actions`, yield its widgets from `body`
   and fill them from the records in `show_book`, which is called when the screen is opened and
   after every change of the book, whoever made it.
2. Add a `Place` to `PLACES` below. The key, the key bar, the help and the list under Ctrl+G
   follow from it. The module is imported when the screen is first opened, so that a screen costs
   nothing until it is used.
3. Put its looks into `looks/<name>.tcss`, if it needs any of its own, and name it in the class:
   `CSS_PATH = look("field", "<name>")`, where `field` is for a screen with fields to type in.

A screen decides and calls the verbs in `tagbench.book.operations`; it holds no rule of its own.
"""

from __future__ import annotations

import importlib
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tagbench.screens.shared.base import TagbenchScreen


@dataclass(frozen=True, slots=True)
class Place:
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
    """`module:Class`."""
    by_name: bool = True
    """False for a screen that is only ever opened for one record."""

    def make(self) -> TagbenchScreen:
        """A new screen of this kind."""
        return self.kind()()

    def kind(self) -> type[TagbenchScreen]:
        """The class of the screen."""
        module, name = self.written_in.split(":")
        kind: type[TagbenchScreen] = getattr(importlib.import_module(module), name)
        return kind


PLACES: tuple[Place, ...] = (
    Place(
        "bench",
        "",
        "Bench",
        "The machine at a glance and what can be done next.",
        "tagbench.screens.bench.screen:BenchScreen",
    ),
    Place(
        "strip",
        "f2",
        "Strip",
        "Write down a part that came off and get its code.",
        "tagbench.screens.strip.screen:StripScreen",
    ),
    Place(
        "find",
        "f3",
        "Find",
        "Find a part, a fastener or a bag by what you remember.",
        "tagbench.screens.find.screen:FindScreen",
    ),
    Place(
        "tags",
        "f4",
        "Tags",
        "Print the tags that wait, and spare tags ahead.",
        "tagbench.screens.tags.screen:TagsScreen",
    ),
    Place(
        "clean",
        "f5",
        "Clean",
        "Degrease, inspect, lube, decide: each part by what it needs.",
        "tagbench.screens.care.screen:CleanScreen",
    ),
    Place(
        "buy",
        "f6",
        "Buy",
        "What is wanted, what it holds up, what is on order and overdue.",
        "tagbench.screens.buy.screen:BuyScreen",
    ),
    Place(
        "build",
        "f7",
        "Build",
        "What can go back on, what is held up and why, and what to lay out.",
        "tagbench.screens.build.screen:BuildScreen",
    ),
    Place(
        "count",
        "f8",
        "Count",
        "Nothing missing, nothing left over; closing the machine.",
        "tagbench.screens.count.screen:CountScreen",
    ),
    Place(
        "settings",
        "f9",
        "Settings",
        "Adjustments with a range: measure them, and measure them again.",
        "tagbench.screens.settings.screen:SettingsScreen",
    ),
    Place(
        "phone",
        "f10",
        "Phone",
        "Scan tags with a phone: switch its pages on, pair phones.",
        "tagbench.screens.phone.screen:PhoneScreen",
    ),
    Place(
        "part",
        "",
        "Part",
        "Everything about one part.",
        "tagbench.screens.part.screen:PartScreen",
        by_name=False,
    ),
    Place(
        "inspect",
        "",
        "Inspect",
        "What to look for on a part, what to measure, what to decide.",
        "tagbench.screens.care.inspect:InspectScreen",
        by_name=False,
    ),
    Place(
        "cautions",
        "",
        "Cautions",
        "All cautions at full length, with their sources.",
        "tagbench.screens.care.cautions:CautionsScreen",
    ),
    Place(
        "stock",
        "",
        "Stock",
        "What is in the drawer, and what single-use items are to be bought.",
        "tagbench.screens.buy.stock:StockScreen",
    ),
    Place(
        "shop",
        "",
        "Shop",
        "The list to take to the shop, printed or written to a file.",
        "tagbench.screens.buy.shop:ShopScreen",
    ),
    Place(
        "photos",
        "",
        "Photos",
        "Put a folder of pictures on the parts, by the time they were taken.",
        "tagbench.screens.photos.folder:PhotosFolderScreen",
    ),
    Place(
        "part photos",
        "",
        "Photos",
        "The pictures of one part, before and after.",
        "tagbench.screens.photos.screen:PhotosScreen",
        by_name=False,
    ),
    Place(
        "bin",
        "",
        "Bin",
        "What lies in a bag or box, and where that is kept.",
        "tagbench.screens.find.bin:BinScreen",
        by_name=False,
    ),
)
"""The screens in the order in which they stand in the key bar."""


def place(name: str) -> Place:
    """The place of that name; KeyError when there is none."""
    return next(place for place in PLACES if place.name == name)
