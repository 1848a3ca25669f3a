"""Into the soak, with what, in which tray and for how long; and out of it again."""

from __future__ import annotations

from collections.abc import Sequence

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Static

from tagbench.book.operations import care
from tagbench.records import Part
from tagbench.rules.care.cautions import cautions_for_all, seen_cautions
from tagbench.rules.care.lines import done_to
from tagbench.rules.care.words import offered
from tagbench.rules.days import parse_moment
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.shared.part_words import named
from tagbench.screens.widgets.caution_lines import CautionLines
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.suggest import KnownWords
from tagbench.trade.quantities.typed import parse_number

SHOWN = 6
"""So many parts are named one by one."""


class SoakDialog(TagbenchDialog[str]):
    """Gives the words that say what was put to soak."""

    CSS_PATH = stylesheets("field", "card", "care")

    actions = (Action("enter", "save", "Soak", "Puts the chosen parts to soak."),)

    def __init__(self, parts: Sequence[Part]) -> None:
        super().__init__()
        self.heading = f"Soak {named(parts)}"
        self._parts = parts

    def body(self) -> ComposeResult:
        yield Field("In", id="with", hint="kerosene", suggester=KnownWords(self._substances))
        yield Field("Tray", id="tray", hint="tray 2", suggester=KnownWords(self._trays))
        yield Field("Hours", id="hours", hint="until it comes clean")
        yield Field("Since", id="since", hint="now; or 18:30, 2 h ago")
        yield CautionLines()

    def on_mount(self) -> None:
        self["with"].value = next(iter(self._substances()), "")
        self.warn()

    def __getitem__(self, name: str) -> Field:
        return self.query_one(f"#{name}-field", Field)

    def _substances(self) -> Sequence[str]:
        return offered(self.tables.desk, "degreased")

    def _trays(self) -> list[str]:
        used = [part.soak.tray for part in self.tables.parts.values() if part.soak is not None]
        trays = [bin_.name for bin_ in self.tables.bins.values() if bin_.kind == "tray"]
        return list(dict.fromkeys(filter(None, [*used, *trays])))

    @on(Input.Changed, "#with")
    def warn(self) -> None:
        """Shows the cautions for soaking in that substance."""
        cautions = cautions_for_all(self._parts, "soak", self["with"].value)
        self.query_one(CautionLines).show(cautions, seen_cautions(self._parts[0], self.tables))

    @on(Input.Submitted)
    def action_save(self) -> None:
        """Puts them to soak."""
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
            self.dismiss(f"Soaking: {named(parts)}. S takes them out again.")


class SoakOutDialog(TagbenchDialog[str]):
    """Gives the words that say what came out of the soak."""

    CSS_PATH = stylesheets("field", "card", "care")

    actions = (
        Action("enter", "out(True)", "Clean", "Takes them out, degreased."),
        Action("ctrl+n", "out(False)", "Not yet clean", "Takes them out, still dirty."),
    )

    def __init__(self, parts: Sequence[Part]) -> None:
        super().__init__()
        self.heading = f"Take out {named(parts)}"
        self._parts = parts

    def body(self) -> ComposeResult:
        yield Static("\n".join(self._lines()), classes="words", markup=False)

    def _lines(self) -> list[str]:
        now, many = self.book.now(), len(self._parts)
        lines = [f"{part.name}: {done_to(part, now)}" for part in self._parts[:SHOWN]]
        return [*lines, f"and {many - SHOWN} more"] if many > SHOWN else lines

    def action_out(self, clean: bool) -> None:
        """Takes them out, clean or not yet."""
        with self.refusing():
            codes = [part.code for part in self._parts]
            parts = care.end_soak(self.book, codes, clean=clean)
            how = "degreased" if clean else "not yet clean"
            self.dismiss(f"Out of the soak, {how}: {named(parts)}.")
