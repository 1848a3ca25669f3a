"""A picture in the terminal: by a graphics protocol where there is one, else in half blocks."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from textual import events, work
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.widgets import Static

from tagbench.records import Photo
from tagbench.screens.frame.graphics import picture_widget

if TYPE_CHECKING:
    from PIL.Image import Image

LARGEST = 1200
"""Pictures are made this small before they are drawn, pixels on the longer side."""


def open_picture(path: Path) -> Image:
    """The picture, upright and small; raises OSError when it cannot be decoded."""
    from PIL import Image

    from labels.upright import upright

    with Image.open(path) as picture:
        picture.draft("RGB", (LARGEST, LARGEST))
        small = upright(picture)
        small.thumbnail((LARGEST, LARGEST))
        return small.convert("RGB")


def fitted_size(
    width: int, height: int, columns: int, rows: int, cell: tuple[int, int]
) -> tuple[int, int]:
    """Columns and rows of a picture of `width` × `height` pixels, as large as there is room."""
    scale = min(columns * cell[0] / width, rows * cell[1] / height)
    return max(1, int(width * scale / cell[0])), max(1, round(height * scale / cell[1]))


class PhotoView(Vertical):
    """The pictures of a part, one at a time, with its caption."""

    def __init__(self) -> None:
        super().__init__()
        self._folder = Path()
        self._photos: Sequence[Photo] = ()
        self._at = 0
        self._pixels = (1, 1)

    def compose(self) -> ComposeResult:
        yield picture_widget()(id="picture")
        yield Static("", id="caption", markup=False)

    @property
    def path(self) -> Path | None:
        """File of the picture that is shown; None when there is none."""
        return self._folder / self._photos[self._at].file if self._photos else None

    def show(self, folder: Path, photos: Sequence[Photo]) -> None:
        """Shows the first of some pictures."""
        if (folder, photos) != (self._folder, self._photos):
            self._folder, self._photos, self._at = folder, photos, 0
            self._show()

    def next(self) -> None:
        """Shows the next picture."""
        if self._photos:
            self._at = (self._at + 1) % len(self._photos)
            self._show()

    def _show(self) -> None:
        self.query_one("#picture").display = False
        self.query_one("#caption", Static).update(self._caption())
        if self.path is not None:
            self._load(self.path)

    def _caption(self) -> str:
        if not self._photos:
            return "no picture yet"
        photo = self._photos[self._at]
        count = f"{self._at + 1} of {len(self._photos)}" if len(self._photos) > 1 else ""
        return "   ".join(filter(None, [photo.caption or photo.file, photo.moment, count]))

    @work(thread=True, exclusive=True)
    def _load(self, path: Path) -> None:
        try:
            picture = open_picture(path)
        except (OSError, ValueError, SyntaxError):
            self.app.call_from_thread(self._say_gone, path)
        else:
            self.app.call_from_thread(self._draw, path, picture)

    def _say_gone(self, path: Path) -> None:
        self.query_one("#caption", Static).update(
            f"{path.name} cannot be shown; mend the book with: tagbench check --mend"
        )

    def _draw(self, path: Path, picture: Image) -> None:
        if path != self.path:
            return
        self._pixels = picture.size
        widget = self.query_one("#picture")
        widget.display = True
        self._fit()
        widget.image = picture  # type: ignore[attr-defined] # textual-image ships no types

    def on_resize(self, event: events.Resize) -> None:
        self._fit()

    def _fit(self) -> None:
        from textual_image._terminal import get_cell_size

        room = self.size.width, max(1, self.size.height - 2)
        columns, rows = fitted_size(*self._pixels, *room, get_cell_size())
        widget = self.query_one("#picture")
        widget.styles.width, widget.styles.height = columns, rows
