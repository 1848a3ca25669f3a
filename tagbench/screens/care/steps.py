"""The cards of a care step: what it was done with and when; into the soak and out of it."""

from __future__ import annotations

from collections.abc import Sequence

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Static

from tagbench.book.operations import care
from tagbench.records import Part
from tagbench.records.care_steps import CLEANING
from tagbench.rules.care.cautions import cautions_for_all, seen_cautions
from tagbench.rules.care.proposal import proposal
from tagbench.rules.care.substances import substances_for
from tagbench.rules.days import parse_day, parse_moment
from tagbench.rules.describe.care import care_words
from tagbench.rules.describe.phrases import named_parts
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import RowOpened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.shared.form import FormDialog
from tagbench.screens.widgets.caution_lines import CautionLines
from tagbench.screens.widgets.columns import cut
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.rows import Rows
from tagbench.screens.widgets.suggest import KnownWords
from tagbench.trade.quantities.typed import parse_number

STEPS = (*care.KNOWN, "undecided")
"""What can stand in the field."""
SHOWN = 6
"""So many parts are named one by one."""


def ticked_words(parts: Sequence[Part], what: str, with_what: str) -> str:
    """What was marked, and what the person may want to know about it."""
    words = f"{what.capitalize()}: {named_parts(parts)}"
    if with_what:
        words += f", with {with_what}"
    if what == "replace" and any(part.replacement == "wanted" for part in parts):
        words += "; on the want list" if all(part.make is None for part in parts) else ""
    doubtful = [part for part in parts if proposal(part).verdict == "replace"]
    if what == "reuse" and doubtful:
        words += f"; but {named_parts(doubtful)} is proposed for replacing"
        words += f" ({proposal(doubtful[0]).why[0].rstrip('.')})" if len(doubtful) == 1 else ""
    return f"{words}."


class StepDialog(FormDialog[str]):
    """Gives the words that say what was done."""

    CSS_PATH = stylesheets("field", "card", "care")

    actions = (
        Action("enter", "save", "Save", "Writes the step down for all chosen parts."),
        Action("up", "step(-1)", "Up", "Takes the substance above.", show=False),
        Action("down", "step(1)", "Choose", "Takes the next substance; or type another."),
    )
    moves = ()  # the arrows go through the substances

    def __init__(self, parts: Sequence[Part], step: str) -> None:
        super().__init__()
        self.heading = named_parts(parts)
        self._parts = parts
        self._step = step

    def body(self) -> ComposeResult:
        yield Field("With", id="with", hint="what it was done with")
        yield Field("Step", id="step", suggester=KnownWords(lambda: STEPS))
        yield Field("Day", id="day", hint="today")
        yield Rows(draw_substance, str, id="offered", driven=True)
        yield CautionLines()

    def on_mount(self) -> None:
        self["step"].value = self._step
        self["with"].input.focus()

    @property
    def step(self) -> str:
        """The step in the field."""
        return self["step"].value.casefold()

    @on(Input.Changed, "#step")
    def offer(self) -> None:
        """Offers what suits the step; what was typed by hand stays."""
        rows = self.query_one(Rows)
        typed = self["with"].value not in ("", *rows.items)
        part = self._parts[0] if len(self._parts) == 1 else None
        rows.show_first(substances_for(self.tables.desk, self.step, part))
        rows.display = bool(rows.items)
        if not typed:
            self["with"].value = rows.items[0] if rows.items else ""
        self.warn()

    @on(Input.Changed, "#with")
    def warn(self) -> None:
        """Shows the cautions for the step with that substance."""
        cautions = cautions_for_all(self._parts, self.step, self["with"].value)
        self.query_one(CautionLines).show(cautions, seen_cautions(self._parts[0], self.tables))

    def action_step(self, by: int) -> None:
        """Takes the next of the offered substances; where none is, goes to the next field."""
        rows = self.query_one(Rows)
        if not rows.items:
            self.focus_next() if by > 0 else self.focus_previous()
        rows.action_step(by)
        if rows.current is not None:
            self["with"].value = rows.current

    @on(RowOpened)
    def clicked(self, message: RowOpened[str]) -> None:
        """Takes the substance that was clicked."""
        self["with"].value = message.item

    def action_save(self) -> None:
        with self.refusing():
            codes = [part.code for part in self._parts]
            with_what = self["with"].value
            if self.step == "undecided":
                parts, with_what = care.undecided(self.book, codes), ""
            else:
                day = parse_day(self["day"].value, self.book.now().date())
                parts = care.tick_off(self.book, codes, self.step, with_what=with_what, on=day)
            self.dismiss(ticked_words(parts, self.step, with_what))


def draw_substance(substance: str, width: int) -> list[str]:
    """One line: the substance."""
    return [cut(substance, width)]


class SoakDialog(FormDialog[str]):
    """Gives the words that say what was put to soak."""

    CSS_PATH = stylesheets("field", "card", "care")

    actions = (Action("enter", "save", "Soak", "Puts the chosen parts to soak."),)

    def __init__(self, parts: Sequence[Part]) -> None:
        super().__init__()
        self.heading = f"Soak {named_parts(parts)}"
        self._parts = parts

    def body(self) -> ComposeResult:
        yield Field("In", id="with", example="kerosene", suggester=KnownWords(self._substances))
        yield Field("Tray", id="tray", example="tray 2", suggester=KnownWords(self._trays))
        yield Field("Hours", id="hours", hint="until it comes clean")
        yield Field("Since", id="since", hint="now; or 18:30, 2 h ago")
        yield CautionLines()

    def on_mount(self) -> None:
        self["with"].value = next(iter(self._substances()), "")
        self.warn()

    def _substances(self) -> Sequence[str]:
        return substances_for(self.tables.desk, CLEANING.name)

    def _trays(self) -> list[str]:
        used = [part.soak.tray for part in self.tables.parts.values() if part.soak is not None]
        trays = [bin_.name for bin_ in self.tables.bins.values() if bin_.kind == "tray"]
        return list(dict.fromkeys(filter(None, [*used, *trays])))

    @on(Input.Changed, "#with")
    def warn(self) -> None:
        """Shows the cautions for soaking in that substance."""
        cautions = cautions_for_all(self._parts, "soak", self["with"].value)
        self.query_one(CautionLines).show(cautions, seen_cautions(self._parts[0], self.tables))

    def action_save(self) -> None:
        with self.refusing():
            hours = self["hours"].value
            parts = care.soak(
                self.book,
                [part.code for part in self._parts],
                hours=float(parse_number(hours)) if hours else None,
                tray=self["tray"].value,
                with_what=self["with"].value,
                since=parse_moment(self["since"].value, self.book.now()),
            )
            self.dismiss(f"Soaking: {named_parts(parts)}. S takes them out again.")


class SoakOutDialog(TagbenchDialog[str]):
    """Gives the words that say what came out of the soak."""

    CSS_PATH = stylesheets("field", "card", "care")

    actions = (
        Action("enter", "out(True)", "Clean", f"Takes them out, {CLEANING.name}."),
        Action("ctrl+r", "out(False)", "Not yet clean", "Takes them out, still dirty."),
    )

    def __init__(self, parts: Sequence[Part]) -> None:
        super().__init__()
        self.heading = f"Take out {named_parts(parts)}"
        self._parts = parts

    def body(self) -> ComposeResult:
        yield Static("\n".join(self._lines()), classes="words", markup=False)

    def _lines(self) -> list[str]:
        now, many = self.book.now(), len(self._parts)
        lines = [f"{part.said}: {care_words(part, now)}" for part in self._parts[:SHOWN]]
        return [*lines, f"and {many - SHOWN} more"] if many > SHOWN else lines

    def action_out(self, clean: bool) -> None:
        with self.refusing():
            codes = [part.code for part in self._parts]
            parts = care.end_soak(self.book, codes, clean=clean)
            how = CLEANING.name if clean else "not yet clean"
            self.dismiss(f"Out of the soak, {how}: {named_parts(parts)}.")
