"""The form for a part: used to write one down and to mend what was written."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any, NamedTuple

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.geometry import Offset, Region
from textual.widgets import Input, Static

from tagbench.book.operations.strip import StripForm
from tagbench.errors import BadInput
from tagbench.records import Part, Tables
from tagbench.rules.bins import typed_path
from tagbench.rules.count.mixed_threads import threads_on
from tagbench.rules.stripping.completion import known_texts
from tagbench.rules.stripping.next_bag import next_bag
from tagbench.rules.stripping.predecessors import read_predecessors
from tagbench.rules.stripping.same_again import on_the_other_side
from tagbench.screens.widgets.fastener_field import FastenerField, Hints
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.suggest import KnownPaths, KnownWords

CLEARED = ("name", "position", "quantity", "sits", "behind", "number", "photo", "note")
"""Fields that are emptied for the next part."""

STAY = ("assembly", "bin")


class Proposed(NamedTuple):
    """What the form proposes from a state of the book."""

    hints: Hints
    """What is known of the machine's fasteners."""
    known: dict[str, list[str]]
    """Field → the texts that can complete it, latest first."""


def proposed(tables: Tables, mark: str, but: str = "") -> Proposed:
    """What is proposed from the parts of one machine; `but` is the part in the form.

    Its threads are those that others are mistaken for.
    """
    machine = tables.machines.get(mark)
    parts = tables.parts_of(mark) if mark else []
    latest = sorted(parts, key=lambda part: -part.order)
    hints = Hints(machine.year if machine else None, threads_on(latest, but))
    return Proposed(hints, known_texts(tables, latest))


class PartForm(Vertical):
    """All fields of a part; `propose` says what they can be completed with."""

    def __init__(self, *, with_photo: bool = True) -> None:
        super().__init__(id="part-form")
        self._with_photo = with_photo
        self._known: dict[str, list[str]] = {}
        self.mark = ""
        """Mark of the machine that the part belongs to."""
        self.twin = ""
        """Code of the part that this one is the other side of."""
        self.fasteners = FastenerField()

    def compose(self) -> ComposeResult:
        yield self._proposing("From", "assembly", "Front wheel / Brake")
        yield self._proposing("Bin", "bin", "Shelf A / Box 2 / Bag 7", takes_code="bin")
        yield Static("", classes="gap")
        yield self._proposing("What", "name", "brake shoe")
        yield self.fasteners
        with Horizontal(id="side-and-quantity"):
            yield self._proposing("Side", "position", "left")
            yield Field("How many", id="quantity", hint="1", restrict=r"[0-9]{0,4}")
        yield self._proposing("Sits how", "sits", "punch mark up, long leg left")
        yield self._proposing(
            "Behind", "behind", "the drum, what came off first", takes_list=True, takes_code="part"
        )
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

    def on_resize(self) -> None:
        self.call_after_refresh(self._share_room)

    def _share_room(self) -> None:
        """What was understood may take all that is in sight below the field for fasteners."""
        most = self.styles.max_height
        rows = self.size.height if most is None else int(most.value)
        self.fasteners.understood.room = rows - self.fasteners.virtual_region.y - 1

    def scroll_to_region(self, region: Region, **how: Any) -> Offset:
        """Goes no further than it must, and at once: to Fasteners with what was understood.

        Else the field that is come to is put into the middle, by and by, and one that is gone
        back to meanwhile is carried out of sight.
        """
        group = self.fasteners.virtual_region
        if group.contains_region(region):
            region = group
        return super().scroll_to_region(region, **{**how, "animate": False, "center": False})

    def _proposing(self, label: str, name: str, example: str, **takes: Any) -> Field:
        known = KnownWords(lambda: self._known.get(name, []))
        return Field(label, id=name, example=example, suggester=known, **takes)

    def propose(self, proposed: Proposed) -> None:
        """Takes what is proposed from now on."""
        self.fasteners.hints = proposed.hints
        self._known = proposed.known

    def __getitem__(self, name: str) -> Field:
        return self.query_one(f"#{name}-field", Field)

    def clear(self) -> None:
        """Empties the form for the next part; where from and which bin stay, to be typed over."""
        for name in CLEARED:
            self[name].value = ""
        for name in STAY:
            self[name].value = self[name].value
        self.fasteners.fill(())
        self.twin = ""

    def carry_on(self, last: Part, tables: Tables) -> None:
        """Begins where the last part came from and with the bin that it went into."""
        self["assembly"].value = last.assembly
        self["bin"].value = typed_path(last.bin, tables.bins)

    def next_bag(self, by: int) -> None:
        """Puts the next free bag into the field, or with -1 the one before."""
        self["bin"].value = next_bag(self["bin"].value, self._known.get("bin", ()), by)

    def same_again(self, last: Part) -> None:
        """Fills in the last part once more, for the other side, its words mirrored.

        Its part number is not taken over: that is what differs from side to side.
        """
        other = on_the_other_side(last)
        self["name"].value = last.name
        self["position"].value = other.position
        self["quantity"].value = str(last.quantity)
        self["sits"].value = other.sits_how
        self.fasteners.copy(other.fasteners)
        self.twin = last.code if other.position != last.position and not last.twin else ""

    @property
    def fields(self) -> dict[str, str]:
        """What stands in every field, by its id."""
        return {field.id or "": field.value for field in self.query(Input)}

    @property
    def is_begun(self) -> bool:
        """Whether there is something in the form that was not carried on from the last part."""
        begun = any(self.fields.get(name) for name in (*CLEARED, "fasteners"))
        return begun or any(self[name].was_typed for name in STAY)

    def restore(self, fields: Mapping[str, str]) -> None:
        """Puts back what stood in the form; fields that it does not have are left out."""
        for field in self.query(Field):
            if (text := fields.get(field.input.id or "", field.value)) != field.value:
                field.put_back(text)

    def fill(self, part: Part, tables: Tables) -> None:
        """Puts in what is written down about a part."""
        self["assembly"].value = part.assembly
        self["bin"].value = typed_path(part.bin, tables.bins)
        self["name"].value = part.name
        self["position"].value = part.position
        self["quantity"].value = str(part.quantity)
        self["sits"].value = part.sits_how
        self["behind"].value = "; ".join(part.behind)
        self["number"].value = part.part_numbers[0].number if part.part_numbers else ""
        self["note"].value = part.note
        self.fasteners.fill(part.fasteners)

    def read(self, tables: Tables) -> StripForm:
        """What stands in the form. Raises BadInput or CodeError; nothing typed is changed."""
        if not self["name"].value:
            raise BadInput("Say in a word or two what it is.")
        return StripForm(
            name=self["name"].value,
            twin=self.twin,
            assembly=self["assembly"].value,
            position=self["position"].value,
            quantity=int(self["quantity"].value or 1),
            fasteners=self.fasteners.read(),
            sits_how=self["sits"].value,
            bin=self["bin"].value,
            behind=read_predecessors(self["behind"].value, tables, self.mark),
            part_number=self["number"].value,
            note=self.fasteners.note(self["note"].value),
            photos=read_paths(self["photo"].value) if self._with_photo else (),
        )


def read_paths(text: str) -> tuple[Path, ...]:
    """The picture paths in the field, several with semicolons between them."""
    return tuple(Path(piece.strip()).expanduser() for piece in text.split(";") if piece.strip())
