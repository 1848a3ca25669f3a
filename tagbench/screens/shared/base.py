"""What all screens and cards share: keys from the registry, the notice line, the book."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Hashable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import TYPE_CHECKING, Any, ClassVar, TypeVar, cast

from textual import on, work
from textual.app import ComposeResult
from textual.containers import Container, Vertical
from textual.dom import DOMNode
from textual.events import Key, Paste, Resize, ScreenResume
from textual.screen import ModalScreen, Screen
from textual.widgets import Input, Static

from labels.errors import LabelError
from tagbench.errors import TagbenchError
from tagbench.screens.frame.actions import (
    ACTIONS,
    ANYWHERE,
    BACK,
    CLOSE,
    HELP,
    TAKE_BACK,
    Action,
    bindings,
)
from tagbench.screens.frame.messages import Moved, NoneToOpen
from tagbench.screens.frame.registry import SCREENS, screen_entry
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.widgets.bars import KeyBar, Notice, TitleLine
from tagbench.screens.widgets.field import Field, FieldInput

if TYPE_CHECKING:
    from tagbench.book import Book
    from tagbench.records import Tables
    from tagbench.rules.scan import Opened
    from tagbench.screens.frame.protocol import BenchApp

Result = TypeVar("Result")
Worked = TypeVar("Worked")
LARGE_BOOK = 1_000
"""From so many parts on a list is worked out in a thread; a smaller one is there at once."""
WIDE, HIGH = 110, 32
"""From so many columns and lines on there is room for wider gaps."""
IN_CARD = replace(ACTIONS, show=False)
"""On a card the list of actions is one key away too, but not in its short key bar."""
BACK_IN_CARD = replace(TAKE_BACK, show=False)
"""So is taking back, on a card that stays open after it has written something."""
CARD_IS_OPEN = "First finish the card that is open, or close it with Esc."
CARDS = "cards"
"""Group of the workers that wait for a card; they run as long as it is open."""


class ScreenMixin:
    """The app, the book and the notice line; mixed into screens and cards alike.

    It is no DOM node of its own, because a class takes its place in the stylesheets from its
    first base.
    """

    @classmethod
    def all_actions(cls) -> tuple[Action, ...]:
        """All that can be done here."""
        return ()

    @classmethod
    def writing_keys(cls) -> frozenset[str]:
        """The letters that write something right away."""
        return frozenset(action.first_key for action in cls.all_actions() if action.writes)

    @property
    def bench_app(self) -> BenchApp:
        """The app, as screens know it."""
        return cast("BenchApp", cast(DOMNode, self).app)

    @property
    def notice(self) -> Notice:
        """The notice line."""
        return cast(DOMNode, self).query_one(Notice)

    @property
    def book(self) -> Book:
        """The open book."""
        return self.bench_app.book

    @property
    def tables(self) -> Tables:
        """The records of the book as they are now."""
        return self.book.records

    def tell(self, sentence: str) -> None:
        """Says on the notice line what was done, and which key takes back what was written."""
        way_back = self.bench_app.way_back
        self.notice.tell(sentence, "" if TAKE_BACK.key_words in sentence else way_back)

    def refuse(self, sentence: str) -> None:
        """Says on the notice line why something was not done."""
        self.notice.refuse(sentence)

    # Handlers by their names: `on` is seen only in classes that are nodes themselves.

    def on_input_changed(self, event: Input.Changed) -> None:
        """What was refused before that may be right now."""
        self.notice.forget_refusal(event.time)

    def on_moved(self, event: Moved[Any]) -> None:
        """The same of another row."""
        self.notice.forget_refusal(event.time)

    def on_none_to_open(self, message: NoneToOpen) -> None:
        """Enter in an empty list is answered by what the list says."""
        self.refuse(message.words)

    def takes_scan(self, opened: Opened) -> bool:
        """Whether the screen or card does something with a scanned tag; else its record opens.

        A field that takes codes gets it when the cursor stands there.
        """
        focused = self.bench_app.focused
        field = focused.parent if focused is not None else None
        if not isinstance(field, Field) or field.takes_code not in (opened.kind, "tag"):
            return False
        field.add_code(opened.code)
        return True

    def gives_way(self, event: Key | Paste) -> bool:
        """Whether a card closes for a key or paste that is meant for what is below it."""
        return False

    @contextmanager
    def refusing(self) -> Iterator[None]:
        """Turns an error that is meant for the person into a sentence on the notice line."""
        try:
            yield
        except (TagbenchError, LabelError) as error:
            self.refuse(str(error))

    def use_the_room(self) -> None:
        """Lets the stylesheets use a wide or high terminal, and draw large where that is wanted.

        Textual's own breakpoints are not set on a screen that is pushed without a resize.
        """
        node = cast(DOMNode, self)
        size = node.app.size
        large = self.bench_app.book_is_here and self.bench_app.own_book.records.desk.large
        for name, is_so in (
            ("-wide", size.width >= WIDE),
            ("-high", size.height >= HIGH),
            ("-large", size.height >= HIGH and large),
        ):
            if is_so != node.has_class(name):
                node.set_class(is_so, name)

    # Going from field to field

    def action_field_before(self) -> None:
        """Goes to the field or list before; on the first one the cursor stays."""
        here = cast("Screen[Any]", self)
        if here.focused is not None and here.focus_chain[0] is not here.focused:
            here.focus_previous()

    # Cards over this screen or card

    async def ask(self, card: ModalScreen[Result]) -> Result | None:
        """Lays a card over this one and waits for what it gives; None when it was closed.

        Only in a worker, of the group `CARDS`.
        """
        return await cast(DOMNode, self).app.push_screen_wait(card)

    @work(group=CARDS)
    async def open_card(self, card: ModalScreen[str] | ModalScreen[None]) -> None:
        """Lays a card over this one; it gives the words that say what was done, if it does."""
        self.finished(await self.ask(cast("ModalScreen[str | None]", card)))

    def finished(self, words: str | None) -> None:
        """Shows the book as it is now and says what was done; without words nothing was."""
        self.catch_up()
        if words:
            self.tell(words)

    def catch_up(self) -> None:
        """Shows what the book says now, if that is not what is shown already."""


class TagbenchScreen(Screen[None], ScreenMixin):
    """A screen: title line, body, notice line, two lines of keys.

    A new one sets `screen_name` (and has its entry in the registry), lists its `actions`, yields
    its widgets from `body` and fills them in `show_book`.
    """

    screen_name: ClassVar[str] = ""
    """Name of the screen in the registry."""
    actions: ClassVar[tuple[Action, ...]] = ()
    """What can be done here besides what can be done everywhere."""

    _seen: tuple[Book, int] | None = None
    """The book that is shown, and its revision."""
    _styled_for: Hashable = None
    """The look of the app that all widgets got their styles for last."""

    def __init_subclass__(cls, **kwargs: Any) -> None:
        cls.BINDINGS = bindings(cls.all_actions())
        super().__init_subclass__(**kwargs)

    @classmethod
    def all_actions(cls) -> tuple[Action, ...]:
        """The actions of this screen, with `back` where there is something to go back to."""
        return cls.actions if cls.screen_name == "bench" else (*cls.actions, BACK)

    def compose(self) -> ComposeResult:
        self.use_the_room()
        self.update_node_styles(animate=False)  # its own stylesheets came after it was made
        yield TitleLine(screen_entry(self.screen_name).title)
        with Container(id="body"):
            yield from self.body()
        yield Notice()
        yield KeyBar(self.all_actions(), id="keys-here")
        yield KeyBar(ANYWHERE, id="keys-anywhere")

    def body(self) -> ComposeResult:
        """The widgets between title line and notice line."""
        yield from ()

    def show_book(self) -> None:
        """Fills the widgets from the records; called when opened and after every change."""

    def on_mount(self) -> None:
        self.catch_up()
        self.show_phone()

    def update_node_styles(self, animate: bool = True) -> None:
        """Gives the screen and all in it their styles; remembers for which look they are."""
        super().update_node_styles(animate)
        if self.is_attached:
            self._styled_for = self.bench_app.look

    @on(ScreenResume)
    async def come_up(self, event: ScreenResume) -> None:
        """Shows the book as it is now, drawn once all that was waiting has had its turn."""
        if not self.outer_size or self._styled_for == self.bench_app.look:
            event.refresh_styles = False  # opened first, or come back to: all have their styles
        self.use_the_room()
        if isinstance(self.focused, FieldInput):
            self.focused.arrive()
        if self.is_mounted:
            self.catch_up()
            self.show_phone()
        await asyncio.sleep(0)  # what else waits goes first: drawing all is the longest piece

    def on_screen_suspend(self) -> None:
        # What was said belongs to what was done then.
        self.notice.clear()

    @on(Resize)
    async def take_room(self, event: Resize) -> None:
        """Lays out once for each size."""
        self.use_the_room()
        if event.size == self._compositor.size:
            # It tells of the layout that it comes from: laying out again would draw the same twice.
            event.stop()
            event.prevent_default()
        await asyncio.sleep(0)

    def catch_up(self) -> None:
        """Shows what the book says now, if that is not what is shown already."""
        if not self.bench_app.book_is_here or self._seen == (self.book, self.book.revision):
            return
        self._seen = self.book, self.book.revision
        self.use_the_room()
        self._show_title()
        self.show_book()

    def beside(self, work_out: Callable[[], Worked], show: Callable[[Worked], None]) -> None:
        """Works something out from the records and shows it; beside the screen in a large book.

        `work_out` touches no widget. What comes after the book has gone on is not shown.
        """
        if len(self.tables.parts) < LARGE_BOOK:
            show(work_out())
        else:
            self._work_out(work_out, show, self.book.revision)

    # The description keeps Textual from writing out every record that the work was given.
    @work(thread=True, exclusive=True, group="beside", description="see its name")
    def _work_out(
        self, work_out: Callable[[], Worked], show: Callable[[Worked], None], revision: int
    ) -> None:
        self.call_later(self._show_worked_out, show, work_out(), revision)

    def _show_worked_out(
        self, show: Callable[[Worked], None], worked: Worked, revision: int
    ) -> None:
        if self.is_attached and self._seen == (self.book, revision):
            show(worked)

    def _show_title(self) -> None:
        from tagbench.book.operations.machines import chosen

        machine = chosen(self.tables)
        waiting = sum(1 for tag in self.tables.tags.values() if tag.queued)
        words = f"{machine.name}  ({machine.mark})" if machine else "no machine yet"
        if self.book.looked_at:
            words = f"ONLY LOOKED AT: {self.book.looked_at}"
        self.query_one(TitleLine).tell(words, waiting)

    def show_phone(self) -> None:
        """Shows whether phones are answered, and what one of them opened meanwhile."""
        if self.bench_app.book_is_here:
            phone = self.bench_app.phone
            self.query_one(TitleLine).show_phone(phone.words)
            self.query_one("#keys-anywhere", KeyBar).offer(phone.offer)

    def turn_to(self, text: str) -> None:
        """Shows another record: the screen is open already; `text` is its code or words."""

    def action_back(self) -> None:
        """Goes back to the screen below."""
        self.bench_app.back()


class TagbenchDialog(ModalScreen[Result], ScreenMixin):
    """A card laid over the screen: heading, body, notice line, one line of keys.

    Escape closes it with no result.
    """

    CSS_PATH = stylesheets("field", "card")

    heading: str = ""
    """What the card is about; may be set for each instance."""
    actions: ClassVar[tuple[Action, ...]] = ()
    """What can be done here."""
    stays_open: ClassVar[bool] = False
    """Whether it stays open after it has written something; `catch_up` shows what is left then."""

    def __init_subclass__(cls, **kwargs: Any) -> None:
        cls.BINDINGS = bindings(cls.all_actions())
        super().__init_subclass__(**kwargs)

    @classmethod
    def all_actions(cls) -> tuple[Action, ...]:
        """The actions of this dialog, with `close`."""
        return (*cls.actions, *cls.on_every_card())

    @classmethod
    def on_every_card(cls) -> tuple[Action, ...]:
        """What every card has, and taking back where it stays open."""
        return (CLOSE, *((BACK_IN_CARD,) if cls.stays_open else ()), HELP, IN_CARD)

    def compose(self) -> ComposeResult:
        self.use_the_room()
        with Vertical(id="card"):
            yield Static(f"◯  {self.heading}", id="card-heading", markup=False)
            with Vertical(id="card-body"):
                yield from self.body()
            yield Notice()
            yield KeyBar(self.bar_actions(), id="keys-here")

    def bar_actions(self) -> Iterable[Action]:
        """What stands in the key bar of this card."""
        return self.all_actions()

    def body(self) -> ComposeResult:
        """The widgets of the card."""
        yield from ()

    def on_screen_resume(self) -> None:
        """What was put into the field is typed over, after another card was looked at too."""
        if isinstance(self.focused, FieldInput):
            self.focused.arrive()

    def on_key(self, event: Key) -> None:
        """Says why the key of a screen does nothing here, unless the card has it for itself."""
        own = {key for action in self.all_actions() for key in action.key.split(",")}
        if event.key not in own and any(event.key == entry.key for entry in SCREENS if entry.key):
            self.refuse(CARD_IS_OPEN)

    def action_close(self) -> None:
        """Closes the card and changes nothing."""
        self.dismiss(None)
