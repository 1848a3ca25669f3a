"""Phone: the pages that phones open, switched on and off, and the phones that may see them."""

from __future__ import annotations

from textual import on, work
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widgets import Static

from tagbench.book.operations import phones
from tagbench.book.operations.tagging import queue
from tagbench.errors import TagbenchError
from tagbench.records import Phone
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Opened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.phone.answer import Answering
from tagbench.screens.phone.words import in_the_tags, old_words, seen_words, state, to_reprint
from tagbench.screens.shared.base import TagbenchScreen
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.rows import Rows
from tagbench.screens.widgets.sections import Sections
from tagbench.screens.widgets.symbol import Symbol

LOOK_SECONDS = 2.0
"""How often it is shown anew when a phone was last here."""
OFF_FIRST = "The phone page is off; Ctrl+O switches it on."
NOBODY = "No phone is paired; Ctrl+N pairs one."
SYMBOL_ROOM = (41, 21)
"""Columns and rows for the symbol at the right."""


class PhoneScreen(TagbenchScreen):
    """Where phones are answered and the paired ones at the left, a symbol to open at the right."""

    screen_name = "phone"
    CSS_PATH = stylesheets("field", "phone")
    AUTO_FOCUS = "#phones"
    actions = (
        Action("ctrl+o", "switch", "On, off", "Switches the pages for phones on or off."),
        Action("ctrl+n", "pair", "Pair", "Shows the code and the symbol that pair a phone."),
        Action("enter", "", "Name", "Gives the phone under the cursor another name."),
        Action("ctrl+r", "forget", "Take away", "Takes a phone away; it sees nothing any more."),
        Action("ctrl+p", "reprint", "Reprint", "Queues the tags that carry another address."),
    )

    def body(self) -> ComposeResult:
        with Horizontal():
            with Vertical(id="phone-side"):
                yield Sections(id="phone-state")
                yield Static("Paired phones, last here", classes="section", markup=False)
                yield Rows(self.draw, lambda phone: str(phone.id), id="phones", empty=NOBODY)
            with Vertical(id="symbol-side"):
                yield Symbol(id="open-symbol")
                yield Static("", id="open-words", classes="quiet", markup=False)

    def on_mount(self) -> None:
        self.set_interval(LOOK_SECONDS, self._show_phones)

    def show_book(self) -> None:
        server = self.bench_app.phone.server
        self.query_one(Sections).show([*state(server), *in_the_tags(self.tables)])
        self._show_phones()
        url = server.urls[0].upper() if server is not None and server.address else ""
        shown = self.query_one(Symbol).show(url, *SYMBOL_ROOM)
        words = "Scan this to open the pages." if url and shown else ""
        self.query_one("#open-words", Static).update(words)

    def _show_phones(self) -> None:
        if self.bench_app.book_is_here and self.app.is_running:
            self.query_one("#phones", Rows).show(self.bench_app.phone.phones())

    def draw(self, phone: Phone, width: int) -> list[str]:
        """One line: the name, when it was last here."""
        seen = seen_words(phone, self.book.now())
        return [columns(width, (phone.name, 0), (seen, 15), gap=2)]

    @property
    def phone(self) -> Phone | None:
        """The phone under the cursor."""
        return self.query_one("#phones", Rows).current

    # On and off

    def action_switch(self) -> None:
        """Asks who is to be answered, or answers nobody any more."""
        from tagbench.screens.phone.answer import AnswerDialog

        if self.bench_app.phone.server is not None:
            self._switch_off()
        else:
            self.app.push_screen(AnswerDialog(), self._answer)

    def _answer(self, wanted: Answering | None) -> None:
        if wanted is not None:
            self._switch_on(wanted)

    @work(exclusive=True, group="switch")
    async def _switch_on(self, wanted: Answering) -> None:
        before = self.tables.desk.phone_address
        try:
            await self.bench_app.phone.on(wanted.host, wanted.port, wanted.announce)
        except TagbenchError as error:
            self.refuse(str(error))
            return
        self.show_book()
        self.tell("Phones are answered. Ctrl+N pairs one.")
        if before != self.tables.desk.phone_address and to_reprint(self.tables):
            self._offer_reprint()

    @work(exclusive=True, group="switch")
    async def _switch_off(self) -> None:
        await self.bench_app.phone.off()
        self.show_book()
        self.tell("Phones are not answered any more.")

    def _offer_reprint(self) -> None:
        from tagbench.screens.shared.confirm import ConfirmDialog

        def answered(sure: bool | None) -> None:
            if sure:
                self.action_reprint()

        old = to_reprint(self.tables)
        words = f"{old_words(old).split(';')[0]}. A phone that scans them finds nothing there."
        dialog = ConfirmDialog("Print them anew?", words, "Queue them")
        self.app.push_screen(dialog, answered)

    def action_reprint(self) -> None:
        """Queues the tags that carry another address than the one in use."""
        old = to_reprint(self.tables)
        if not old:
            self.tell("No printed tag carries another address.")
            return
        with self.refusing():
            queue(self.book, [tag.code for tag in old])
            self.catch_up()
            self.tell(f"Queued {len(old)} tag{'s' * (len(old) != 1)}; F4 prints them.")

    # Phones

    def action_pair(self) -> None:
        """Shows a fresh code until a phone is paired."""
        from tagbench.screens.phone.pair import PairDialog

        server = self.bench_app.phone.server
        if server is None:
            self.refuse(OFF_FIRST)
        else:
            self.app.push_screen(PairDialog(server), self._done)

    @on(Opened)
    def rename(self, message: Opened[Phone]) -> None:
        """Asks for another name."""
        from tagbench.screens.phone.phone_name import PhoneNameDialog

        self.app.push_screen(PhoneNameDialog(message.item), self._done)

    def action_forget(self) -> None:
        """Asks, then takes the phone under the cursor away."""
        from tagbench.screens.shared.confirm import ConfirmDialog

        phone = self.phone
        if phone is None:
            self.refuse(NOBODY)
            return

        def answered(sure: bool | None) -> None:
            if sure:
                self._forget(phone)

        words = f"{phone.name} sees nothing from now on. It can be paired again."
        self.app.push_screen(ConfirmDialog("Take it away?", words, "Take away"), answered)

    def _forget(self, phone: Phone) -> None:
        with self.refusing():
            phones.forget(self.book, phone.id)
            self._done(f"{phone.name} is no longer paired.")

    def _done(self, words: str | None) -> None:
        self.catch_up()
        if words:
            self.tell(words)
