"""Bin: what lies in a bag, box, tray, drawer or on a shelf, and where that is kept."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from tagbench.book.operations.bins import move_bin
from tagbench.book.operations.tagging import queue
from tagbench.records import Bin, Part
from tagbench.rules.bins import bin_words, inside, kept_in_words
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Opened
from tagbench.screens.shared.base import TagbenchScreen
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.rows import Rows


class BinScreen(TagbenchScreen):
    """One bin. Enter opens what lies in it."""

    screen_name = "bin"
    AUTO_FOCUS = "#inside"
    actions = (
        Action("enter", "", "Open", "Opens what is under the cursor."),
        Action("ctrl+b", "move", "Move", "Puts the bin into another one."),
        Action("ctrl+r", "queue_tag", "Tag", "Queues its tag to be printed again."),
    )

    def __init__(self, code: str) -> None:
        super().__init__()
        self.code = code
        self._trail: list[str] = []

    def body(self) -> ComposeResult:
        yield Static("", id="bin-heading", classes="words")
        yield Rows(draw_inside, lambda one: one.code, id="inside", empty="It is empty.", roomy=True)

    def turn_to(self, code: str) -> None:
        """Shows another bin on this screen."""
        if code != self.code:
            self._trail.append(self.code)
            self.code = code
        self.show_book()

    def action_back(self) -> None:
        """Goes back to the bin before, in the end to the screen below."""
        if self._trail:
            self.code = self._trail.pop()
            self.show_book()
        else:
            super().action_back()

    def show_book(self) -> None:
        one = self.tables.bins.get(self.code)
        if one is None:
            self.query_one("#bin-heading", Static).update(f"The bin {self.code} was taken away.")
            return
        held = inside(self.code, self.tables)
        where = kept_in_words(one.kept_in, self.tables.bins) if one.kept_in else "in no other bin"
        more = f", {held.deeper} more in its bags and boxes" if held.deeper else ""
        words = Content.from_markup(
            "[bold $primary]$code[/]   [bold]$name[/]\n$where\n[$quiet]$count[/]",
            code=one.code,
            name=bin_words(one),
            where=where,
            count=f"{len(held.parts)} parts{more}",
        )
        self.query_one("#bin-heading", Static).update(words)
        self.query_one("#inside", Rows).show([*held.bins, *held.parts])

    @on(Opened)
    async def open_inside(self, message: Opened[Bin | Part]) -> None:
        """Opens the bin or part."""
        await self.bench_app.open_code(message.item.code)

    def action_move(self) -> None:
        """Asks for the bin that holds it from now on."""
        from tagbench.screens.shared.bin_picker import BinDialog

        self.app.push_screen(BinDialog(), self._move_to)

    def _move_to(self, text: str | None) -> None:
        if text is not None:
            with self.refusing():
                move_bin(self.book, self.code, text)
                self.catch_up()
                self.tell(f"{self.code} is now kept in {text or 'no other bin'}.")

    def action_queue_tag(self) -> None:
        """Queues the tag of the bin."""
        with self.refusing():
            queue(self.book, [self.code])
            self.catch_up()
            self.tell(f"The tag of {self.code} waits to be printed.")


def draw_inside(one: Bin | Part, width: int) -> list[str]:
    """One line: code, name, where a part came from."""
    if isinstance(one, Bin):
        return [columns(width, (one.code, 11), (one.name, 0), (one.kind, 0), gap=2)]
    count = f" × {one.quantity}" if one.quantity > 1 else ""
    return [columns(width, (one.code, 11), (one.name + count, 0), (one.assembly, 0), gap=2)]
