"""Cards that choose a bin, a part or a picture: a field above a list."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import ClassVar

from textual.app import ComposeResult

from tagbench.errors import BadInput
from tagbench.records import Bin, Part
from tagbench.rules.bins import kept_in_words, typed_path
from tagbench.screens.frame.actions import Action
from tagbench.screens.shared.form import PickerDialog
from tagbench.screens.widgets.columns import columns, cut
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.suggest import KnownPaths, common_start, completions

PARTS_SHOWN, FILES_SHOWN = 50, 500
"""So many parts, and so many files, are listed."""


class BinDialog(PickerDialog[Bin, str]):
    """Gives the bin as it is typed in a field: its path from the outside in, or a new one."""

    heading = "Bag or box"
    hint = "part of a name, or a new one: Shelf A / Box 2 / Bag 7"
    none_found = "Enter makes a new bin of that name."
    takes_code = "bin"
    actions = (Action("enter", "save", "Take", "Takes the bin under the cursor, or the new name."),)

    def __init__(self, now: str = "") -> None:
        """`now`: the bin as it is typed so far; the list opens on it."""
        super().__init__()
        self._now = now

    def opens_on(self) -> str:
        here = (one.code for one in self.tables.bins.values() if self._path(one) == self._now)
        return next(here, "")

    def found(self) -> list[Bin]:
        words = self.typed.casefold().replace("/", " ").split()
        fitting = [
            one
            for one in self.tables.bins.values()
            if all(word in f"{self._path(one)} {one.code}".casefold() for word in words)
        ]
        return sorted(fitting, key=self._path)

    def _path(self, one: Bin) -> str:
        """The bin from the outside in, as it is typed."""
        return typed_path(one.code, self.tables.bins)

    def key(self, item: Bin) -> str:
        return item.code

    def draw(self, item: Bin, width: int) -> list[str]:
        outside = kept_in_words(item.kept_in, self.tables.bins) if item.kept_in else ""
        return [columns(width, (item.code, 11), (item.name, 24), (outside, 0), gap=2)]

    def take(self, item: Bin | None) -> None:
        """Takes the bin; a name that fits none is a new one."""
        self.dismiss(self.typed if item is None else self._path(item))


class WhichPartDialog(PickerDialog[Part, str]):
    """Gives the code of the part that was chosen; the likely ones stand first."""

    label = "Part"
    hint = "name, place or code"
    none_found = "Nothing like that is in the book."
    takes_code = "part"
    actions = (Action("enter", "save", "Take", "Takes the part under the cursor."),)

    def __init__(self, heading: str, likely: Sequence[str]) -> None:
        super().__init__()
        self.heading = heading
        self._likely = likely

    def found(self) -> list[Part]:
        """The parts that answer to what was typed; without words the likely ones."""
        if self.typed:
            return [one.part for one in self.bench_app.index.find(self.typed, PARTS_SHOWN)]
        parts = self.tables.parts
        return [parts[code] for code in self._likely if code in parts]

    def key(self, item: Part) -> str:
        return item.code

    def draw(self, item: Part, width: int) -> list[str]:
        return [columns(width, (item.code, 9), (item.name, 0), (item.assembly, 0), gap=2)]

    def given(self, item: Part) -> str:
        return item.code


class PhotoDialog(PickerDialog[str, str]):
    """Gives the path of an existing file; whether it is a picture is checked when it is copied."""

    heading = "Picture"
    none_found = "No picture or folder there."
    actions: ClassVar[tuple[Action, ...]] = (
        Action("enter", "save", "Take", "Takes the picture, or goes into the folder."),
        Action("tab", "complete", "Complete", "Completes the path as far as it is clear."),
    )

    def __init__(self, typed: str = "") -> None:
        super().__init__()
        self._start = typed or "~/"

    def body(self) -> ComposeResult:
        yield Field("Path", id="typed", suggester=KnownPaths(), goes_on=True)
        yield self.make_rows()

    def on_mount(self) -> None:
        self["typed"].value = self._start
        super().on_mount()

    def found(self) -> list[str]:
        return completions(self.typed, FILES_SHOWN)

    def key(self, item: str) -> str:
        return item

    def draw(self, item: str, width: int) -> list[str]:
        slash = "/" if item.endswith("/") else ""
        return [cut(item.rstrip("/").rpartition("/")[2] + slash, width)]

    def action_complete(self) -> None:
        self["typed"].value = common_start(list(self.rows.items), self.typed)

    def action_save(self) -> None:
        """Takes the file that was typed, else the row under the cursor."""
        typed = self.typed
        self.take(typed if Path(typed).expanduser().is_file() else self.rows.current)

    def take(self, item: str | None) -> None:
        with self.refusing():
            if item is None:
                raise BadInput("There is no such file; type the path of a picture.")
            if item.endswith("/"):
                self["typed"].value = item
            else:
                self.dismiss(item)
