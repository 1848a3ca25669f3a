"""Packing a batch: bags, sizes or parts are picked, then who gets it, what for, until when."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Static

from tagbench.book.operations import batches
from tagbench.book.operations.away import AwayForm
from tagbench.records import Part
from tagbench.rules.batches import bucket_size
from tagbench.rules.count.fastener_lines import in_bag, lines_of
from tagbench.rules.days import parse_day
from tagbench.rules.describe.phrases import named, plural
from tagbench.rules.whereabouts import whereabouts
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import RowOpened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.form import PickerDialog
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.field import Field


class PackRow(NamedTuple):
    """Something that may go."""

    kind: str
    """bag, size or part."""
    key: str
    """Code of the part, or the size."""
    words: str
    """What it is."""
    many: int
    """How many pieces."""


def what_may_go(parts: Sequence[Part]) -> list[PackRow]:
    """What may go: the sizes in the bags, the bags with fasteners, the parts that are here."""
    sizes: dict[str, int] = {}
    bags: list[PackRow] = []
    for part in parts:
        there = 0
        for line in lines_of([part]):
            if lying := in_bag(line.fastener):
                sizes[bucket_size(line.fastener)] = sizes.get(bucket_size(line.fastener), 0) + lying
                there += lying
        if there and part.fitted == "off":
            bags.append(PackRow("bag", part.code, f"fasteners of {named(part)}", there))
    here = [PackRow("part", one.code, named(one), 1) for one in parts if whereabouts(one) == "here"]
    return [*(PackRow("size", size, size, many) for size, many in sizes.items()), *bags, *here]


class PackDialog(PickerDialog[PackRow, str]):
    """Gives words that say what was packed. Space is a letter here: Ctrl+O picks and unpicks."""

    CSS_PATH = stylesheets("field", "card", "away")
    heading = "Pack a batch"
    label = "Narrow"
    hint = "M6, bracket, brake"
    none_found = "Nothing like that lies in the bags."
    actions = (
        Action("enter", "save", "Send", "Packs what is picked and writes the batch down."),
        Action("ctrl+o", "pick", "Pick", "Picks what is under the cursor, or leaves it here."),
        Action("tab", "app.focus_next", "Next field", "Goes to the next field."),
    )

    def __init__(self, mark: str) -> None:
        super().__init__()
        self._mark = mark
        self._picked: dict[str, PackRow] = {}
        self._choices: list[PackRow] = []

    def body(self) -> ComposeResult:
        yield Field(self.label, id="typed", hint=self.hint)
        yield Field("To", id="who", example="Hill Plating")
        yield Field("For", id="for", example="zinc plating")
        yield Field("Due", id="due", example="in 2 weeks")
        yield Field("Price", id="price", example="64.00")
        yield Static("", id="picked", classes="words", markup=False)
        yield self.make_rows()

    def on_mount(self) -> None:
        self._choices = what_may_go(self.tables.parts_of(self._mark))
        super().on_mount()
        self._say_picked()

    def found(self) -> Sequence[PackRow]:
        """The choices that hold every word typed; what is picked stays in sight."""
        shown = set(map(self.key, self.fitting(self._choices, lambda one: one.words)))
        shown |= self._picked.keys()
        return [one for one in self._choices if self.key(one) in shown]

    def draw(self, item: PackRow, width: int) -> list[str]:
        box = "[x]" if self.key(item) in self._picked else "[ ]"
        return [columns(width, (box, 3), (item.kind, 5), (item.words, 0), (str(item.many), -4))]

    def key(self, item: PackRow) -> str:
        return f"{item.kind} {item.key}"

    def take(self, item: PackRow | None) -> None:
        """Packs what is picked; without anything picked, what is under the cursor."""
        picked = list(self._picked.values()) or ([item] if item else [])
        by_kind = {kind: [x.key for x in picked if x.kind == kind] for kind in KINDS}
        due = parse_day(self["due"].value, self.book.now().date())
        form = AwayForm(self["who"].value, self["for"].value, due=due, price=self["price"].value)
        batch = batches.pack(
            self.book,
            form,
            by_kind["bag"],
            by_kind["size"],
            by_kind["part"],
            self._mark,
        )
        total = sum(piece.quantity for piece in batch.pieces)
        self.dismiss(f"Batch {batch.id}, {plural(total, 'piece')}, went to {batch.who}.")

    def action_save(self) -> None:
        """Packs; a refusal leaves everything as it was picked and typed."""
        with self.refusing():
            super().action_save()

    @on(RowOpened)
    def clicked(self, message: RowOpened[PackRow]) -> None:
        self._turn(message.item)

    def action_pick(self) -> None:
        item = self.rows.current
        if item is not None:
            self._turn(item)
            self.action_step(1)

    def _turn(self, item: PackRow) -> None:
        key = self.key(item)
        if key in self._picked:
            del self._picked[key]
        else:
            self._picked[key] = item
        self.rows.refresh()
        self._say_picked()

    def _say_picked(self) -> None:
        many = sum(one.many for one in self._picked.values())
        kinds = {one.kind for one in self._picked.values()}
        both = "; of the picked bags only the picked sizes" if {"bag", "size"} <= kinds else ""
        words = f"Picked: {plural(len(self._picked), 'line')}, {plural(many, 'piece')}{both}."
        self.query_one("#picked", Static).update(words)

    @on(Input.Changed, "#typed")
    def narrow(self) -> None:
        self.rows.show_first(self.found())


KINDS = ("bag", "size", "part")
"""What can be picked."""
