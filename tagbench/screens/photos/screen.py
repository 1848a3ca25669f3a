"""Photos of one part: several, before and after, each with its caption."""

from __future__ import annotations

from pathlib import Path

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.widgets import Static

from tagbench.book.operations.photos import attach, drop_photo
from tagbench.records import Part, Photo
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Moved, Opened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.frame.viewer import show_in_viewer
from tagbench.screens.shared.base import TagbenchScreen
from tagbench.screens.shared.part_words import named
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.photo import PhotoView
from tagbench.screens.widgets.rows import Rows

NOTHING = "No picture yet; A adds one."


class PhotosScreen(TagbenchScreen):
    """The pictures in a list, the one under the cursor beside it."""

    screen_name = "part photos"
    CSS_PATH = stylesheets("field", "photos")
    AUTO_FOCUS = "#photos"
    actions = (
        Action("a", "add", "Add", "Copies a picture into the book and puts it on the part."),
        Action("enter", "", "Caption", "What the picture shows, and whether before or after."),
        Action("v", "view", "View", "Opens the picture in the system's viewer."),
        Action("delete", "drop", "Take off", "Takes the picture off the part."),
        Action("f", "folder", "Folder", "Puts a folder of pictures on parts by their time."),
    )

    def __init__(self, code: str) -> None:
        super().__init__()
        self.code = code

    def body(self) -> ComposeResult:
        yield Static("", id="photos-heading", markup=False)
        with Horizontal():
            yield Rows(draw, lambda photo: photo.file, id="photos", height=2, empty=NOTHING)
            yield PhotoView()

    @property
    def part(self) -> Part | None:
        """The part as it is now; None when its record was taken away."""
        return self.tables.parts.get(self.code)

    @property
    def rows(self) -> Rows[Photo]:
        """Its pictures."""
        return self.query_one("#photos", Rows)

    def show_book(self) -> None:
        part = self.part
        heading = named([part]) if part is not None else f"The record of {self.code} is gone."
        self.query_one("#photos-heading", Static).update(heading)
        self.rows.show(part.photos if part is not None else ())
        self.show_picture()

    @on(Moved)
    def show_picture(self) -> None:
        """Shows the picture under the cursor."""
        photo = self.rows.current
        self.query_one(PhotoView).show(self.book.photos, [photo] if photo is not None else [])

    def _done(self, words: str) -> None:
        self.catch_up()
        self.tell(words)

    def action_add(self) -> None:
        """Asks for a picture and copies it into the book."""
        from tagbench.screens.shared.photo_picker import PhotoDialog

        self.app.push_screen(PhotoDialog(""), self._take)

    def _take(self, path: str | None) -> None:
        if path:
            with self.refusing():
                attach(self.book, [(Path(path).expanduser(), self.code)])
                self._done("The picture was copied into the book; Enter says what it shows.")
                self.rows.action_last()

    @on(Opened)
    def describe(self, message: Opened[Photo]) -> None:
        """Asks what the picture shows."""
        from tagbench.screens.photos.caption import CaptionDialog

        self.open_card(CaptionDialog(self.code, message.item))

    def action_view(self) -> None:
        """Opens the picture in the system's viewer."""
        photo = self.rows.current
        if photo is None:
            self.refuse(NOTHING)
        else:
            with self.refusing():
                show_in_viewer(self.book.photos / photo.file)

    def action_drop(self) -> None:
        """Takes the picture off the part."""
        photo = self.rows.current
        if photo is not None:
            with self.refusing():
                drop_photo(self.book, self.code, photo.file)
                self._done("Taken off; the file stays in the book, and Ctrl+T brings it back.")

    async def action_folder(self) -> None:
        """Goes to the page that takes in a folder of pictures."""
        await self.bench_app.go("photos")


def draw(photo: Photo, width: int) -> list[str]:
    """Two lines: before or after and the caption; when it was taken."""
    taken = f"taken {photo.taken:%d %b %Y %H:%M}" if photo.taken else "no time known"
    first = columns(width, (photo.moment or "·", 6), (photo.caption or "no caption", 0), gap=2)
    return [first, columns(width, ("", 6), (taken, 0), gap=2)]
