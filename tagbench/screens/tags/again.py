"""Tags once more: those that were lost, greasy or torn off, found by code or name."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Static

from tagbench.book.operations.tagging import queue
from tagbench.errors import BadInput
from tagbench.records import Tag
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Opened
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.tags.words import last_printed, what
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.rows import Rows

WORDS = "Type a code, a name, or an address that tags carry. Enter queues one and stays here."
MOST = 500
"""So many tags at most are queued at once."""
NOTHING = "No tag has that on it."


class AgainDialog(TagbenchDialog[str]):
    """Queues tags to be printed again, one by one or all that are listed."""

    heading = "Print again"
    actions = (
        Action("enter", "take", "Queue", "Queues the tag under the cursor."),
        Action("ctrl+n", "take_all", "Queue all listed", "Queues all tags that are listed."),
        Action("up", "step(-1)", "Up", "Goes up in the list.", show=False),
        Action("down", "step(1)", "Down", "Goes down in the list.", show=False),
        Action("pageup", "page(-1)", "Page up", "Goes up a screenful.", show=False),
        Action("pagedown", "page(1)", "Page down", "Goes down a screenful.", show=False),
    )

    def __init__(self) -> None:
        super().__init__()
        self._tags: list[tuple[Tag, str]] = []
        """Every tag, and what it can be found by."""

    def body(self) -> ComposeResult:
        yield Static(WORDS, classes="words", markup=False)
        yield Field("Which", id="which")
        yield Rows(self.draw, lambda tag: tag.code, id="tags-again", empty=NOTHING, driven=True)
        yield Static("", id="how-many-tags", classes="quiet", markup=False)

    def on_mount(self) -> None:
        self.look_up()

    @property
    def rows(self) -> Rows[Tag]:
        """The tags that have on them what was typed."""
        return self.query_one("#tags-again", Rows)

    def look_up(self) -> None:
        """Reads the tags from the book, those printed last first."""
        tags = [tag for tag in self.tables.tags.values() if tag.kind != "gone"]
        tags.sort(key=lambda tag: tag.printed.timestamp() if tag.printed else 0.0, reverse=True)
        self._tags = [(tag, self._found_by(tag)) for tag in tags]
        self.narrow()

    def _found_by(self, tag: Tag) -> str:
        return f"{tag.code} {what(tag, self.tables)} {tag.address}".casefold()

    @on(Input.Changed)
    def narrow(self) -> None:
        """Lists the tags with all the words that were typed."""
        words = self.query_one(Field).value.casefold().split()
        found = [tag for tag, text in self._tags if all(word in text for word in words)]
        self.rows.show(found)
        count = f"{len(found)} tag{'s' * (len(found) != 1)}"
        self.query_one("#how-many-tags", Static).update(count)

    def draw(self, tag: Tag, width: int) -> list[str]:
        """One line: code, what it is on, when it was last printed."""
        name = what(tag, self.tables)
        return [columns(width, (tag.code, 10), (name, 0), (last_printed(tag), 20), gap=2)]

    def action_step(self, by: int) -> None:
        """Moves the cursor without leaving the field."""
        self.rows.action_step(by)

    def action_page(self, by: int) -> None:
        """Moves the cursor by a screenful."""
        self.rows.action_page(by)

    @on(Input.Submitted)
    @on(Opened)
    def action_take(self) -> None:
        """Queues the tag under the cursor."""
        tag = self.rows.current
        self._queue([tag] if tag else [])

    def action_take_all(self) -> None:
        """Queues all that are listed."""
        self._queue(list(self.rows.items))

    def _queue(self, tags: list[Tag]) -> None:
        with self.refusing():
            if not tags:
                raise BadInput(NOTHING)
            if len(tags) > MOST:
                raise BadInput(f"{len(tags)} tags are many; type more, so that {MOST} are left.")
            queue(self.book, [tag.code for tag in tags])
            self.look_up()
            one = f"{tags[0].code} {what(tags[0], self.tables)}".rstrip()
            self.tell(f"Queued {one}." if len(tags) == 1 else f"Queued {len(tags)} tags.")
