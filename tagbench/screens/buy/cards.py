"""The cards of Buy: a want, new or changed; wants that were ordered; wants that arrived."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Static

from labels.errors import LabelError
from tagbench.book.operations.buying import arrive, order
from tagbench.book.operations.machines import chosen
from tagbench.book.operations.wanting import WantForm, add_want, edit_want
from tagbench.errors import BadInput
from tagbench.records import Part, Want
from tagbench.rules.buying.money import parse_price
from tagbench.rules.days import parse_day
from tagbench.rules.describe.numbers import numbers_lines
from tagbench.rules.describe.phrases import named_parts
from tagbench.rules.stripping.predecessors import read_predecessors
from tagbench.screens.buy.wants import many, names_of, want_lines
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.form import FormDialog
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.suggest import KnownWords

TEXTS = ("what", "number", "supplier", "price", "deposit", "note")
"""Fields that are passed on as they are typed."""


class WantCard(FormDialog[str]):
    """A card about wants; gives the words that say what was done."""

    CSS_PATH = stylesheets("field", "card", "buy")

    def suppliers(self) -> tuple[str, ...]:
        """The suppliers there were, latest first."""
        return self.tables.desk.suppliers

    def day(self, name: str) -> date | None:
        """The day in a field; None for an empty one. Raises BadInput."""
        return parse_day(self[name].value, self.book.now().date())


class WantDialog(WantCard):
    """Something that is wanted: new, or changed; what to order is said as one types."""

    actions = (Action("enter", "save", "Save", "Saves the want, from any field."),)

    def __init__(self, want: Want | None, code: str = "") -> None:
        """`code`: the part that a new want is for."""
        super().__init__()
        self.heading = f"Want {want.id}" if want else "Wanted"
        self.unsaved_name = f"want {want.id if want else code or 'new'}"
        self._want = want
        self._code = code
        self._before: dict[str, str] = {}

    def body(self) -> ComposeResult:
        yield Field("What", id="what", example="felt seal; or empty: the name of the part")
        yield Field(
            "For",
            id="for",
            hint="parts that wait, by code or name; or scan them",
            takes_list=True,
            takes_code="part",
        )
        yield Static("", id="for-words", markup=False)
        yield Field("Number", id="number", hint="part number to order")
        yield Field("How many", id="pieces", hint="1", restrict=r"[0-9]{0,5}")
        yield Field("Supplier", id="supplier", suggester=KnownWords(self.suppliers))
        yield Field("Price of one", id="price", example="12,50 or € 12.50")
        yield Field("Deposit", id="deposit", hint="on an exchange piece, for all of it")
        yield Field("Due", id="due", example="2026-03-09 or in 2 weeks")
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
        self["for"].value = "; ".join(want.parts)
        self["number"].value = want.number
        self["pieces"].value = str(want.quantity)
        self["supplier"].value = want.supplier
        self["price"].value = f"{want.price} {want.currency}".strip()
        self["deposit"].value = f"{want.deposit} {want.currency}" if want.deposit else ""
        self["due"].value = str(want.due or "")
        self["note"].value = want.note

    def _codes(self) -> tuple[str, ...]:
        """The codes of the parts in the field, by code or name; raises CodeError or BadInput."""
        machine = chosen(self.tables)
        mark = self._want.machine if self._want else machine.mark if machine else ""
        return read_predecessors(self["for"].value, self.tables, mark)

    @on(Input.Changed, "#for")
    def show_for(self) -> None:
        """Names the parts, and the number to order for the first one."""
        try:
            codes = self._codes()
        except (LabelError, BadInput) as error:
            self.query_one("#for-words", Static).update(str(error))
            return
        parts = [self.tables.parts[code] for code in codes if code in self.tables.parts]
        self.query_one("#for-words", Static).update(self._for_words(parts))

    def _for_words(self, parts: list[Part]) -> str:
        if not parts:
            return ""
        words = f"= {names_of([part.code for part in parts], self.tables)}"
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
            due=self.day("due") if new.get("due") else None,
            no_due=new.get("due") == "",
            deposit=new.get("deposit"),
            note=new.get("note"),
        )

    def action_save(self) -> None:
        with self.refusing():
            form = self.read()
            if form == WantForm():
                raise BadInput("Nothing was typed or changed; Esc closes the card.")
            if self._want is None:
                want = add_want(self.book, form)
            else:
                want = edit_want(self.book, self._want.id, form)
            self.dismiss(f"Wanted: {many([want])}.")


class OrderDialog(WantCard):
    """Wants that were ordered: from whom, on which day, due when."""

    actions = (Action("enter", "save", "Ordered", "Writes the order down, from any field."),)

    def __init__(self, wants: Sequence[Want]) -> None:
        super().__init__()
        self.heading = f"Ordered: {many(wants)}"
        self._wants = wants

    def body(self) -> ComposeResult:
        yield Static(want_lines(self._wants), classes="words", markup=False)
        yield Field("Supplier", id="supplier", suggester=KnownWords(self.suppliers))
        yield Field("Ordered on", id="ordered", hint="today")
        yield Field("Due", id="due", example="in 2 weeks; or 2026-03-09")

    def on_mount(self) -> None:
        suppliers = {want.supplier for want in self._wants}
        if len(suppliers) == 1:
            self["supplier"].value = suppliers.pop()
        self["due" if self["supplier"].value else "supplier"].input.focus()

    def action_save(self) -> None:
        with self.refusing():
            wants = order(
                self.book,
                [want.id for want in self._wants],
                on=self.day("ordered"),
                due=self.day("due"),
                supplier=self["supplier"].value,
            )
            self.dismiss(f"Ordered: {many(wants)}.")


class ArriveDialog(WantCard):
    """Wants that arrived: on which day, and how many came when it was not all."""

    actions = (Action("enter", "save", "Here", "Writes down that it arrived."),)

    def __init__(self, wants: Sequence[Want]) -> None:
        super().__init__()
        self.heading = f"Here: {many(wants)}"
        self._wants = wants

    def body(self) -> ComposeResult:
        yield Static(want_lines(self._wants), classes="words", markup=False)
        yield Field("Arrived on", id="arrived", hint="today")
        if len(self._wants) == 1:
            yield Field("How many", id="count", hint="all", restrict=r"[0-9]{0,5}")

    def on_mount(self) -> None:
        if len(self._wants) == 1:
            self["count"].value = str(self._wants[0].quantity)

    def action_save(self) -> None:
        with self.refusing():
            wanted = [want.id for want in self._wants]
            wants, parts = arrive(self.book, wanted, on=self.day("arrived"), count=self._count())
            words = f"Here: {many(wants)}."
            if parts:
                words += f" New piece here for {named_parts(parts)}."
            self.dismiss(words)

    def _count(self) -> int | None:
        """How many came; None for all."""
        typed = self["count"].value if len(self._wants) == 1 else ""
        if typed and not int(typed):
            raise BadInput("If none came, close the card with Esc.")
        return int(typed) if typed else None
