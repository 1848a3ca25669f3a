"""Cards that change the book: what they lie over shows it and says what was done."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from tagbench.screens.app.app import TagbenchApp
    from tagbench.screens.shared.base import TagbenchDialog


class Beneath(Protocol):
    """A screen or card that others are laid over."""

    @property
    def bench_app(self) -> TagbenchApp:
        """The app."""

    def catch_up(self) -> None:
        """Shows what the book says now."""

    def tell(self, sentence: str) -> None:
        """Says what was done."""


def open_card(beneath: Beneath, card: TagbenchDialog[str]) -> None:
    """Lays a card over a screen or card; it gives the words that say what was done."""

    def closed(words: str | None) -> None:
        beneath.catch_up()
        if words:
            beneath.tell(words)

    beneath.bench_app.push_screen(card, closed)


def open_fit(beneath: Beneath, code: str) -> None:
    """Opens the card for fitting a part."""
    from tagbench.screens.build.fit import FitDialog

    open_card(beneath, FitDialog(code))
