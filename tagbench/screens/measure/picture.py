"""Which picture is measured: one that a phone sent, the newest of a folder, or any other."""

from __future__ import annotations

from pathlib import Path

from tagbench.errors import BadInput
from tagbench.measure.waiting import waiting
from tagbench.screens.frame.actions import Action
from tagbench.screens.shared.pickers import PhotoDialog
from tagbench.screens.widgets.columns import columns, cut
from tagbench.screens.widgets.suggest import completions

_SUFFIXES = (".jpg", ".jpeg", ".png", ".tif", ".tiff", ".heic", ".webp", ".bmp")


class PictureToMeasureDialog(PhotoDialog):
    """Gives the path of the picture; those that a phone sent stand first."""

    heading = "Measure from a picture: on the mat (tagbench mat), or scanned"
    actions = (
        *PhotoDialog.actions,
        Action("ctrl+o", "newest", "Newest", "Takes the newest: sent by a phone, else here."),
    )

    def found(self) -> list[str]:
        """What a phone sent, then the folders and pictures that complete the path."""
        typed = self.typed
        sent = [str(one.picture) for one in waiting(self.book.folder)] if typed == "~/" else []
        return [*sent, *completions(typed, 500)]

    def draw(self, item: str, width: int) -> list[str]:
        if item in {str(one.picture) for one in waiting(self.book.folder)}:
            return [columns(width, (Path(item).stem, 0), ("sent by the phone", -18), gap=2)]
        return [cut(super().draw(item, width)[0], width)]

    def action_newest(self) -> None:
        with self.refusing():
            self.take(str(newest(self.book.folder, self.typed)))


def newest(book: Path, typed: str) -> Path:
    """The newest picture: sent by a phone, else of the folder typed. BadInput without one."""
    sent = waiting(book)
    if sent:
        return sent[0].picture
    folder = Path(typed or "~/").expanduser()
    folder = folder if folder.is_dir() else folder.parent
    try:
        pictures = [one for one in folder.iterdir() if one.suffix.casefold() in _SUFFIXES]
    except OSError:
        pictures = []
    if not pictures:
        raise BadInput(f"There is no picture in {folder}; type the folder they are in.")
    return max(pictures, key=lambda one: one.stat().st_mtime)
