"""Which picture? A path that completes from the disk, with what lies there beneath."""

from __future__ import annotations

from pathlib import Path

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input

from tagbench.errors import BadInput
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Opened
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.columns import cut
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.rows import Rows
from tagbench.screens.widgets.suggest import KnownPaths, common_start, completions

SHOWN = 500
"""So many files are listed."""
NO_FILES = "No picture or folder there."


class PhotoDialog(TagbenchDialog[str]):
    """Gives the path of an existing file; whether it is a picture is checked when it is copied."""

    heading = "Picture"
    actions = (
        Action("enter", "take", "Take", "Takes the picture, or goes into the folder."),
        Action("tab", "complete", "Complete", "Completes the path as far as it is clear."),
        Action("up", "step(-1)", "Up", "Goes up in the list.", show=False),
        Action("down", "step(1)", "Down", "Goes down in the list.", show=False),
    )

    def __init__(self, typed: str) -> None:
        super().__init__()
        self._start = typed or "~/"

    def body(self) -> ComposeResult:
        yield Field("Path", id="path", suggester=KnownPaths())
        yield Rows(draw_path, lambda path: path, id="files", empty=NO_FILES, driven=True)

    def on_mount(self) -> None:
        self.field.value = self._start

    @property
    def field(self) -> Field:
        """The path."""
        return self.query_one("#path-field", Field)

    @on(Input.Changed)
    def narrow(self) -> None:
        """Lists the folders and pictures that complete the path."""
        self.query_one(Rows).show_first(completions(self.field.value, SHOWN))

    def action_complete(self) -> None:
        """Completes the path as far as all that fits agrees."""
        self.field.value = common_start(list(self.query_one(Rows).items), self.field.value)

    def action_step(self, by: int) -> None:
        """Moves the cursor without leaving the field."""
        self.query_one(Rows).action_step(by)

    @on(Input.Submitted)
    def action_take(self) -> None:
        """Takes the file that was typed, else the row under the cursor."""
        if Path(self.field.value).expanduser().is_file():
            self.dismiss(self.field.value)
        else:
            self._take(self.query_one(Rows).current)

    @on(Opened)
    def chosen(self, message: Opened[str]) -> None:
        """Takes the row that was clicked."""
        self._take(message.item)

    def _take(self, path: str | None) -> None:
        with self.refusing():
            if path is None:
                raise BadInput("There is no such file; type the path of a picture.")
            if path.endswith("/"):
                self.field.value = path
            else:
                self.dismiss(path)


def draw_path(path: str, width: int) -> list[str]:
    """One line: the last step of the path, a slash after a folder."""
    folder = path.endswith("/")
    return [cut(path.rstrip("/").rpartition("/")[2] + ("/" if folder else ""), width)]
