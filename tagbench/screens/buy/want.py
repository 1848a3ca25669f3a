"""Something that is wanted: new, or changed; what is to be ordered is said as one types."""

from __future__ import annotations

import re

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Static

from labels.errors import LabelError
from tagbench.book.operations.wanting import WantForm, add_want, edit_want
from tagbench.errors import BadInput
from tagbench.records import Part, Want
from tagbench.rules.buying.money import parse_price
from tagbench.rules.days import parse_day
from tagbench.rules.scan import typed_code
from tagbench.screens.buy.words import many, named
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.shared.part_words import numbers_lines
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.suggest import KnownWords

TEXTS = ("what", "number", "supplier", "price", "note")
"""Fields that are passed on as they are typed."""


class WantDialog(TagbenchDialog[str]):
    """Gives the words that say what is wanted now."""

    CSS_PATH = stylesheets("field", "card", "buy")
    actions = (Action("enter", "save", "Save", "Saves the want, from any field."),)

    def __init__(self, want: Want | None, code: str = "") -> None:
        """`code`: the part that a new want is for."""
        super().__init__()
        self.heading = f"Want {want.id}" if want else "Wanted"
        self._want = want
        self._code = code
        self._before: dict[str, str] = {}

    def body(self) -> ComposeResult:
        yield Field("What", id="what", hint="felt seal; or empty, after the part")
        yield Field("For", id="for", hint="codes of the parts that wait; or empty")
        yield Static("", id="for-words", markup=False)
        yield Field("Number", id="number", hint="part number to order")
        yield Field("How many", id="pieces", hint="1", restrict=r"[0-9]{0,5}")
        yield Field("Supplier", id="supplier", suggester=KnownWords(self._suppliers))
        yield Field("Price of one", id="price", hint="12,50 or € 12.50")
        yield Field("Due", id="due", hint="2026-03-09 or in 2 weeks")
        yield Field("Note", id="note")

    def on_mount(self) -> None:
        want = self._want
        if want is not None:
            self._fill(want)
        elif self._code:
            self["for"].value = self._code
            self["pieces"].value = str(self.tables.parts[self._code].quantity)
        names = (*TEXTS, "for", "pieces", "due")
        self._before = {name: self[name].value for name in names} if want else {}
        self["supplier" if self._code else "what"].input.focus()

    def _fill(self, want: Want) -> None:
        self["what"].value = want.what
        self["for"].value = " ".join(want.parts)
        self["number"].value = want.number
        self["pieces"].value = str(want.quantity)
        self["supplier"].value = want.supplier
        self["price"].value = f"{want.price} {want.currency}".strip()
        self["due"].value = str(want.due or "")
        self["note"].value = want.note

    def __getitem__(self, name: str) -> Field:
        return self.query_one(f"#{name}-field", Field)

    def _suppliers(self) -> tuple[str, ...]:
        return self.tables.desk.suppliers

    def _codes(self) -> tuple[str, ...]:
        """The codes in the field; raises CodeError for one that is none."""
        pieces = re.split(r"[;,\s]+", self["for"].value)
        return tuple(typed_code(self.tables, piece) for piece in pieces if piece)

    @on(Input.Changed, "#for")
    def show_for(self) -> None:
        """Names the parts, and the number to order for the first one."""
        try:
            codes = self._codes()
        except LabelError:
            codes = ()
        parts = [self.tables.parts[code] for code in codes if code in self.tables.parts]
        self.query_one("#for-words", Static).update(self._for_words(parts))

    def _for_words(self, parts: list[Part]) -> str:
        if not parts:
            return ""
        words = f"= {named([part.code for part in parts], self.tables)}"
        numbers = numbers_lines(parts[0], self.tables) if parts[0].part_numbers else []
        return "\n".join([words, *numbers[:1]])

    def read(self) -> WantForm:
        """What stands in the form: of an old want only what was changed. Raises BadInput."""
        said = {name: self[name].value for name in (*TEXTS, "for", "pieces", "due")}
        new = {name: text for name, text in said.items() if text != self._before.get(name, "")}
        parse_price(new.get("price", ""))
        quantity = new.get("pieces")
        return WantForm(
            what=new.get("what", ""),
            codes=self._codes() if "for" in new else None,
            number=new.get("number"),
            quantity=int(quantity or 0) if quantity is not None else None,
            supplier=new.get("supplier"),
            price=new.get("price"),
            due=parse_day(new.get("due", ""), self.book.now().date()),
            no_due=new.get("due") == "",
            note=new.get("note"),
        )

    @on(Input.Submitted)
    def action_save(self) -> None:
        """Writes the want down."""
        with self.refusing():
            form = self.read()
            if form == WantForm():
                raise BadInput("Nothing was typed or changed; Esc closes the card.")
            if self._want is None:
                want = add_want(self.book, form)
            else:
                want = edit_want(self.book, self._want.id, form)
            self.dismiss(f"Wanted: {many([want])}.")
