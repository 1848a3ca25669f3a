"""What a picture shows, and whether it was taken before or after."""

from __future__ import annotations

from typing import cast

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input

from tagbench.book.operations.photos import Moment, describe_photo
from tagbench.errors import BadInput
from tagbench.records import Photo
from tagbench.screens.frame.actions import Action
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.suggest import KnownWords

MOMENTS = ("before", "after")
"""As it came off, as it went back."""


class CaptionDialog(TagbenchDialog[str]):
    """Gives the words that say what was written."""

    actions = (Action("enter", "save", "Save", "Saves the caption, from any field."),)

    def __init__(self, code: str, photo: Photo) -> None:
        super().__init__()
        self.heading = f"Picture {photo.file}"
        self._code = code
        self._photo = photo

    def body(self) -> ComposeResult:
        yield Field("Shows", id="shows", hint="spring hooks, long leg left")
        yield Field("Taken", id="shot", hint="before or after", suggester=KnownWords(_moments))

    def on_mount(self) -> None:
        self.query_one("#shows-field", Field).value = self._photo.caption
        self.query_one("#shot-field", Field).value = self._photo.moment

    @on(Input.Submitted)
    def action_save(self) -> None:
        """Writes it down."""
        with self.refusing():
            caption = self.query_one("#shows-field", Field).value
            moment = read_moment(self.query_one("#shot-field", Field).value)
            describe_photo(self.book, self._code, self._photo.file, caption=caption, moment=moment)
            self.dismiss("Saved.")


def _moments() -> tuple[str, ...]:
    return MOMENTS


def read_moment(text: str) -> Moment:
    """`before`, `after` or nothing; BadInput for anything else."""
    word = text.strip().casefold()
    if word not in ("", *MOMENTS):
        raise BadInput(f"“{text}” is not known; write before, after, or nothing.")
    return cast(Moment, word)
