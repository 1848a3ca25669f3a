"""The form for a part: used to write one down and to mend what was written."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widgets import Static

from tagbench.book.operations.strip import StripForm
from tagbench.errors import BadInput
from tagbench.records import Machine, Part, Tables
from tagbench.rules.bins import path
from tagbench.rules.count.mixed_threads import threads_on
from tagbench.rules.scan import typed_code
from tagbench.screens.widgets.fastener_field import FastenerField, Hints
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.suggest import KnownPaths, KnownWords

CLEARED = ("name", "position", "quantity", "sits", "behind", "number", "photo", "note")
"""Fields that are emptied for the next part; where from and which bin stay."""


class PartForm(Vertical):
    """All fields of a part. `tables` gives what can be proposed and what codes there are."""

    def __init__(self, *, with_photo: bool = True) -> None:
        super().__init__(id="part-form")
        self._with_photo = with_photo
        self._known: dict[str, list[str]] = {"assembly": [], "bin": [], "name": []}
        self.fasteners = FastenerField()

    def compose(self) -> ComposeResult:
        yield self._proposing("From", "assembly", "Front wheel / Brake")
        yield self._proposing("Bin", "bin", "Shelf A / Box 2 / Bag 7")
        yield Static("", classes="gap")
        yield self._proposing("What", "name", "brake shoe")
        yield self.fasteners
        with Horizontal(id="side-and-quantity"):
            yield Field("Side", id="position", example="left")
            yield Field("How many", id="quantity", hint="1", restrict=r"[0-9]{0,4}")
        yield Field("Sits how", id="sits", example="punch mark up, long leg left")
        yield Field("Behind", id="behind", hint="code of what came off first", takes_list=True)
        yield Static("", id="behind-words", markup=False)
        if self._with_photo:
            yield Field(
                "Photo",
                id="photo",
                hint="path of a picture",
                suggester=KnownPaths(),
                takes_list=True,
            )
        yield Field("Part number", id="number")
        yield Field("Note", id="note")

    def _proposing(self, label: str, name: str, hint: str) -> Field:
        return Field(label, id=name, example=hint, suggester=KnownWords(lambda: self._known[name]))

    def propose(
        self, tables: Tables, parts: Iterable[Part], machine: Machine | None = None, but: str = ""
    ) -> None:
        """Takes the texts that are proposed from the parts of one machine, latest first.

        Its threads are those that others are mistaken for; `but` is the part in the form.
        """
        latest = sorted(parts, key=lambda part: -part.order)
        year = machine.year if machine else None
        self.fasteners.hints = Hints(year, threads_on(latest, but))
        self._known["assembly"] = list(dict.fromkeys(part.assembly for part in latest))
        self._known["name"] = list(dict.fromkeys(part.name for part in latest))
        self._known["bin"] = [bin_.name for bin_ in tables.bins.values()][::-1]

    def __getitem__(self, name: str) -> Field:
        return self.query_one(f"#{name}-field", Field)

    def clear(self) -> None:
        """Empties the form for the next part; where from and which bin stay."""
        for name in CLEARED:
            self[name].value = ""
        self.fasteners.fill(())

    def fill(self, part: Part, tables: Tables) -> None:
        """Puts in what is written down about a part."""
        self["assembly"].value = part.assembly
        self["bin"].value = bin_path(part.bin, tables)
        self["name"].value = part.name
        self["position"].value = part.position
        self["quantity"].value = str(part.quantity)
        self["sits"].value = part.sits_how
        self["behind"].value = " ".join(part.behind)
        self["number"].value = part.part_numbers[0].number if part.part_numbers else ""
        self["note"].value = part.note
        self.fasteners.fill(part.fasteners)

    def read(self, tables: Tables) -> StripForm:
        """What stands in the form. Raises BadInput or CodeError; nothing typed is changed."""
        if not self["name"].value:
            raise BadInput("Say in a word or two what it is.")
        return StripForm(
            name=self["name"].value,
            assembly=self["assembly"].value,
            position=self["position"].value,
            quantity=int(self["quantity"].value or 1),
            fasteners=self.fasteners.read(),
            sits_how=self["sits"].value,
            bin=self["bin"].value,
            behind=read_behind(self["behind"].value, tables),
            part_number=self["number"].value,
            note=self["note"].value,
            photos=read_paths(self["photo"].value) if self._with_photo else (),
        )


def read_behind(text: str, tables: Tables) -> tuple[str, ...]:
    """The codes in the field, in their one spelling; raises CodeError for one that is none."""
    return tuple(typed_code(tables, piece) for piece in re.split(r"[;,\s]+", text) if piece)


def read_paths(text: str) -> tuple[Path, ...]:
    """The picture paths in the field, several with semicolons between them."""
    return tuple(Path(piece.strip()).expanduser() for piece in text.split(";") if piece.strip())


def bin_path(code: str, tables: Tables) -> str:
    """A bin as it is typed: from the outside in, `Shelf A / Box 2 / Bag 7`."""
    return " / ".join(bin_.name for bin_ in reversed(path(code, tables.bins)))
