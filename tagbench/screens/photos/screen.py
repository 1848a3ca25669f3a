"""Photos of one part: several, before and after, each with its caption."""

from __future__ import annotations

from pathlib import Path
from typing import cast

from textual import on, work
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.widgets import Static

from tagbench.book.operations.photos import Moment, attach, describe_photo, drop_photo
from tagbench.errors import BadInput
from tagbench.records import Part, Photo
from tagbench.rules.describe.phrases import named_parts
from tagbench.screens.frame.actions import NEW_KEY, Action
from tagbench.screens.frame.messages import Moved, RowOpened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.frame.viewer import show_in_viewer
from tagbench.screens.shared.base import CARDS, TagbenchScreen
from tagbench.screens.shared.form import FormDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.photo import PhotoView
from tagbench.screens.widgets.rows import Rows
from tagbench.screens.widgets.suggest import KnownWords

NOTHING = "No picture yet; Ctrl+N adds one."


class PhotosScreen(TagbenchScreen):
    """The pictures in a list, the one under the cursor beside it."""

    screen_name = "part photos"
    CSS_PATH = stylesheets("field", "photos")
    AUTO_FOCUS = "#photos"
    actions = (
        Action(f"{NEW_KEY},a", "add", "New", "Copies a new picture into the book, on the part."),
        Action("enter", "", "Caption", "What the picture shows, and whether before or after."),
        Action("v", "view", "View", "Opens the picture in the system's viewer."),
        Action("delete,backspace", "drop", "Take off", "Takes the picture off the part."),
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
        heading = named_parts([part]) if part is not None else f"The record of {self.code} is gone."
        self.query_one("#photos-heading", Static).update(heading)
        self.rows.show(part.photos if part is not None else ())
        self.show_picture()

    @on(Moved)
    def show_picture(self) -> None:
        """Shows the picture under the cursor."""
        photo = self.rows.current
        self.query_one(PhotoView).show(self.book.photos, [photo] if photo is not None else [])

    @work(group=CARDS)
    async def action_add(self) -> None:
        from tagbench.screens.shared.pickers import PhotoDialog

        path = await self.ask(PhotoDialog())
        if path:
            with self.refusing():
                attach(self.book, [(Path(path).expanduser(), self.code)])
                self.finished("The picture was copied into the book; Enter says what it shows.")
                self.rows.action_last()

    @on(RowOpened)
    def describe(self, message: RowOpened[Photo]) -> None:
        """Asks what the picture shows."""

        self.open_card(CaptionDialog(self.code, message.item))

    def action_view(self) -> None:
        photo = self.rows.current
        if photo is None:
            self.refuse(NOTHING)
        else:
            with self.refusing():
                show_in_viewer(self.book.photos / photo.file)

    def action_drop(self) -> None:
        photo = self.rows.current
        if photo is not None:
            with self.refusing():
                drop_photo(self.book, self.code, photo.file)
                self.finished("Taken off; the file stays in the book, and Ctrl+T brings it back.")

    async def action_folder(self) -> None:
        await self.bench_app.go("photos")


def draw(photo: Photo, width: int) -> list[str]:
    """Two lines: before or after and the caption; when it was taken."""
    taken = f"taken {photo.taken:%d %b %Y %H:%M}" if photo.taken else "no time known"
    first = columns(width, (photo.moment or "·", 6), (photo.caption or "no caption", 0), gap=2)
    return [first, columns(width, ("", 6), (taken, 0), gap=2)]


MOMENTS = ("before", "after")
"""As it came off, as it went back."""


class CaptionDialog(FormDialog[str]):
    """Gives the words that say what was written."""

    actions = (Action("enter", "save", "Save", "Saves the caption, from any field."),)

    def __init__(self, code: str, photo: Photo) -> None:
        super().__init__()
        self.heading = f"Picture {photo.file}"
        self._code = code
        self._photo = photo

    def body(self) -> ComposeResult:
        yield Field("Shows", id="shows", example="spring hooks, long leg left")
        yield Field(
            "Taken", id="shot", hint="before or after", suggester=KnownWords(lambda: MOMENTS)
        )

    def on_mount(self) -> None:
        self["shows"].value = self._photo.caption
        self["shot"].value = self._photo.moment

    def action_save(self) -> None:
        with self.refusing():
            caption = self["shows"].value
            moment = read_moment(self["shot"].value)
            describe_photo(self.book, self._code, self._photo.file, caption=caption, moment=moment)
            self.dismiss("Saved.")


def read_moment(text: str) -> Moment:
    """`before`, `after` or nothing; BadInput for anything else."""
    word = text.strip().casefold()
    if word not in ("", *MOMENTS):
        raise BadInput(f"“{text}” is not known; write before, after, or nothing.")
    return cast(Moment, word)
