"""What screens and cards need from the app, so that they need not know the app itself."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from pathlib import Path
from typing import Any, Protocol

from textual.screen import Screen
from textual.widget import Widget

from tagbench.book import Book
from tagbench.records import Phone
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.find_index import FindIndex


class PhonePages(Protocol):
    """The pages that phones open, off until they are asked for."""

    @property
    def server(self) -> Any:
        """The `PhoneServer` while phones are answered, else None.

        Not by its type: the server and what it needs are imported when it is switched on.
        """

    @property
    def words(self) -> str:
        """What the title line says about it."""

    @property
    def offer(self) -> Action | None:
        """What the key bar offers first; None when nothing waits that a phone opened."""

    async def on(self, host: str, port: int, announce: bool) -> object:
        """Answers phones from now on; raises TagbenchError when that cannot be."""

    async def off(self) -> None:
        """Answers nobody any more, and shows it."""

    def phones(self) -> list[Phone]:
        """The paired phones, the one that was here last first."""


class BenchApp(Protocol):
    """The app as screens, cards and the phone see it."""

    book: Book
    index: FindIndex

    @property
    def own_book(self) -> Book:
        """The book itself, also while a copy of it is looked at."""

    async def look_at(self, path: Path) -> None:
        """Shows a copy of the book on all screens; raises TagbenchError when it cannot be read."""

    @property
    def way_back(self) -> str:
        """Which key takes back what the last one wrote, in words; empty when it wrote nothing."""

    @property
    def phone(self) -> PhonePages:
        """The phone page."""

    @property
    def book_is_here(self) -> bool:
        """Whether the book has been opened."""

    @property
    def look(self) -> Hashable:
        """All that the styles of a screen follow from besides the screen itself."""

    @property
    def is_running(self) -> bool:
        """False while the screens are closing."""

    @property
    def screen(self) -> Screen[Any]:
        """The open screen or card."""

    @property
    def screen_stack(self) -> Sequence[Screen[Any]]:
        """The screens and cards over each other, the open one last."""

    @property
    def focused(self) -> Widget | None:
        """What keys go to."""

    def tell(self, sentence: str) -> None:
        """Says what was done on the open screen or card."""

    def refuse(self, sentence: str) -> None:
        """Says why something was not done on the open screen or card."""

    def book_changed(self) -> None:
        """Shows the book as it is now on the open screen."""

    def show_phone(self) -> None:
        """Shows on the open screen whether phones are answered, and what waits from one."""

    def back(self) -> None:
        """Goes back to the screen below; Bench is the last."""

    async def go(self, name: str) -> bool:
        """Goes to a screen by name; False while a card is open."""

    async def open_code(self, code: str) -> None:
        """Opens the part, bin or spare tag with that code; raises NotFound."""

    async def open_screen(self, name: str, *arguments: object) -> None:
        """Lays a screen over the open one, for the record that the arguments name."""

    async def find(self, words: str) -> None:
        """Goes to Find and looks for some words."""

    def call_later(self, callback: Callable[..., Any], *args: Any, **kwargs: Any) -> bool:
        """Calls it when what is in the app's queue has been done."""
