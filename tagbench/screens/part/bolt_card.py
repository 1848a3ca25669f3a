"""The bolt card of a part: its holes as typed, the figure as it will be drawn, and printing it."""

from __future__ import annotations

from textual import on, work
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.content import Content
from textual.widgets import Input, Static

from labels.boltcard.card import BoltCard, CardHole, holes_in_one_measure, parse_hole, spell_hole
from labels.boltcard.preview import card_preview
from labels.boltcard.shapes import letters
from labels.boltcard.sheets import CardSheets
from labels.errors import LabelError
from tagbench.book.operations.pages import CARD_STOCK, bolt_card, holes_by_distance, print_bolt_card
from tagbench.errors import BadInput, TagbenchError
from tagbench.records import Part
from tagbench.rules.bolt_card import card_holes
from tagbench.rules.describe.phrases import named
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import CARDS
from tagbench.screens.shared.destination import fresh_file, may_write, place_named
from tagbench.screens.shared.form import PartFormDialog
from tagbench.screens.widgets.field import Field
from tagbench.trade.quantities.typed import parse_length

FIGURE = (32, 9)
"""Columns and lines of the figure."""


class BoltCardDialog(PartFormDialog):
    """Gives the words that say where the card was printed."""

    CSS_PATH = stylesheets("field", "card", "bolt_card")
    actions = (Action("enter", "save", "Print", "Prints the card to the file or printer."),)

    def __init__(self, part: Part) -> None:
        super().__init__(part)
        self.heading = f"Bolt card: {named(part)}"
        self._residual = ""
        """How well the distances between the holes agree, in words."""

    def body(self) -> ComposeResult:
        yield Field(
            "Holes", id="card-holes", example="12 o'clock: M6x45; 6:30: M6x20", takes_list=True
        )
        yield Field(
            "Distances", id="card-distances", hint="A-B 80; A-C 100; … for holes “A: M6x45”"
        )
        yield Field("Bolt circle", id="card-circle", hint="62 mm, for a card at 1:1")
        yield Field(
            "Seen from", id="card-face", hint="outside; end with “mirrored” if measured inside"
        )
        yield Field("On", id="card-stock", hint="a4 or letter for pages at 1:1")
        yield Field("To", id="card-to")
        with Horizontal(id="card-figure"):
            yield Static(id="figure", markup=False)
            with VerticalScroll(id="figure-list"):
                yield Static(id="figure-names", markup=False)
        yield Static(id="figure-says", markup=False)

    def on_mount(self) -> None:
        try:
            self["card-holes"].value = "; ".join(map(spell_hole, card_holes(self.part)))
        except TagbenchError:
            self["card-holes"].value = ""  # the line below says what to type
        self["card-stock"].value = CARD_STOCK
        name = f"~/bolt-card-{self.code}-{self.book.now():%Y-%m-%d}.pdf"
        self["card-to"].value = fresh_file(name)
        self.show_figure()

    def read(self) -> BoltCard:
        """The card in the form; raises BadInput and CardError (labels)."""
        holes = [parse_hole(text) for text in self["card-holes"].value.split(";") if text.strip()]
        if not holes:
            raise BadInput("Name each hole and its screw: 12 o'clock: M6x45; 40 12.5: M6x20 (mm).")
        self._residual = ""
        if self["card-distances"].value:
            placed, self._residual = holes_by_distance(holes, self["card-distances"].value)
            holes = list(placed)
        circle = self["card-circle"].value.strip()
        across = parse_length(circle, "mm").number("mm") if circle else None
        face, mirrored = face_named(self["card-face"].value)
        return bolt_card(
            self.tables, self.part, holes, circle_mm=across, face=face, mirrored=mirrored
        )

    @on(Input.Changed)
    def show_figure(self) -> None:
        """Shows the figure and the order of tightening, or what is missing."""
        lines, names = [""], [""]
        try:
            card = self.read()
            lines = card_preview(holes_in_one_measure(card), *FIGURE)
            names = hole_names(card.holes, holes_in_one_measure(card).order)
            order = "Numbers: order of tightening (common practice); the manual goes first."
            says = f"{self._residual} {order}".strip()
        except (TagbenchError, LabelError) as error:
            says = str(error)
        self.query_one("#figure", Static).update(Content("\n".join(lines)))
        self.query_one("#figure-names", Static).update(Content("\n".join(names)))
        self.query_one("#figure-says", Static).update(Content(says))

    @work(group=CARDS)
    async def action_save(self) -> None:
        """Prints the card; an existing file is asked about."""
        with self.refusing():
            card = self.read()
            file, printer = place_named(self["card-to"].value)
            if not await may_write(self, [file] if file else []):
                return
            stock = self["card-stock"].value or CARD_STOCK
            drawn = print_bolt_card(
                self.book, card, stock, target=file, printer=printer, residual=self._residual
            )
            place = file or f"printer {printer}"
            many = f" on {len(drawn.pages)} pages" if isinstance(drawn, CardSheets) else ""
            self.dismiss(f"The bolt card of {card.code} went{many} to {place}. Print at 100 %.")


def face_named(typed: str) -> tuple[str, bool]:
    """The face as it is typed, and whether the holes were measured on the other one."""
    face, mirrored = typed.strip(), False
    if face.casefold().endswith("mirrored"):
        face, mirrored = face[: -len("mirrored")].strip(" ,;"), True
    return face, mirrored


def hole_names(holes: tuple[CardHole, ...], order: list[int]) -> list[str]:
    """A line for each hole in the order of tightening: number, letter on the card, screw."""
    return [f"{turn:2}  {letters(at)}  {spell_hole(holes[at])}" for turn, at in enumerate(order, 1)]
