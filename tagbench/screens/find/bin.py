"""Bin: what lies in a bag, box, tray, drawer or on a shelf, and where that is kept."""

from __future__ import annotations

from textual import on, work
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from tagbench.book.operations.bins import move_bin, rename_bin
from tagbench.book.operations.tagging import queue
from tagbench.records import Bin, Part
from tagbench.rules.bins import typed_path
from tagbench.rules.describe.bin import describe_bin
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import RowOpened
from tagbench.screens.shared.base import CARDS, TagbenchScreen
from tagbench.screens.shared.form import FormDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.rows import Rows


class BinScreen(TagbenchScreen):
    """One bin. Enter opens what lies in it."""

    screen_name = "bin"
    AUTO_FOCUS = "#inside"
    actions = (
        Action("enter", "", "Open", "Opens what is under the cursor."),
        Action("ctrl+b,ctrl+v", "move", "Move", "Puts the bin into another one."),
        Action("ctrl+e", "rename", "Rename", "Changes what is written on the bin."),
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
        facts = describe_bin(self.tables, one)
        words = Content.from_markup(
            "[bold $primary]$code[/]   [bold]$name[/]\n$where\n[$quiet]$count[/]",
            code=facts.code,
            name=facts.name,
            where=facts.where.words,
            count=facts.holds.words,
        )
        self.query_one("#bin-heading", Static).update(words)
        self.query_one("#inside", Rows).show(
            [*facts.bins, *(self.tables.parts[part.code] for part in facts.parts)]
        )

    @on(RowOpened)
    async def open_inside(self, message: RowOpened[Bin | Part]) -> None:
        """Opens the bin or part."""
        await self.bench_app.open_code(message.item.code)

    @work(group=CARDS)
    async def action_move(self) -> None:
        from tagbench.screens.shared.pickers import BinDialog

        one = self.tables.bins.get(self.code)
        now = typed_path(one.kept_in, self.tables.bins) if one else ""
        text = await self.ask(BinDialog(now))
        if text is not None:
            with self.refusing():
                move_bin(self.book, self.code, text)
                self.finished(f"{self.code} is now kept in {text or 'no other bin'}.")

    def action_rename(self) -> None:
        if self.code in self.tables.bins:
            self.open_card(RenameDialog(self.tables.bins[self.code]))

    def action_queue_tag(self) -> None:
        with self.refusing():
            queue(self.book, [self.code])
            self.finished(f"The tag of {self.code} waits to be printed.")


class RenameDialog(FormDialog[str]):
    """Gives words that say what the bin is called now."""

    actions = (Action("enter", "save", "Save", "Gives the bin this name."),)

    def __init__(self, bin_: Bin) -> None:
        super().__init__()
        self.heading = f"Name of {bin_.code}"
        self._bin = bin_

    def body(self) -> ComposeResult:
        yield Field("Name", id="bin-name", hint="what is written on it")

    def on_mount(self) -> None:
        self["bin-name"].value = self._bin.name

    def action_save(self) -> None:
        """Writes the name down; its tag is queued to be printed again by hand."""
        with self.refusing():
            after = rename_bin(self.book, self._bin.code, self["bin-name"].value)
            self.dismiss(f"{after.code} is called {after.name} now; Ctrl+R prints its tag again.")


def draw_inside(one: Bin | Part, width: int) -> list[str]:
    """One line: code, name, where a part came from."""
    if isinstance(one, Bin):
        return [columns(width, (one.code, 11), (one.name, 0), (one.kind, 0), gap=2)]
    count = f" × {one.quantity}" if one.quantity > 1 else ""
    return [columns(width, (one.code, 11), (one.name + count, 0), (one.assembly, 0), gap=2)]
