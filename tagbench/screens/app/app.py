"""The app: it starts things, changes screens and opens records; the screens decide."""

from __future__ import annotations

import asyncio
import gc
import os
import signal
import sys
import threading
from collections.abc import Callable, Hashable
from time import monotonic
from typing import TYPE_CHECKING, Any, ClassVar, Literal

from textual import events, work
from textual.app import App
from textual.binding import BindingType
from textual.geometry import Size
from textual.screen import Screen
from textual.theme import Theme

from labels.errors import LabelError
from tagbench.errors import TagbenchError
from tagbench.screens.app.scanning import Arrived, ScanningApp, event_time
from tagbench.screens.app.too_small import TooSmall, fits
from tagbench.screens.frame.actions import ANYWHERE, TAKE_BACK, Action, bindings
from tagbench.screens.frame.graphics import look_at_terminal, picture_widget
from tagbench.screens.frame.registry import SCREENS, screen_entry
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.frame.stylesheet import ParsedOnce
from tagbench.screens.frame.terminal import PlainSigns, give_size, shows_signs
from tagbench.screens.frame.theme import themes_for
from tagbench.screens.shared.base import (
    CARD_IS_OPEN,
    CARDS,
    HIGH,
    ScreenMixin,
    TagbenchDialog,
    TagbenchScreen,
)

if TYPE_CHECKING:
    from pathlib import Path

    from tagbench.book import Book
    from tagbench.rules.scan import Opened
    from tagbench.screens.frame.find_index import FindIndex
    from tagbench.screens.phone.switch import PhoneSwitch

REST_SECONDS = 3.0
"""After so long without a change the book file follows the history."""
SWITCH_SECONDS = 0.0005
"""How long a thread that works something out may keep the screens waiting (Python's own 5 ms are
waited for at each read and write of a file, which is many times while a screen opens)."""
READ_AHEAD_AFTER = 0.2
"""So many seconds after the book is there the other screens are read ahead: this one goes first."""
ENDS_WITHIN = 3.0
"""Seconds that a signal leaves the screens to end in order."""
POLL_SECONDS = 1.0
"""How often another process's changes are looked for."""
NEW_BOOK = "{} holds no book yet: the first part you write down begins one there."
LEAVING = (
    "Everything you saved is in the book. "
    "A form that was left half typed is offered again when you come back to it."
)


class TagbenchApp(ScanningApp, inherit_bindings=False):
    """The screens over one book.

    A book that is still to be opened is opened once the first screen stands, so that a large one
    does not keep the person waiting; keys pressed meanwhile are kept.
    """

    TITLE = "tagbench"
    CSS_PATH = stylesheets("tagbench")
    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = bindings(ANYWHERE)
    SCREENS = {entry.name: entry.make for entry in SCREENS if entry.by_name}

    index: FindIndex
    """What Find asks."""
    themes: dict[str, Theme]
    """Dark and light for what the terminal can draw."""
    phone: PhoneSwitch
    """The phone page, off until it is asked for."""

    def __init__(
        self, book: Book | Callable[[], Book], clock: Callable[[], float] = event_time
    ) -> None:
        """`book` is open or is what opens one; `clock` is the one that keys are timed by."""
        super().__init__(clock)
        self.stylesheet = ParsedOnce(variables=self.get_css_variables())
        self.failure: Exception | None = None
        self._rests_since: tuple[int, float] | None = None
        self._own_book: Book | None = None
        """The book itself while a copy of it is looked at."""
        self._given = book
        self._alone = False
        """Whether the process has nothing else to do."""
        self._revision_then = 0
        """The revision of the book before the last key or click."""
        self._signal = 0
        """The signal that ended the screens."""
        if not shows_signs():
            self._filters.append(PlainSigns())
        self.themes = themes_for(self.console.color_system)
        for theme in self.themes.values():
            self.register_theme(theme)
        self.theme = self.themes["dark"].name

    def run_screens(self) -> None:
        """Runs until the person leaves.

        Raises the error when the book cannot be opened, and one that nobody expected, after the
        terminal is as it was: the command says it in a sentence, and no traceback is printed.
        """
        give_size()
        look_at_terminal()
        self._alone = True
        self.run()
        if self.book_is_here:
            self.own_book.close()
        if self._signal:
            raise SystemExit(128 + self._signal)
        if self.failure is not None:
            raise self.failure

    def _handle_exception(self, error: Exception) -> None:
        """Textual's last resort: ends the app, without its printed traceback."""
        self.failure = self.failure or getattr(error, "error", error)
        if self._exception is None:
            self._exception = error
            self._exception_event.set()
        self._return_code = 1
        self._close_messages_no_wait()

    def get_default_screen(self) -> Screen[None]:
        """Bench lies at the bottom of the stack."""
        return self.get_screen("bench")

    # The book

    def on_mount(self) -> None:
        sys.setswitchinterval(SWITCH_SECONDS)
        self._listen_to_signals()
        self.app_resume_signal.subscribe(self, self._draw_anew)
        self.screen_change_signal.subscribe(self, self._cover_what_came_up)
        if not callable(self._given):
            self._take_book(self._given)

    def _listen_to_signals(self) -> None:
        """A closed window or a shutdown ends the screens in order, the terminal as it was."""
        if self.is_headless or sys.platform == "win32":
            return
        loop = asyncio.get_running_loop()
        for number in (signal.SIGTERM, signal.SIGHUP):
            loop.add_signal_handler(number, self._end, number)

    def _draw_anew(self, app: App[None]) -> None:
        """Back from the shell: the terminal shows nothing of ours any more."""
        self.screen.refresh(layout=True)

    def _end(self, number: int) -> None:
        """Ends the screens; where the terminal is gone, and they wait for it for ever, at once.

        Nothing is lost by that: a change is in the book's history before it is shown.
        """
        self._signal = number
        at_once = threading.Timer(ENDS_WITHIN, os._exit, [128 + number])
        at_once.daemon = True
        at_once.start()
        self.exit()

    def on_ready(self) -> None:
        """The first screen stands: now there is time for the book."""
        if callable(self._given):
            self._open_book(self._given)

    @work(thread=True, description="see its name")
    def _open_book(self, open_book: Callable[[], Book]) -> None:
        try:
            book = open_book()
        except TagbenchError as error:
            self.failure = error
            self.call_from_thread(self.exit)
        else:
            self.call_from_thread(self._take_book, book)
            if not book.revision and not book.looked_at:
                self.call_from_thread(self.tell, NEW_BOOK.format(book.folder))

    def _take_book(self, book: Book) -> None:
        from tagbench.screens.frame.find_index import FindIndex
        from tagbench.screens.phone.switch import PhoneSwitch

        self.book = book
        book.leave_checkpoints_to_others()
        self.index = FindIndex(book)
        self.phone = PhoneSwitch(self)
        self.start_watching(self.open_scan, self.refuse)
        self.set_interval(POLL_SECONDS, self.look_for_changes)
        self.book_changed()
        self.set_timer(READ_AHEAD_AFTER, self._read_ahead)

    @work(thread=True, group="read ahead")
    def _read_ahead(self) -> None:
        """Reads the modules of the other screens, so that the first look at one does not wait."""
        for read in (*(entry.kind for entry in SCREENS), picture_widget):
            if self._exit:
                return
            read()
        if self._alone:
            gc.freeze()  # what is here stays: looking through it for garbage holds up every thread
        from tagbench.trade.torque.danger_words import danger_words

        danger_words()

    @property
    def book_is_here(self) -> bool:
        """Whether the book has been opened."""
        return self.is_watching

    @property
    def own_book(self) -> Book:
        """The book itself, also while a copy of it is looked at."""
        return self._own_book or self.book

    async def look_at(self, path: Path) -> None:
        """Shows a copy of the book on all screens, only to be looked at.

        Raises TagbenchError when it cannot be read; then the book stays open.
        """
        from tagbench.book.copies import ReadOnlyBook

        copy = ReadOnlyBook.of_file(path)
        own = self.own_book
        if await self.go("bench"):
            self._own_book = own
            self._show_other(copy)
            self.tell(f"You are looking at {copy.looked_at}. Ctrl+G, Own book goes back.")

    def action_own_book(self) -> None:
        """Goes back from a copy that is looked at to the book itself."""
        if self._own_book is None:
            self.refuse(
                f"This is {self.book.looked_at}; leave tagbench to get back."
                if self.book.looked_at
                else "This is the book itself; Backups shows its copies."
            )
            return
        own, self._own_book = self._own_book, None
        self._show_other(own)
        self.tell("This is the book itself again.")

    def _show_other(self, book: Book) -> None:
        from tagbench.screens.frame.find_index import FindIndex

        self.book = book
        self.index = FindIndex(book)
        self.book_changed()

    def look_for_changes(self) -> None:
        """Takes in what another process saved, and shows it."""
        try:
            if self.own_book.is_behind:
                self._take_in()
        except TagbenchError as error:
            self.refuse(str(error))
            return
        self._let_the_file_follow()

    @work(thread=True, exclusive=True, group="take in")
    def _take_in(self) -> None:
        """Beside the screens: where more than the last changes is new, all is read again."""
        try:
            if self.own_book.refresh():
                self.call_from_thread(self.book_changed)
        except TagbenchError as error:
            self.call_from_thread(self.refuse, str(error))

    def _let_the_file_follow(self) -> None:
        """Brings `book.json` up to the history once nothing was changed for a moment."""
        book, resting = self.own_book, self._rests_since
        revision = book.revision
        if not book.waiting:
            self._rests_since = None
        elif book.should_follow:
            self._checkpoint()
        elif resting is None or resting[0] != revision:
            self._rests_since = revision, monotonic()
        elif monotonic() - resting[1] >= REST_SECONDS:
            self._rests_since = None
            self._checkpoint()

    @work(thread=True, exclusive=True, group="checkpoint")
    def _checkpoint(self) -> None:
        try:
            self.own_book.checkpoint()
        except TagbenchError as error:
            self.call_from_thread(self.refuse, str(error))

    def book_changed(self) -> None:
        """Shows the book as it is now on the screen that is open."""
        self.theme = self.themes[self.own_book.records.desk.theme].name
        if isinstance(self.screen, TagbenchScreen) and self.screen.is_mounted:
            self.screen.catch_up()

    def show_phone(self) -> None:
        """Shows on the open screen whether phones are answered, and what waits from one."""
        if isinstance(self.screen, TagbenchScreen) and self.screen.is_mounted:
            self.screen.show_phone()

    async def on_unmount(self) -> None:
        """The phone page ends with the screens."""
        if self.book_is_here:
            await self.phone.stop()

    # Styles

    @property
    def look(self) -> Hashable:
        """All that the styles of a screen follow from besides the screen itself: what the sheets
        say in this theme, and whether it is dark or the window has the focus."""
        assert isinstance(self.stylesheet, ParsedOnce)
        return self.stylesheet.edition, self.pseudo_classes, self.classes

    # The room there is

    def on_resize(self, event: events.Resize) -> None:
        """Covers the screens with a sentence while there is no room for them."""
        self._cover(event.size)

    def _cover_what_came_up(self, screen: Screen[Any]) -> None:
        """What is opened meanwhile is covered too."""
        if not fits(*self.size) and not isinstance(screen, TooSmall):
            self.call_later(self._cover, self.size)

    def _cover(self, size: Size) -> None:
        covered = isinstance(self.screen, TooSmall)
        if fits(*size) and covered:
            self.pop_screen()
        elif not fits(*size) and not covered:
            self.push_screen(TooSmall())

    # Saying something on whatever is open

    async def _take(self, arrived: Arrived) -> None:
        self._revision_then = self.own_book.revision
        await super()._take(arrived)

    async def on_event(self, event: events.Event) -> None:
        """Notes what the book is like before a click does something; see `way_back`."""
        if isinstance(event, events.MouseDown) and self.book_is_here:
            self._revision_then = self.own_book.revision
        await super().on_event(event)

    @property
    def way_back(self) -> str:
        """Which key takes back what the last key or click wrote; empty when it wrote nothing.

        Said behind whatever a screen or card tells, so that no action can forget to say it.
        """
        book = self.own_book
        many = book.revision - self._revision_then
        if many <= 0:
            return ""
        from tagbench.book.undoing import is_preference
        from tagbench.screens.app.history import PUT_BACK

        for change in book.history(limit=many):
            if change.takes_back:
                return f"{TAKE_BACK.key_words}, {PUT_BACK.key_words} puts it back."
            if not is_preference(change):
                return f"{TAKE_BACK.key_words} takes it back."
        return ""

    def tell(self, sentence: str) -> None:
        """Says what was done on the notice line of the open screen or dialog."""
        if isinstance(self.screen, ScreenMixin):
            self.screen.tell(sentence)

    def refuse(self, sentence: str) -> None:
        """Says why something was not done on the notice line of the open screen or dialog."""
        if isinstance(self.screen, ScreenMixin):
            self.screen.refuse(sentence)

    # Changing screens and opening records

    async def action_go(self, name: str) -> None:
        """Goes to a screen by name."""
        await self.go(name)

    async def go(self, name: str) -> bool:
        """Goes to a screen by name, what was typed elsewhere stays; False while a card is open."""
        if any(isinstance(screen, TagbenchDialog) for screen in self.screen_stack):
            self.refuse(CARD_IS_OPEN)
            return False
        while len(self.screen_stack) > 1:
            await self.pop_screen()
        if name != "bench":
            await self.push_screen(name)
        return True

    def back(self) -> None:
        """Goes back to the screen below; Bench is the last."""
        if len(self.screen_stack) > 1:
            self.pop_screen()

    async def open_code(self, code: str) -> None:
        """Opens the part, bin or spare tag with that code; raises NotFound."""
        from tagbench.rules.scan import look_up

        await self._open_record(look_up(self.book.records, code))

    async def open_scan(self, text: str) -> None:
        """Opens what a tag names, unless the open screen or card does something else with it.

        Says what is wrong with a tag that names nothing.
        """
        from tagbench.rules.scan import open_tag

        try:
            opened = open_tag(self.book.records, text)
            if not (isinstance(self.screen, ScreenMixin) and self.screen.takes_scan(opened)):
                await self._open_record(opened)
        except (TagbenchError, LabelError) as error:
            self.refuse(str(error))

    async def _open_record(self, opened: Opened) -> None:
        """Brings up the record behind a tag; a spare tag brings up the strip form for it."""
        here = self.screen
        if opened.kind == "spare":
            if await self.go("strip"):
                self._turn_to(opened.code)
        elif isinstance(here, TagbenchScreen) and here.screen_name == opened.kind:
            self._turn_to(opened.code)
        else:
            await self.open_screen(opened.kind, opened.code)

    def _turn_to(self, text: str) -> None:
        if isinstance(self.screen, TagbenchScreen):
            self.screen.turn_to(text)

    async def open_screen(self, name: str, *arguments: object) -> None:
        """Lays a screen over the open one, for the record that the arguments name."""
        await self.push_screen(screen_entry(name).make(*arguments))

    async def find(self, words: str) -> None:
        """Goes to Find and looks for some words."""
        if await self.go("find"):
            self._turn_to(words)

    # What works everywhere

    async def action_follow(self) -> None:
        """Shows what a phone opened while the person was typing."""
        await self.phone.following.bring_up_waiting()

    @work(group=CARDS)
    async def action_left_over(self) -> None:
        """Writes down what was found on the bench, over whatever is open."""
        from tagbench.book.operations.machines import chosen
        from tagbench.screens.shared.left_over import LeftOverDialog

        machine = chosen(self.book.records) if self.book_is_here else None
        if machine is None:
            self.refuse("There is no machine yet, so nothing can be left over.")
            return
        if isinstance(self.screen, LeftOverDialog):
            return
        words = await self.push_screen_wait(LeftOverDialog(machine.mark))
        if words:
            self.book_changed()
            self.tell(words)

    @work(group=CARDS)
    async def action_help(self) -> None:
        """Lists every key, those of the open screen first, and does what is clicked."""
        from tagbench.screens.app.help import HelpDialog

        action = await self.push_screen_wait(HelpDialog(self._here()))
        await self._do(action)

    @work(group=CARDS)
    async def action_actions(self) -> None:
        """Lists what can be done, on the open screen first, and does what is chosen."""
        from tagbench.screens.app.help import ActionsDialog

        action = await self.push_screen_wait(ActionsDialog(self._here()))
        await self._do(action)

    def _here(self) -> TagbenchScreen | TagbenchDialog[Any] | None:
        here = self.screen
        return here if isinstance(here, TagbenchScreen | TagbenchDialog) else None

    async def _do(self, action: Action | None) -> None:
        """Does what was chosen from a list as if its key had been pressed."""
        if action is None:
            return
        if action.action:
            await self.run_action(action.action, self.screen)
        else:
            self.simulate_key(action.first_key)

    @work(group=CARDS)
    async def action_history(self) -> None:
        """Shows what was done and offers to take the last change back."""
        from tagbench.screens.app.history import HistoryDialog

        done = await self.push_screen_wait(HistoryDialog())
        if done is not None:
            self.book_changed()
            if isinstance(self.screen, TagbenchDialog):
                self.screen.catch_up()
            self.tell(done.words)

    @work(group=CARDS)
    async def action_leave(self) -> None:
        """Asks before it closes tagbench."""
        from tagbench.screens.shared.confirm import ConfirmDialog

        if await self.push_screen_wait(ConfirmDialog("Leave tagbench?", LEAVING, yes="Leave")):
            self.exit()

    def action_large(self) -> None:
        """Changes between large and usual keys, codes and main facts, and remembers it."""
        from tagbench.book.operations.desk import choose_size

        large = not self.own_book.records.desk.large
        try:
            choose_size(self.own_book, large=large)
        except TagbenchError as error:
            self.refuse(str(error))
            return
        self.book_changed()
        high = "" if self.size.height >= HIGH else f" They show on {HIGH} lines or more."
        self.tell(f"Keys, codes and main facts are drawn {'large' if large else 'as usual'}.{high}")

    def action_light(self) -> None:
        """Changes between light and dark, and remembers it.

        A book that cannot be written does not stand in the way.
        """
        from tagbench.book.operations.desk import choose_theme

        name: Literal["dark", "light"] = (
            "light" if self.theme == self.themes["dark"].name else "dark"
        )
        self.theme = self.themes[name].name
        try:
            choose_theme(self.own_book, name)
        except TagbenchError as error:
            self.refuse(str(error))
