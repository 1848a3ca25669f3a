"""Fit: all that a person wants to see before a part goes on, large, and a key for each ending."""

from __future__ import annotations

from dataclasses import replace

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Static

from tagbench.book.operations.building import FitForm, fit, missing_fasteners, refusals
from tagbench.errors import BadInput, Refused, TagbenchError
from tagbench.records import Part, Tables
from tagbench.reports.fit_text import fitted_lines
from tagbench.rules.rebuild.guide import fit_guide
from tagbench.rules.rebuild.links import links_of
from tagbench.rules.scan import Opened
from tagbench.screens.build.fit_facts import fit_facts
from tagbench.screens.build.fit_lines import (
    Figures,
    LinesDialog,
    missing_question,
    torque_question,
)
from tagbench.screens.build.fit_more import FitMore
from tagbench.screens.build.fit_refused import RefusedDialog
from tagbench.screens.build.words import heading
from tagbench.screens.frame.actions import HELP, Action
from tagbench.screens.frame.styles import look
from tagbench.screens.shared.base import HIGH, WIDE, TagbenchDialog
from tagbench.screens.widgets.big_code import BigCode
from tagbench.screens.widgets.facts import Facts
from tagbench.screens.widgets.keybar import KeyBar
from tagbench.screens.widgets.notice import Notice
from tagbench.screens.widgets.photo import PhotoView

LOOK_SECONDS = 1.0
"""How often the card looks whether another program changed the part."""
LEAVE = Action("escape", "close", "Leave for now", "Closes the card; the part stays as it is.")


class FitDialog(TagbenchDialog[str], FitMore):
    """The card for fitting one part; gives words that say what was done.

    Scanning another tag turns the card to that part.
    """

    CSS_PATH = look("field", "card", "rebuild", "fit")
    AUTO_FOCUS = "#fit-facts"
    actions = (
        Action("s", "snug", "Snug", "The part is on, finger tight."),
        Action("t", "torqued", "Torqued to", "Writes down the torque that was reached."),
        Action("f", "fitted", "Fitted", "The part is on and done."),
        Action("m", "missing", "Missing", "Writes down how many fasteners are missing."),
    )

    def __init__(self, code: str) -> None:
        super().__init__()
        self.heading = "Fit"
        self.code = code
        self._seen = -1
        self.forget()

    @classmethod
    def all_actions(cls) -> tuple[Action, ...]:
        """Two lines of them: the endings, and what else there is."""
        return (*cls.actions, *cls.more, LEAVE, HELP)

    def compose(self) -> ComposeResult:
        with Vertical(id="card"):
            yield from self.body()
            yield Notice()
            yield KeyBar((*self.actions, LEAVE), id="keys-here")
            yield KeyBar((*self.more, HELP), id="keys-more")

    def body(self) -> ComposeResult:
        yield BigCode(self.code, id="fit-code")
        yield Static("", id="card-heading", markup=False)
        yield Static("", id="fit-heading", markup=False)
        with Horizontal(id="fit-columns"):
            with VerticalScroll(id="fit-facts"):
                yield Facts(id="facts")
            yield PhotoView()
        yield Static("", id="fit-cautions", markup=False)

    def on_mount(self) -> None:
        self.use_the_room()
        self.set_interval(LOOK_SECONDS, self.catch_up)
        self.catch_up()

    def on_resize(self) -> None:
        self.use_the_room()

    def use_the_room(self) -> None:
        """Lets the stylesheet use a wide or high terminal."""
        self.set_class(self.app.size.width >= WIDE, "-wide")
        self.set_class(self.app.size.height >= HIGH, "-high")

    # Showing

    def catch_up(self) -> None:
        """Shows the part as the book has it now."""
        if self._seen != self.book.revision:
            self._seen = self.book.revision
            with self.refusing():
                self._show()

    def show_again(self) -> None:
        """Shows the card anew, whatever is shown."""
        self._seen = -1
        self.catch_up()

    def _show(self) -> None:
        part = self.part
        links = links_of(self.tables, part.machine)
        guide = fit_guide(self.tables, links, self.code, self.lever, self.book.now().date())
        self.query_one(BigCode).code = part.code
        self.query_one("#card-heading", Static).update(f"◯  Fit   {heading(part)}")
        self.query_one("#fit-heading", Static).update(part.assembly or "no assembly")
        self.query_one(Facts).show(fit_facts(self.tables, links, guide, self.renewed))
        *warnings, last = guide.cautions or [""]
        lines = [*(f"! {warning}" for warning in warnings), last]
        self.query_one("#fit-cautions", Static).update("\n".join(lines))
        self.query_one("#fit-cautions").display = bool(guide.cautions)
        self.photos.display = bool(part.photos)
        self.photos.show(self.book.photos, part.photos)

    def takes_scan(self, opened: Opened) -> bool:
        """Turns to the part that was scanned; the one before is left for now."""
        if opened.kind == "part":
            self.code = opened.code
            self.forget()
            self.show_again()
            self.query_one("#fit-facts").scroll_home(animate=False)
        return opened.kind == "part"

    # The endings

    def action_snug(self) -> None:
        """Leaves it finger tight."""
        self._fit(FitForm(snug=True))

    def action_fitted(self) -> None:
        """On and done."""
        self._fit(FitForm())

    def action_torqued(self) -> None:
        """Asks for the torque of each line and fits the part with it."""
        with self.refusing():
            part = self.part
            if not part.fasteners:
                raise BadInput("It has no fasteners in the book, so F fits it without a torque.")
            question = torque_question(part, self.machine.units.torque)
            self.bench_app.push_screen(LinesDialog(part, question), self._torqued)

    def _torqued(self, figures: Figures | None) -> None:
        if figures:
            self._fit(FitForm(torqued=figures))

    def _fit(self, form: FitForm) -> None:
        """Fits it with all that was said; where that is refused, the person may overrule it."""
        form = replace(form, renewed=tuple(self.renewed), short=self.short)
        try:
            after = fit(self.book, self.code, form)
        except Refused:
            self._stopped(form)
        except TagbenchError as error:
            self.refuse(str(error))
        else:
            self.dismiss(fitted_words(self.tables, after))

    def _stopped(self, form: FitForm) -> None:
        def answered(why: str | None) -> None:
            if why:
                self._fit(replace(form, anyway=True, why=why))

        in_the_way = refusals(self.book, self.code, form)
        self.bench_app.push_screen(RefusedDialog(self.part, in_the_way), answered)

    def action_missing(self) -> None:
        """Asks how many fasteners of each line are missing."""
        with self.refusing():
            part = self.part
            if not part.fasteners:
                raise BadInput("It has no fasteners in the book, so none can be missing.")
            question = missing_question(part)
            self.bench_app.push_screen(LinesDialog(part, question), self._missing)

    def _missing(self, figures: Figures | None) -> None:
        """Writes them down; they do not hold the part up any more while the card is open."""
        if figures:
            short = {line: int(figure) for line, figure in figures.items()}
            with self.refusing():
                missing_fasteners(self.book, self.code, short)
                self.short |= short
                self.catch_up()
                self.tell("Written down. S or F puts the part on without them.")


def fitted_words(tables: Tables, part: Part) -> str:
    """How the part stands now and what is still open about it, in a sentence or two."""
    first, *still_open = (line.strip() for line in fitted_lines(tables, part))
    return first + (f". Still open: {'; '.join(still_open)}." if still_open else ".")
