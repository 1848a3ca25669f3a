"""Part: everything about one part, with its picture."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

from textual import on, work
from textual.app import ComposeResult
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import Static

from tagbench.book.operations.photos import attach
from tagbench.book.operations.strip import edit, remove
from tagbench.book.operations.tagging import queue
from tagbench.records import Change, Part
from tagbench.rules.bins import typed_path
from tagbench.rules.describe.fact import PartName
from tagbench.rules.describe.main_fact import where_shortly
from tagbench.rules.describe.part import PartFacts, describe_part, linked_parts, machine_of
from tagbench.rules.new_bins import new_bin_words
from tagbench.rules.open_questions import open_questions_of
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import RowOpened
from tagbench.screens.frame.registry import FIT, LAY_OUT
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.frame.viewer import show_in_viewer
from tagbench.screens.part.page import above, below, heading, off_in_order
from tagbench.screens.part.whereabouts import WhereaboutsDialog
from tagbench.screens.shared.base import CARDS, TagbenchScreen
from tagbench.screens.shared.confirm import confirmed
from tagbench.screens.shared.gone import gone_words
from tagbench.screens.shared.measure_open import MEASURE_OPEN, measure_open
from tagbench.screens.widgets.big_code import BigCode, BigFact
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.facts import Section, Sections
from tagbench.screens.widgets.photo import PhotoView
from tagbench.screens.widgets.rows import Rows

if TYPE_CHECKING:
    from tagbench.trade.torque.wrench import Lever

TRAIL = 20
"""So many parts can be gone back through."""
CHANGES = 12
"""So many changes of the part are listed."""

FORM_BEHIND = {"edit": "edit", "made of": "made_of", "gasket": "inspect", "reading": "inspect"}
"""Kind of half-typed form → the action of this screen that leads to it."""

Near = tuple[str, PartName]
"""How a part is linked with the one on the screen, and the part."""


class PartScreen(TagbenchScreen):
    """One part. Turning to another one keeps the way back."""

    screen_name = "part"
    CSS_PATH = stylesheets("part")
    AUTO_FOCUS = "#facts"
    actions = (
        Action("ctrl+f", "fit", "Fit", "Opens the card for fitting the part."),
        Action("ctrl+e", "edit", "Edit", "Changes what is written about the part."),
        Action("ctrl+b,ctrl+v", "move", "Bin", "Puts the part into another bag or box."),
        Action("ctrl+p", "add_photo", "Photo", "Adds a picture."),
        Action("ctrl+o", "view_photo", "View", "Opens the picture in the system's viewer."),
        # Before the list that scrolls, which would take the key and has nothing to the right.
        Action("right", "next_photo", "Next", "Shows the next picture.", False, priority=True),
        Action("ctrl+y", "inspect", "Care", "Care, readings, numbers, gasket, pictures."),
        Action("ctrl+r", "queue_tag", "Tag", "Queues its tag to be printed again."),
        Action("ctrl+w", "wrench", "Wrench", "Your torque wrench, and an extension on it."),
        MEASURE_OPEN,
        Action("ctrl+a,ctrl+x", "lay_out", "Lay out", "What to lay out for its whole assembly."),
        Action(
            "ctrl+k", "bolt_card", "Bolt card", "The card its screws are pushed through.", False
        ),
        Action(
            "f11,insert",
            "trace",
            "Trace",
            "Its gasket from a picture: traced, kept, printed.",
            False,
        ),
        Action("ctrl+u", "whereabouts", "Where", "With someone else, back, lost, found.", False),
        Action("m", "made_of", "Made of", "Stack, own parts, wires, twin; taking it apart.", False),
        Action("ctrl+d", "remove", "Remove", "Takes the record away; asks first.", False),
    )

    def __init__(self, code: str) -> None:
        super().__init__()
        self.code = code
        self._trail: list[str] = []
        self._lever: Lever | None = None
        self._forms: list[str] = []
        """The forms that were half-typed when that was looked for."""

    def body(self) -> ComposeResult:
        with Horizontal():
            with VerticalScroll(id="facts"):
                yield BigCode(id="part-code")
                yield BigFact(id="part-fact")
                yield Static(id="heading")
                yield Sections(id="above")
                yield Static("Linked parts", classes="section", id="near-heading", markup=False)
                yield Rows(draw_near, lambda near: f"{near[0]} {near[1].code}", id="near")
                yield Sections(id="below")
            yield PhotoView()

    @property
    def part(self) -> Part | None:
        """The part as it is now; None when its record was taken away."""
        return self.tables.parts.get(self.code)

    def on_screen_resume(self) -> None:
        """Looks again where a form was half-typed or done with since the part was shown."""
        from tagbench.book.autosave import Autosave

        if self.is_mounted and Autosave(self.book.folder).forms() != self._forms:
            self.show_book()

    def turn_to(self, code: str) -> None:
        if code != self.code:
            self._trail = [*self._trail[1 - TRAIL :], self.code]
            self.code, self._lever = code, None
        self.show_book()

    def action_back(self) -> None:
        """Goes back to the part before, in the end to the screen below."""
        if self._trail:
            self.code, self._lever = self._trail.pop(), None
            self.show_book()
        else:
            super().action_back()

    def show_book(self) -> None:
        part = self.part
        if part is None:
            self._show_gone()
            return
        self.query_one("#part-code", BigCode).code = part.code
        self.query_one("#part-fact", BigFact).fact = where_shortly(part, self.tables)
        facts = describe_part(self.tables, part, self.book.now())
        self.query_one("#heading", Static).update(heading(facts))
        told = above(facts, part, self.tables, self._lever)
        self.query_one("#above", Sections).show([*self._half_typed(), *told])
        self._show_near(linked_parts(facts))
        self.query_one("#below", Sections).show(below(facts, part, self.tables, []))
        self.query_one(PhotoView).show(self.book.photos, part.photos)
        book = self.book
        self.beside(
            lambda: (facts, book.history(part.code, limit=CHANGES, whole=False)),
            lambda found: self._show_history(*found),
        )

    def _half_typed(self) -> Iterator[Section]:
        """Which of its forms were half-typed, and the key that offers each again."""
        from tagbench.book.autosave import Autosave
        from tagbench.rules.bench.going_on import half_typed

        keys = {action.action: action.key_words for action in self.actions}
        self._forms = Autosave(self.book.folder).forms()
        forms = filter(None, map(half_typed, self._forms))
        lines = [
            f"{keys[FORM_BEHIND[one.form]]}: {one.words.partition(': ')[2]}"
            for one in forms
            if one.code == self.code and one.form in FORM_BEHIND
        ]
        if lines:
            yield "Half-typed, not saved", lines

    def _show_history(self, facts: PartFacts, changes: list[Change]) -> None:
        """Adds what was done, unless another part has been turned to meanwhile."""
        part = self.part
        if part is not None and part.code == facts.code:
            self.query_one("#below", Sections).show(below(facts, part, self.tables, changes))

    def _show_gone(self) -> None:
        words = gone_words(self.book, self.code)
        self.query_one("#heading", Static).update(words)
        for name in ("#above", "#below"):
            self.query_one(name, Sections).show([])
        self._show_near([])
        self.query_one(PhotoView).show(self.book.photos, ())

    def _show_near(self, linked: list[Near]) -> None:
        rows = self.query_one("#near", Rows)
        rows.show_first(linked)
        rows.styles.height = len(linked)
        rows.display = self.query_one("#near-heading").display = bool(linked)

    @on(RowOpened)
    def open_near(self, message: RowOpened[Near]) -> None:
        """Turns to the linked part."""
        self.turn_to(message.item[1].code)

    async def action_inspect(self) -> None:
        await self.bench_app.open_screen("inspect", self.code)

    async def action_trace(self) -> None:
        await self.bench_app.open_screen("trace", self.code)

    # Changing it

    def action_whereabouts(self) -> None:
        if self.part is not None:
            self.open_card(WhereaboutsDialog(self.part))

    def action_made_of(self) -> None:
        from tagbench.screens.part.made_of import MadeOfDialog

        if self.part is not None:
            self.open_card(MadeOfDialog(self.part))

    def action_fit(self) -> None:
        self.open_card(FIT(self.code))

    def action_edit(self) -> None:
        from tagbench.screens.part.edit import EditDialog

        self.open_card(EditDialog(self.code))

    @work(group=CARDS)
    async def action_move(self) -> None:
        from tagbench.screens.shared.pickers import BinDialog

        now = self.part.bin if self.part else ""
        text = await self.ask(BinDialog(typed_path(now, self.tables.bins)))
        if text is not None:
            with self.refusing():
                before = self.tables.bins
                words = f"moved {self.code} to {text or 'no bin'}"
                after = edit(self.book, self.code, words, bin=text)
                new_bin = new_bin_words(after.bin, before, self.tables.bins)
                said = f"{self.code} is now kept in {text or 'no bin'}. {new_bin}"
                self.finished(said.strip())

    def action_queue_tag(self) -> None:
        with self.refusing():
            queue(self.book, [self.code])
            self.finished(f"The tag of {self.code} waits to be printed.")

    def action_bolt_card(self) -> None:
        from tagbench.screens.part.bolt_card import BoltCardDialog

        if (part := self.part) is not None:
            self.open_card(BoltCardDialog(part))

    @work(group=CARDS)
    async def action_remove(self) -> None:
        question = f"Take away the record of {self.code}?"
        words = "The code is not given out again. Ctrl+T brings the record back."
        if await confirmed(self, question, words, "Take away"):
            with self.refusing():
                remove(self.book, self.code)
                self.bench_app.back()
                self.bench_app.call_later(self.bench_app.tell, f"Took away {self.code}.")

    @work(group=CARDS)
    async def action_measure_open(self) -> None:
        if (part := self.part) is not None:
            self.finished(await measure_open(self, open_questions_of([part])))

    # Putting it back

    @work(group=CARDS)
    async def action_wrench(self) -> None:
        from tagbench.screens.shared.wrench import WrenchDialog

        if (part := self.part) is not None:
            wrench = await self.ask(WrenchDialog(machine_of(part, self.tables), self._lever))
            if wrench is not None:
                self._lever = wrench.lever
                self.show_book()
                self.finished(wrench.words)

    def action_lay_out(self) -> None:
        if (part := self.part) is not None:
            codes = off_in_order(part, self.tables)
            heading = f"Lay out for {part.assembly or part.name}"
            self.open_card(LAY_OUT(machine_of(part, self.tables), codes, heading))

    # Pictures

    @work(group=CARDS)
    async def action_add_photo(self) -> None:
        from tagbench.screens.shared.pickers import PhotoDialog

        path = await self.ask(PhotoDialog())
        if path:
            with self.refusing():
                attach(self.book, [(Path(path).expanduser(), self.code)])
                self.finished("The picture was copied into the book; the original stays.")

    def action_next_photo(self) -> None:
        self.query_one(PhotoView).next()

    def action_view_photo(self) -> None:
        path = self.query_one(PhotoView).path
        if path is None:
            self.refuse("There is no picture yet; Ctrl+P adds one.")
        else:
            with self.refusing():
                show_in_viewer(path)


def draw_near(near: Near, width: int) -> list[str]:
    """One line: how it is linked, code, name."""
    words, part = near
    return [columns(width, (words, 15), (part.code, 9), (part.name, 0), gap=2)]
