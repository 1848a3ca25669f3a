"""A gasket to make: its measures, and the cut list and punches as one types."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Input, Static

from tagbench.book.operations import making
from tagbench.errors import BadInput, TagbenchError
from tagbench.records import Gasket, Part, replace
from tagbench.rules.buying.gaskets import (
    MATERIALS,
    cut_list,
    holes_words,
    how_to_cut,
    parse_gasket,
    size_words,
)
from tagbench.rules.describe.phrases import named, named_parts
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.form import PartFormDialog
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.suggest import KnownWords


class GasketDialog(PartFormDialog):
    """Gives the words that say what is to make, or was made."""

    CSS_PATH = stylesheets("field", "card", "care")

    actions = (
        Action("enter", "save", "To make", "Writes the measures down; it is then not bought."),
        Action("ctrl+o", "made", "Made", "It has been made and is here."),
        Action("ctrl+r", "buy", "Buy instead", "Takes the measures away; it is bought."),
    )

    def __init__(self, part: Part) -> None:
        super().__init__(part)
        self.heading = f"To make: {named_parts([part])}"
        self.unsaved_name = f"gasket {part.code}"

    def body(self) -> ComposeResult:
        yield Field(
            "Material", id="material", example=MATERIALS[0], suggester=KnownWords(self._known)
        )
        yield Field("Thickness", id="thickness", example="0.5 mm")
        yield Field("Outside", id="size", example="120 x 80 mm")
        yield Field("Holes", id="holes", example="4x M6; 1x 38 mm", takes_list=True)
        with VerticalScroll(id="cut-scroll"):
            yield Static("", id="cut-list")

    def on_mount(self) -> None:
        if self.part.make is not None:
            self._fill(self.part.make)
        self.show_cut_list()

    def _fill(self, gasket: Gasket) -> None:
        self["material"].value = gasket.material
        self["thickness"].value = f"{gasket.thickness_mm:g} mm"
        self["size"].value = size_words(gasket)
        self["holes"].value = holes_words(gasket)

    def _known(self) -> list[str]:
        used = [part.make.material for part in self.tables.parts.values() if part.make is not None]
        return [*dict.fromkeys([*used, *MATERIALS])]

    def read(self) -> Gasket:
        """The gasket in the form; raises BadInput."""
        names = ("material", "thickness", "size", "holes")
        return parse_gasket(*(self[name].value for name in names))

    @on(Input.Changed)
    def show_cut_list(self) -> None:
        """Shows what to cut and which punches to have ready, or what is missing."""
        try:
            gasket = self.read()
        except TagbenchError as error:
            words = Content.from_markup("[$quiet]$why[/]", why=str(error))
        else:
            lines = cut_list(gasket, self.part.quantity)
            tips = (f"- {sentence}" for sentence in how_to_cut(gasket))
            words = Content("\n".join([*lines, "", *tips]))
        self.query_one("#cut-list", Static).update(words)

    def _with_outline(self, gasket: Gasket) -> Gasket:
        """The outline traced for it is kept, as long as size and holes are still its own."""
        now = self.part.make
        same = now is not None and (size_words(now), holes_words(now)) == (
            size_words(gasket),
            holes_words(gasket),
        )
        return replace(gasket, outline=now.outline) if now and same else gasket

    def action_save(self) -> None:
        with self.refusing():
            part = making.to_make(self.book, self.code, self._with_outline(self.read()))
            self.dismiss(f"To make: {named(part)}. Ctrl+O in this card says it is made.")

    def action_made(self) -> None:
        with self.refusing():
            if self.part.make is None:
                raise BadInput("Write its measures down first, with Enter.")
            part = making.made(self.book, self.code)
            self.dismiss(f"Made: {named(part)} is here.")

    def action_buy(self) -> None:
        """Takes the measures away again."""
        with self.refusing():
            part = making.buy_instead(self.book, self.code)
            self.dismiss(f"{named(part)} is not made by hand.")
