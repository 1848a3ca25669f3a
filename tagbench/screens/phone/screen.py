"""Phone: the pages that phones open, switched on and off, and the phones that may see them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from textual import on, work
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widgets import Static

from tagbench.book.operations import phones
from tagbench.book.operations.tagging import queue
from tagbench.errors import TagbenchError
from tagbench.phone.addresses import dead_tags, to_reprint
from tagbench.records import Phone, Tables, Tag
from tagbench.rules.describe.phrases import day, plural
from tagbench.screens.frame.actions import NEW_KEY, Action
from tagbench.screens.frame.messages import RowOpened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.phone.cards import AnswerDialog, Answering, PairDialog, PhoneNameDialog
from tagbench.screens.shared.base import CARDS, TagbenchScreen
from tagbench.screens.shared.confirm import confirmed
from tagbench.screens.widgets.big_code import SymbolView
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.facts import Section, Sections
from tagbench.screens.widgets.rows import Rows

if TYPE_CHECKING:
    from tagbench.phone.server import PhoneServer

LOOK_SECONDS = 2.0
"""How often it is shown anew when a phone was last here."""
OFF_FIRST = "The phone page is off; Ctrl+O switches it on."
NOBODY = "No phone is paired; Ctrl+N pairs one."
SYMBOL_ROOM = (41, 21)
"""Columns and rows for the symbol at the right."""
OFF = (
    "A phone that scans a tag then sees its part, adds pictures and ticks what was done, and "
    "this screen follows it.",
    "Nothing is shown to a phone that was not paired here.",
)
FIXED_NUMBER = "Numbers change: in the router, reserve this computer's address."
NOT_ENCRYPTED = "Not encrypted: use it on your own network only."
FIXED_NUMBER = "Numbers change: in the router, reserve this computer's address."
HERE_ONLY = "A phone cannot reach that. For phones: Ctrl+O twice, and the home network."


class PhoneScreen(TagbenchScreen):
    """Where phones are answered and the paired ones at the left, a symbol to open at the right."""

    screen_name = "phone"
    CSS_PATH = stylesheets("field", "phone")
    AUTO_FOCUS = "#phones"
    actions = (
        Action("ctrl+o", "switch", "On, off", "Switches the pages for phones on or off."),
        Action(NEW_KEY, "pair", "Pair", "Pairs a new phone: shows the code and the symbol."),
        Action("enter", "", "Name", "Gives the phone under the cursor another name."),
        Action("ctrl+r", "forget", "Take away", "Takes a phone away; it sees nothing any more."),
        Action("ctrl+p", "reprint", "Reprint", "Queues the tags that carry another address."),
    )

    def __init__(self) -> None:
        super().__init__()
        self._said: list[tuple[Phone, str]] | None = None
        """The phones that are shown, with what is said of each."""

    def body(self) -> ComposeResult:
        with Horizontal():
            with Vertical(id="phone-side"):
                yield Sections(id="phone-state")
                yield Static("Paired phones, last here", classes="section", markup=False)
                yield Rows(self.draw, lambda phone: str(phone.id), id="phones", empty=NOBODY)
            with Vertical(id="symbol-side"):
                yield SymbolView(id="open-symbol")
                yield Static("", id="open-words", classes="quiet", markup=False)

    def on_mount(self) -> None:
        self.set_interval(LOOK_SECONDS, self._show_phones)

    def show_book(self) -> None:
        server = self.bench_app.phone.server
        self.query_one(Sections).show([*state(server), *in_the_tags(self.tables)])
        self._show_phones()
        url = server.urls[0].upper() if server is not None and server.address else ""
        shown = self.query_one(SymbolView).show(url, *SYMBOL_ROOM)
        words = "Scan this to open the pages." if url and shown else ""
        self.query_one("#open-words", Static).update(words)

    def _show_phones(self) -> None:
        """Shows the paired phones, if anything that is said about them has changed."""
        if not self.bench_app.book_is_here or not self.app.is_running:
            return
        now = self.book.now()
        said = [(phone, seen_words(phone, now)) for phone in self.bench_app.phone.phones()]
        if said != self._said:
            self._said = said
            self.query_one("#phones", Rows).show([phone for phone, _ in said])

    def draw(self, phone: Phone, width: int) -> list[str]:
        """One line: the name, when it was last here."""
        seen = seen_words(phone, self.book.now())
        return [columns(width, (phone.name, 0), (seen, 15), gap=2)]

    @property
    def phone(self) -> Phone | None:
        """The phone under the cursor."""
        return self.query_one("#phones", Rows).current

    # On and off

    @work(group=CARDS)
    async def action_switch(self) -> None:
        if self.bench_app.phone.server is not None:
            self._switch_off()
        elif wanted := await self.ask(AnswerDialog()):
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
        self.tell("Phones are no longer answered.")

    @work(group=CARDS)
    async def _offer_reprint(self) -> None:
        old = old_words(to_reprint(self.tables)).split(";")[0]
        words = f"{old}. A phone that scans them finds nothing there."
        if await confirmed(self, "Print them again?", words, "Queue them"):
            self.action_reprint()

    def action_reprint(self) -> None:
        """Queues the tags that carry another address than the one in use."""
        old = to_reprint(self.tables)
        if not old:
            self.tell("No printed tag carries another address.")
            return
        with self.refusing():
            queue(self.book, [tag.code for tag in old])
            self.catch_up()
            self.tell(f"Queued {plural(len(old), 'tag')}; F4 prints them.")

    # Phones

    def action_pair(self) -> None:
        server = self.bench_app.phone.server
        if server is None:
            self.refuse(OFF_FIRST)
        else:
            self.open_card(PairDialog(server))

    @on(RowOpened)
    def rename(self, message: RowOpened[Phone]) -> None:
        """Asks for another name."""
        self.open_card(PhoneNameDialog(message.item))

    @work(group=CARDS)
    async def action_forget(self) -> None:
        phone = self.phone
        if phone is None:
            self.refuse(NOBODY)
            return
        words = f"{phone.name} sees nothing from now on. It can be paired again."
        if await confirmed(self, "Take it away?", words, "Take away"):
            with self.refusing():
                phones.forget(self.book, phone.id)
                self.finished(f"{phone.name} is no longer paired.")


def state(server: PhoneServer | None) -> Iterator[Section]:
    """Whether it is on, and where it answers."""
    if server is None:
        yield "Off", OFF
    elif server.address:
        advice = [] if server.name else [FIXED_NUMBER]
        yield "On, in the home network", [*server.urls, *advice, NOT_ENCRYPTED]
    else:
        yield "On, for this computer only", [*server.urls, HERE_ONLY]


def in_the_tags(tables: Tables) -> Iterator[Section]:
    """What tags are printed with, and which carry something else."""
    address = tables.desk.phone_address
    words = [f"Printed with {address}."] if address else ["Printed with the code alone."]
    old = dead_tags(tables, address)
    if old:
        words.append(old_words(old))
    yield "Tags", words


def old_words(old: Sequence[Tag]) -> str:
    """How many tags carry which other address, and how many of them will be printed anew."""
    carried = ", ".join(sorted({tag.address or "the code alone" for tag in old}))
    count = f"{len(old)} printed tag{'s carry' if len(old) != 1 else ' carries'} {carried}"
    queued = sum(1 for tag in old if tag.queued)
    if queued == len(old):
        return f"{count}; queued to be printed again."
    return f"{count}; Ctrl+P queues {'the rest' if queued else 'them'}."


def seen_words(phone: Phone, now: datetime) -> str:
    """When a phone was last here: `19:05`, `yesterday 19:05`, `3 Nov 2024`."""
    if phone.seen is None:
        return "never yet"
    seen = phone.seen.astimezone(now.tzinfo)
    days = (now.date() - seen.date()).days
    if days == 0:
        return f"{seen:%H:%M}"
    if days == 1:
        return f"yesterday {seen:%H:%M}"
    return day(seen)
