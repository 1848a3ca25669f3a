"""Backups: the copies of the book, what differs in each, and the way to one of them."""

from __future__ import annotations

from textual import on, work
from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.book.copies import Copy, copies
from tagbench.errors import TagbenchError
from tagbench.rules.describe.phrases import first_few, moment, plural
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import RowOpened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import TagbenchScreen
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.rows import Rows

NONE_YET = "There is no backup yet; the first one is made with the second change."
LOOKING = "The copies are being read …"
WORDS = (
    "Every copy below is a whole book. Open one to see what differs, to take a part or all of it "
    "back, or to look around in it."
)
NAMED = 6
"""So many records are named in a row."""


class BackupsScreen(TagbenchScreen):
    """The copies, newest first."""

    screen_name = "backups"
    CSS_PATH = stylesheets("backups")
    AUTO_FOCUS = "#copies"
    actions = (
        Action("enter", "", "Open", "Shows what differs in the copy, and takes back from it."),
        Action("o", "look", "Look", "Opens the copy, only to be looked at, on all screens."),
    )

    def body(self) -> ComposeResult:
        yield Static(WORDS, classes="words", markup=False)
        yield Rows(
            draw_copy, lambda copy: copy.name, id="copies", height=2, empty=LOOKING, roomy=True
        )

    @property
    def rows(self) -> Rows[Copy]:
        """The copies."""
        return self.query_one("#copies", Rows)

    def show_book(self) -> None:
        self._read_copies()

    @work(thread=True, exclusive=True, group="copies")
    def _read_copies(self) -> None:
        """Beside the screen: each copy is as long as the book."""
        try:
            found = copies(self.bench_app.own_book)
        except TagbenchError as error:
            self.app.call_from_thread(self.refuse, str(error))
        else:
            self.app.call_from_thread(self._show, found)

    def _show(self, found: list[Copy]) -> None:
        if self.is_mounted:
            self.rows.show_empty(NONE_YET)
            self.rows.show(found)

    @on(RowOpened)
    async def open(self, message: RowOpened[Copy]) -> None:
        """Shows what differs in the copy."""
        copy = message.item
        if copy.readable:
            await self.bench_app.open_screen("backup", copy.path)
        else:
            self.refuse(f"{copy.name} cannot be read whole; choose another copy.")

    async def action_look(self) -> None:
        copy = self.rows.current
        if copy is not None:
            with self.refusing():
                await self.bench_app.look_at(copy.path)


def draw_copy(copy: Copy, width: int) -> list[str]:
    """Two lines: when it was made and how many records differ; which ones."""
    if not copy.readable:
        what = "cannot be read whole"
    elif copy.differs:
        what = plural(len(copy.differs), "record differs", "records differ")
    else:
        what = "as the book is now"
    which = first_few(copy.differs, NAMED)
    return [
        columns(width, (moment(copy.at), 20), (what, 0), (f"change {copy.revision}", -14), gap=2),
        columns(width, ("", 20), (which, 0), gap=2),
    ]
