"""Fit: all that a person wants to see before a part goes on, large, and a key for each ending."""

from __future__ import annotations

from dataclasses import replace

from textual import work
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Static

from tagbench.book.operations.building import FitForm, fit_part, missing_fasteners, refusals
from tagbench.book.operations.strip import part_by_code
from tagbench.errors import BadInput, Refused
from tagbench.records import Machine, Part, Tables
from tagbench.reports.fit_text import fitted_lines
from tagbench.rules.describe.main_fact import tighten_shortly
from tagbench.rules.rebuild.fit import single_use_lines
from tagbench.rules.rebuild.guide import fit_guide
from tagbench.rules.rebuild.links import links_of
from tagbench.rules.scan import Opened
from tagbench.screens.build.fit_cards import (
    NOT_WRITTEN,
    LinesDialog,
    NewDialog,
    RefusedDialog,
    missing_question,
    only_of_torque,
    torque_question,
)
from tagbench.screens.build.fit_facts import fit_facts
from tagbench.screens.build.links import LinksDialog
from tagbench.screens.build.lists import heading
from tagbench.screens.build.reach import ReachDialog
from tagbench.screens.frame.actions import HELP, Action
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.frame.viewer import show_in_viewer
from tagbench.screens.shared.base import CARDS, TagbenchDialog
from tagbench.screens.shared.wrench import WrenchDialog
from tagbench.screens.widgets.bars import KeyBar, Notice
from tagbench.screens.widgets.big_code import BigCode, BigFact
from tagbench.screens.widgets.facts import Facts
from tagbench.screens.widgets.photo import PhotoView
from tagbench.trade.torque.wrench import Lever

LOOK_SECONDS = 1.0
"""How often the card looks whether another program changed the part."""
LEAVE = Action("escape", "close", "Leave for now", "Closes the card; the part stays as it is.")


class FitDialog(TagbenchDialog[str]):
    """The card for fitting one part; gives words that say what was done.

    Scanning another tag turns the card to that part.
    """

    CSS_PATH = stylesheets("field", "card", "rebuild", "fit")
    AUTO_FOCUS = "#fit-facts"
    actions = (
        Action("s", "snug", "Snug", "The part is on, finger tight.", writes=True),
        Action("t", "torqued", "Torqued to", "Writes down the torque that was reached."),
        Action("f", "fitted", "Fitted", "The part is on and done.", writes=True),
        Action("m", "missing", "Missing", "Writes down how many fasteners are missing."),
    )
    more = (
        Action("n", "renewed", "New ones", "The single-use items are new.", writes=True),
        Action("o", "came_off", "Came off", "The part came off again."),
        Action("r", "reach", "Get back", "What must come off again to get back to the part."),
        Action("k", "links", "Links", "Draws the links around the part."),
        Action("w", "wrench", "Wrench", "Your torque wrench, and an extension on it."),
        Action("v", "view", "View", "Opens the picture in the system's viewer."),
        Action("p", "next_photo", "Picture", "Shows the next picture.", show=False),
    )
    """What has no room beside the endings."""
    stays_open = True

    def __init__(self, code: str) -> None:
        super().__init__()
        self.heading = "Fit"
        self.code = code
        self._seen = -1
        self.forget()

    @classmethod
    def all_actions(cls) -> tuple[Action, ...]:
        """Two lines of them: the endings, and what else there is."""
        return (*cls.actions, *cls.more, LEAVE, *cls.on_every_card()[1:])

    def compose(self) -> ComposeResult:
        with Vertical(id="card"):
            yield from self.body()
            yield Notice()
            yield KeyBar((*self.actions, LEAVE), id="keys-here")
            yield KeyBar((*self.more, HELP), id="keys-more")

    def body(self) -> ComposeResult:
        yield BigCode(self.code, id="fit-code")
        yield BigFact(id="fit-fact")
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

    # The part, and what was said about it so far

    def forget(self) -> None:
        """What was said about a part holds for that part alone."""
        self.renewed: set[int] = set()
        self.short: dict[int, int] = {}
        self.lever: Lever | None = None

    @property
    def part(self) -> Part:
        """The part as it is now. Raises NotFound when its record was taken away."""
        return part_by_code(self.tables, self.code)

    @property
    def machine(self) -> Machine:
        """The machine of the part."""
        mark = self.code.split("-", 1)[0]
        return self.tables.machines.get(mark, Machine(mark=mark, name=mark))

    @property
    def photos(self) -> PhotoView:
        """The pictures on the card."""
        return self.query_one(PhotoView)

    # Showing

    def catch_up(self) -> None:
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
        # Of what was taken back meanwhile nothing is remembered.
        known = enumerate(part.fasteners, 1)
        self.short = {n: self.short[n] for n, one in known if self.short.get(n) == one.short}
        links = links_of(self.tables, part.machine)
        guide = fit_guide(self.tables, links, self.code, self.lever, self.book.now().date())
        self.query_one(BigCode).code = part.code
        self.query_one(BigFact).fact = tighten_shortly(part, self.tables)
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
        self._fit(FitForm(snug=True))

    def action_fitted(self) -> None:
        self._fit(FitForm())

    @work(group=CARDS)
    async def action_torqued(self) -> None:
        with self.refusing():
            part = self.part
            if not part.fasteners:
                raise BadInput("It has no fasteners in the book, so F fits it without a torque.")
            question = torque_question(part, self.machine.units.torque)
            if figures := await self.ask(LinesDialog(part, question)):
                self._fit(FitForm(torqued=figures))

    @work(group=CARDS)
    async def _fit(self, form: FitForm) -> None:
        """Fits it with all that was said; where that is refused, the person may overrule it."""
        form = replace(form, renewed=tuple(self.renewed), short=self.short)
        with self.refusing():
            try:
                after = fit_part(self.book, self.code, form)
            except Refused:
                in_the_way = refusals(self.book, self.code, form)
                why = await self.ask(RefusedDialog(self.part, in_the_way))
                if not why:
                    if only_of_torque(in_the_way):
                        self.tell(NOT_WRITTEN)
                    return
                after = fit_part(self.book, self.code, replace(form, anyway=True, why=why))
            self.dismiss(fitted_words(self.tables, after))

    @work(group=CARDS)
    async def action_missing(self) -> None:
        """Asks how many fasteners of each line are missing.

        They do not hold the part up any more while the card is open.
        """
        with self.refusing():
            part = self.part
            if not part.fasteners:
                raise BadInput("It has no fasteners in the book, so none can be missing.")
            if figures := await self.ask(LinesDialog(part, missing_question(part))):
                short = {line: int(figure) for line, figure in figures.items()}
                missing_fasteners(self.book, self.code, short)
                self.short |= short
                self.catch_up()
                self.tell("Written down. S or F puts the part on without them.")

    # What else there is

    @work(group=CARDS)
    async def action_renewed(self) -> None:
        """Which single-use items are new: at once when there is one line, else from a list."""
        with self.refusing():
            part = self.part
            lines = single_use_lines(part)
            if not lines:
                raise BadInput("Nothing on it is used only once.")
            if len(lines) == 1:
                self._new_ones(set(lines) ^ self.renewed)
            else:
                new = await self.ask(NewDialog(part, self.renewed))
                self._new_ones(new)

    def _new_ones(self, lines: set[int] | None) -> None:
        """Remembered until the part goes on; written down at once when it is on already."""
        if lines is None:
            return
        part = self.part
        if part.fitted == "off":
            self.renewed = lines
            self.show_again()
        elif lines:
            with self.refusing():
                fit_part(self.book, self.code, FitForm(part.fitted == "snug", renewed=tuple(lines)))
                self.tell("Written down: the new ones are in.")
        self.catch_up()

    def action_came_off(self) -> None:
        self.open_card(ReachDialog(self.code))

    def action_reach(self) -> None:
        self.open_card(ReachDialog(self.code))

    def action_links(self) -> None:
        self.open_card(LinksDialog(self.code))

    @work(group=CARDS)
    async def action_wrench(self) -> None:
        wrench = await self.ask(WrenchDialog(self.machine, self.lever))
        if wrench is not None:
            self.lever = wrench.lever
            self.show_again()
            self.finished(wrench.words)

    def action_next_photo(self) -> None:
        self.photos.next()

    def action_view(self) -> None:
        with self.refusing():
            path = self.photos.path
            if path is None:
                raise BadInput("There is no picture of it yet.")
            show_in_viewer(path)


def fitted_words(tables: Tables, part: Part) -> str:
    """How the part stands now and what is still open about it, in a sentence or two."""
    first, *still_open = (line.strip() for line in fitted_lines(tables, part))
    return first + (f". Still open: {'; '.join(still_open)}." if still_open else ".")
