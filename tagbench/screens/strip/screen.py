"""Strip: the form for a part that came off, and what came off so far."""

from __future__ import annotations

from collections.abc import Mapping

from textual import on, work
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.events import Key
from textual.widgets import Input, Static

from tagbench.book.operations.machines import chosen
from tagbench.book.operations.strip import strip_part
from tagbench.records import Part, Tables
from tagbench.rules.care.cautions import caution_lines, cautions_for
from tagbench.rules.describe.phrases import named
from tagbench.rules.new_bins import new_bin_words
from tagbench.rules.open_questions import how_many_open, open_questions_of
from tagbench.rules.stripping.predecessors import named_predecessors, predecessor
from tagbench.screens.frame.actions import NEW_KEY, Action
from tagbench.screens.frame.messages import FastenersMeasured, RowOpened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import CARDS, TagbenchScreen
from tagbench.screens.shared.confirm import confirmed
from tagbench.screens.shared.lay_picture import LAY, PUT_IN, lay_into
from tagbench.screens.shared.measure_thread import MEASURE, measure_into
from tagbench.screens.shared.unsaved import KeepsUnsaved
from tagbench.screens.widgets.big_code import BigCode
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.part_form import PartForm, proposed
from tagbench.screens.widgets.rows import Rows


class StripScreen(TagbenchScreen, KeepsUnsaved):
    """One pass down the form, Enter saves from any field, and the code stands there large."""

    screen_name = "strip"
    unsaved_name = "strip"
    CSS_PATH = stylesheets("field", "part_form", "strip")
    AUTO_FOCUS = "#assembly"
    actions = (
        Action("enter", "save", "Save", "Saves the form, from any field, and gives the code."),
        Action("ctrl+o", "behind_last", "Behind", "Notes that the part offered came off first."),
        Action("pagedown", "next_bag(1)", "Next bag", "The next free bag, numbered on."),
        Action(
            "ctrl+b,ctrl+y",
            "choose",
            "List",
            "Chooses from the list: in Behind a part, else a bin.",
        ),
        Action("ctrl+p", "choose_photo", "Photo", "Chooses a picture from the disk."),
        Action(
            "ctrl+f",
            "same",
            "Same",
            "The last part again, other side; with a name typed, its fasteners.",
        ),
        MEASURE,
        LAY,
        Action("pageup", "next_bag(-1)", "Bag before", "The bag numbered one lower.", show=False),
        Action(NEW_KEY, "new", "New", "A new form: empty, without the scanned tag.", show=False),
        Action("down", "app.focus_next", "Next", "Goes to the next field; so does Tab.", False),
        Action("up", "field_before", "Up", "Goes to the field before.", show=False),
        Action("right", "", "Complete", "Takes the rest of a word that is proposed.", False),
    )

    def __init__(self) -> None:
        super().__init__()
        self.spare = ""
        """Code of the spare tag that is on the bag; empty for the next free code."""
        self._carried_on = False
        """Whether the form has gone on from the last part of the book."""
        self._cautions: list[str] = []
        self._mix_ups: list[str] = []

    def body(self) -> ComposeResult:
        yield BagCard()
        with Horizontal(id="strip-columns"):
            yield PartForm()
            with Vertical(id="came-off-side"):
                yield Static("Came off, last first", classes="section", markup=False)
                yield Rows(draw_part, lambda part: part.code, id="came-off", empty="nothing so far")

    def show_book(self) -> None:
        self.offer_unsaved()
        tables, mark = self.tables, self.mark
        parts = tables.parts_of(mark) if mark else []
        self.form.mark = mark if mark in tables.machines else ""
        self.beside(lambda: proposed(tables, mark), self.form.propose)
        if parts and not self._carried_on:
            self._carried_on = True
            self.form.carry_on(parts[-1], self.tables)
            self.form["name"].input.focus()
        self.query_one("#came-off", Rows).show_first(parts[::-1])
        self.query_one(BagCard).keep_if(self.tables)
        self.show_behind()

    @property
    def form(self) -> PartForm:
        """The form."""
        return self.query_one(PartForm)

    @property
    def mark(self) -> str:
        """Mark of the machine that the next part belongs to; empty when there is none yet."""
        machine = chosen(self.tables)
        return self.spare.split("-", 1)[0] or (machine.mark if machine else "")

    def turn_to(self, code: str) -> None:
        self.spare = code
        self.query_one(BagCard).show_spare(code)
        self.form["name"].input.focus()

    @work(group=CARDS)
    async def action_new(self) -> None:
        """Goes back to the next free code and an empty form; asks before what was typed goes."""
        name = self.form["name"].value or "the form"
        if self.form.is_begun:
            words = f"What was typed for “{name}” is not saved."
            if not await confirmed(self, "Start again?", words, "Empty the form", "Keep it"):
                return
            self.form.clear()
            self.forget_typed()
        self.spare = ""
        self.query_one(BagCard).clear()
        self.form["name"].input.focus()

    # Saving

    @on(Input.Submitted)
    def action_save(self) -> None:
        """Writes the part down, shows its code, and empties the form for the next one."""
        with self.refusing():
            before = self.tables.bins
            part = strip_part(self.book, self.form.read(self.tables), self.spare)
            self.saved(part, new_bin_words(part.bin, before, self.tables.bins))

    def saved(self, part: Part, new_bin: str = "") -> None:
        """Shows the new code and makes ready for the next part; `new_bin` may be a slip."""
        printed_ahead, self.spare = bool(self.spare), ""
        self._carried_on = True
        self.form.clear()
        self.forget_typed()
        self.form["name"].input.focus()
        self.query_one(BagCard).show_saved(part)
        self.catch_up()
        tag = "is on its spare tag" if printed_ahead else "waits to be printed"
        unknown = how_many_open(open_questions_of([part]))
        measure = f" Later: {unknown}." if unknown else ""
        if new_bin:
            measure = f" {new_bin}{measure}"
        self.tell(f"Saved. Write the code on the bag; the tag {tag}.{measure}")

    # What was half-typed

    @on(Input.Changed)
    def typed_on(self) -> None:
        """Keeps what is typed."""
        self.keep_typed()

    def typed_fields(self) -> dict[str, str]:
        """What stands in the form, once something of the next part does."""
        return {**self.form.fields, "spare": self.spare} if self.form.is_begun else {}

    def put_back(self, fields: Mapping[str, str]) -> None:
        """Fills the form as it was, and takes the spare tag again that it was for."""
        self.form.restore(fields)
        tag = self.tables.tags.get(fields.get("spare", ""))
        if tag is not None and tag.kind == "spare":
            self.turn_to(tag.code)

    # What can hurt

    @on(Input.Blurred, "#name, #assembly, #fasteners")
    def show_cautions(self) -> None:
        """Says the usual cautions for taking off the part in the form, each part once."""
        if not self.form["name"].value:
            return  # of the part that was just saved all has been said
        lines = caution_lines(cautions_for(self._typed_part(), "strip"), self._cautions_seen())
        if lines and lines != self._cautions:
            self.notice.caution(lines)
        self._cautions = lines

    @on(Input.Blurred, "#fasteners")
    def show_mix_ups(self) -> None:
        """Says which threads of the machine those in the form are mistaken for, and how told."""
        lines = self.form.fasteners.mix_ups
        if lines and lines != self._mix_ups:
            self.notice.caution(lines)
        self._mix_ups = lines

    def _typed_part(self) -> Part:
        """The part in the form as far as it is known; it has no code yet."""
        form = self.form
        return Part(code="", name=form["name"].value, assembly=form["assembly"].value)

    def _cautions_seen(self) -> tuple[str, ...]:
        machine = self.tables.machines.get(self.mark)
        return machine.cautions_seen if machine else ()

    # What had to come off first

    @on(Input.Changed, "#assembly, #behind")
    def show_behind(self) -> None:
        """Names the parts in the field, or offers the last part that came off there."""
        self.query_one("#behind-words", Static).update(self._behind_words())

    def _behind_words(self) -> str:
        if typed := self.form["behind"].value:
            return f"= {named_predecessors(typed, self.tables, self.mark)}"
        last = self.offered
        return f"Ctrl+O: {named(last)}" if last else ""

    @property
    def offered(self) -> Part | None:
        """The last part that came off the assembly in the form, else the last at all."""
        assembly = self.form["assembly"].value
        return predecessor(self.tables, self.mark, assembly) if assembly and self.mark else None

    def action_behind_last(self) -> None:
        last, field = self.offered, self.form["behind"]
        if last is None:
            self.refuse("Nothing has come off yet, so nothing is offered.")
        else:
            field.add_code(last.code)

    # Filling fields from somewhere else

    def action_next_bag(self, by: int) -> None:
        self.form.next_bag(by)

    def action_same(self) -> None:
        """The last part once more, on the other side; with a name typed only its fasteners."""
        last = next(iter(self.query_one("#came-off", Rows).items), None)
        if last is None:
            self.refuse("Nothing has come off yet that could be taken again.")
        elif not self.form["name"].value:
            self.form.same_again(last)
            self.form["name"].input.focus()
        elif not last.fasteners:
            self.refuse("The last part has no fasteners to take again.")
        else:
            self.form.fasteners.copy(last.fasteners)
            if isinstance(self.focused, Rows):
                self.form["name"].input.focus()

    @work(group=CARDS)
    async def action_choose(self) -> None:
        """Shows the parts while the cursor is in Behind, else the bins."""
        from tagbench.screens.shared.pickers import BinDialog, WhichPartDialog

        behind = self.form["behind"]
        if behind.input.has_focus:
            latest = [part.code for part in self.query_one("#came-off", Rows).items]
            code = await self.ask(WhichPartDialog("What came off first?", latest))
            if code is not None:
                behind.add_code(code)
        else:
            text = await self.ask(BinDialog(self.form["bin"].value))
            self._fill("bin", text)

    @work(group=CARDS)
    async def action_choose_photo(self) -> None:
        from tagbench.screens.shared.pickers import PhotoDialog

        path = await self.ask(PhotoDialog(self.form["photo"].value))
        self._fill("photo", path)

    @work(group=CARDS)
    async def action_measure(self) -> None:
        await measure_into(self, self.form.fasteners, self.mark)

    @work(group=CARDS)
    async def action_lay(self) -> None:
        await lay_into(self, self.form.fasteners)

    @on(FastenersMeasured)
    def take_measured(self, message: FastenersMeasured) -> None:
        """Fasteners that were confirmed elsewhere join those in the form."""
        self.form.fasteners.add(message.fasteners)
        self.tell(PUT_IN)

    def _fill(self, name: str, text: str | None) -> None:
        if text is not None:
            self.form[name].value = text

    def on_key(self, event: Key) -> None:
        """What is typed while the list has the cursor is of the next part."""
        if event.is_printable and event.character != " " and isinstance(self.focused, Rows):
            event.stop()
            name = self.form["name"].input
            name.focus()
            name.insert_text_at_cursor(event.character or "")

    @on(RowOpened)
    async def open_part(self, message: RowOpened[Part]) -> None:
        """Opens a part that came off before."""
        await self.bench_app.open_code(message.item.code)


def draw_part(part: Part, width: int) -> list[str]:
    """One line: code and name."""
    return [columns(width, (part.code, 9), (part.said, 0), gap=2)]


FIRST_WORDS = (
    "Enter saves the part from any field; its code then stands here, to be written on the bag."
)


class BagCard(Horizontal):
    """Empty at first, then the last code that was given out, or the spare tag just scanned."""

    def compose(self) -> ComposeResult:
        yield BigCode(id="bag-code")
        yield Static(FIRST_WORDS, id="bag-words", markup=False)

    def show_saved(self, part: Part) -> None:
        """Shows the code of a part that was just saved."""
        self._show(part.code, f"on the bag:\n{part.name}\n{part.assembly}")

    def show_spare(self, code: str) -> None:
        """Shows the spare tag that the next part gets."""
        self._show(code, "a spare tag:\nfill in what is in its bag\nCtrl+N: use no spare tag")

    def keep_if(self, tables: Tables) -> None:
        """Shows a code no longer when its part or spare tag was taken back."""
        tag = tables.tags.get(self.query_one(BigCode).code)
        if tag is None or tag.kind == "gone":
            self.clear()

    def clear(self) -> None:
        """Shows no code."""
        self._show("", FIRST_WORDS)

    def _show(self, code: str, words: str) -> None:
        self.query_one(BigCode).code = code
        self.set_class(bool(code), "-code")
        self.query_one("#bag-words", Static).update(words)
