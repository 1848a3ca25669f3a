"""The help: every key, from the registry, under the screen it works on."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from tagbench.screens.frame.actions import ANYWHERE, CLOSE, IN_LISTS, Action
from tagbench.screens.frame.registry import SCREENS
from tagbench.screens.shared.base import TagbenchDialog

KEY_WIDTH, SENTENCE_WIDTH = 10, 56
SCANNING = (
    "A hand scanner works on every screen and in every field: what is on the tag opens, and the "
    "field is left as it was. A spare tag opens the strip form for its code."
)


class HelpDialog(TagbenchDialog[None]):
    """Everything that can be done, and with which key."""

    heading = "Keys"

    @classmethod
    def all_actions(cls) -> tuple[Action, ...]:
        """The help needs no help."""
        return (CLOSE,)

    def body(self) -> ComposeResult:
        with VerticalScroll(id="help"):
            yield Static(SCANNING, classes="words", markup=False)
            for title, actions in (*self._of_card(), *sections()):
                yield Static(title, classes="section", markup=False)
                for action in actions:
                    yield Static(line(action), classes="help-line")

    def _of_card(self) -> Iterator[tuple[str, tuple[Action, ...]]]:
        """Title and actions of the card that the help lies over, where there is one."""
        beneath = self.app.screen_stack[-2:-1]
        for card in beneath:
            if isinstance(card, TagbenchDialog):
                yield "On this card", card.all_actions()


def sections() -> Iterator[tuple[str, tuple[Action, ...]]]:
    """Title and actions: what works everywhere, then screen by screen."""
    yield "Everywhere", ANYWHERE
    for entry in SCREENS:
        yield f"On {entry.title}", entry.kind().all_actions()
    yield "In lists", IN_LISTS


def line(action: Action) -> Content:
    """The key in bold, then the sentence beside it."""
    sentence = ("\n" + " " * (KEY_WIDTH + 1)).join(wrap(action.tooltip, SENTENCE_WIDTH))
    return Content.from_markup(
        "[bold $primary]$key[/] $help", key=action.key_words.ljust(KEY_WIDTH), help=sentence
    )
