"""The cards of a setting: its form, what was measured, and why it is measured again."""

from __future__ import annotations

from collections.abc import Iterator

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Static

from tagbench.book.operations.machines import chosen
from tagbench.book.operations.settings import (
    SettingForm,
    add_setting,
    edit_setting,
    measure,
    recheck,
    setting_by_number,
)
from tagbench.errors import TagbenchError
from tagbench.records import Setting, Tables
from tagbench.rules.describe.fact import labelled
from tagbench.rules.describe.setting import describe_state
from tagbench.rules.settings.ranges import against_range, range_words, read_range, read_value
from tagbench.rules.settings.standing import SettingState, setting_state
from tagbench.rules.stripping.predecessors import named_predecessors, read_predecessors
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.form import FormDialog
from tagbench.screens.widgets.facts import Facts, Labelled
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.suggest import KnownWords

SAID = {"low": "✗ under the range", "high": "✗ over the range", "inside": "inside the range"}


class MeasureDialog(FormDialog[str]):
    """Gives words that say where the setting stands."""

    CSS_PATH = stylesheets("field", "card", "rebuild")
    actions = (Action("enter", "save", "Write down", "Writes down what was measured."),)

    def __init__(self, number: int) -> None:
        super().__init__()
        self.heading = "Measure"
        self._number = number

    def body(self) -> ComposeResult:
        yield Static("", id="measure-what", classes="words", markup=False)
        yield Facts()
        yield Field("Measured", id="measured", example="12 mm")
        yield Static("", id="measure-says", markup=False)

    def on_mount(self) -> None:
        with self.refusing():
            setting = self.setting
            self.query_one("#measure-what", Static).update(setting.what)
            state = setting_state(setting, self.tables.parts)
            self.query_one(Facts).show(setting_facts(self.tables, state))
        self.query_one(Input).focus()

    @property
    def setting(self) -> Setting:
        """The setting as it is now. Raises NotFound."""
        return setting_by_number(self.tables, self._number)

    @on(Input.Changed)
    def say(self) -> None:
        """Says where the value in the field would stand."""
        self.query_one("#measure-says", Static).update(self._words(self.query_one(Field).value))

    def _words(self, typed: str) -> str:
        if not typed:
            return ""
        try:
            setting = self.setting
            value = read_value(typed, setting)
        except TagbenchError as error:
            return str(error)
        said = SAID[against_range(setting, value)]
        limits = range_words(setting)
        return f"{value:.4g} {setting.unit}: {said}{f' {limits}' if limits else ''}"

    def action_save(self) -> None:
        with self.refusing():
            after = measure(self.book, self._number, self.query_one(Field).value)
            state = setting_state(after, self.tables.parts)
            self.dismiss(f"{after.what}: {state.words}.")


class RecheckDialog(FormDialog[str]):
    """Gives words that say what was done."""

    actions = (Action("enter", "save", "Measure again", "Has it measured again."),)

    def __init__(self, setting: Setting) -> None:
        super().__init__()
        self.heading = f"Measure again: {setting.what}"
        self._number = setting.id

    def body(self) -> ComposeResult:
        words = "The setting is open in the count until it is measured again."
        yield Static(words, classes="words", markup=False)
        yield Field("Why", id="why", example="the cable was changed")

    def action_save(self) -> None:
        with self.refusing():
            after = recheck(self.book, self._number, self.query_one(Field).value)
            self.dismiss(f"{after.what} is to be measured again: {after.recheck}.")


class SettingDialog(FormDialog[str]):
    """Gives words that say what was saved. Scanning a part adds it to those that re-open it."""

    actions = (Action("enter", "save", "Save", "Saves the form, from any field."),)

    def __init__(self, setting: Setting | None) -> None:
        super().__init__()
        self.heading = f"Setting: {setting.what}" if setting else "New setting"
        self.unsaved_name = f"setting {setting.id if setting else 'new'}"
        self._setting = setting
        self._assemblies: list[str] = []

    def body(self) -> ComposeResult:
        yield Field("What", id="what", example="chain slack")
        yield Field("Range", id="range", example="20-30 mm, at most 0.1 mm, at least 2 mm")
        yield Static("", id="range-words", markup=False)
        known = KnownWords(lambda: self._assemblies)
        yield Field("Where", id="assembly", example="Rear wheel / Chain", suggester=known)
        yield Field(
            "Re-opened by",
            id="after",
            hint="parts by code or name, or scan them",
            takes_list=True,
            takes_code="part",
        )
        yield Static("", id="after-names", classes="quiet", markup=False)
        yield Field("Source", id="source", example="maker's manual, page 12")
        yield Field("Note", id="note")

    def on_mount(self) -> None:
        machine = chosen(self.tables)
        parts = self.tables.parts_of(machine.mark) if machine else []
        self._assemblies = list(dict.fromkeys(part.assembly for part in parts))
        if self._setting is not None:
            self._fill(self._setting)
        self["what"].input.focus()

    def _fill(self, setting: Setting) -> None:
        self["what"].value = setting.what
        self["range"].value = setting.typed or range_words(setting)
        self["assembly"].value = setting.assembly
        self["after"].value = "; ".join(setting.after)
        self["source"].value = setting.source
        self["note"].value = setting.note

    @on(Input.Changed, "#range")
    def say_range(self) -> None:
        """Says how the range is understood."""
        self.query_one("#range-words", Static).update(self._range_words(self["range"].value))

    def _range_words(self, typed: str) -> str:
        if not typed:
            return ""
        machine = chosen(self.tables)
        try:
            low, high, unit = read_range(typed, machine.units.length if machine else "mm")
        except TagbenchError as error:
            return str(error)
        limits = [
            f"from {low:g}" if low is not None else "",
            f"to {high:g}" if high is not None else "",
        ]
        return f"= {' '.join(filter(None, limits))} {unit}"

    @on(Input.Changed, "#after")
    def name_parts(self) -> None:
        """Says the names of the parts whose codes stand in the field."""
        words = named_predecessors(self["after"].value, self.tables, self._mark)
        words = f"measured again when these go on: {words}" if words else ""
        self.query_one("#after-names", Static).update(words)

    @property
    def _mark(self) -> str:
        """Mark of the machine of the setting."""
        machine = chosen(self.tables)
        return self._setting.machine if self._setting else machine.mark if machine else ""

    def action_save(self) -> None:
        with self.refusing():
            form = SettingForm(
                what=self["what"].value,
                range=self["range"].value,
                assembly=self["assembly"].value,
                after=read_predecessors(self["after"].value, self.tables, self._mark),
                source=self["source"].value,
                note=self["note"].value,
                mark=self._setting.machine if self._setting else "",
            )
            if self._setting is None:
                saved = add_setting(self.book, form)
            else:
                saved = edit_setting(self.book, self._setting.id, form)
            self.dismiss(f"Saved the setting {saved.what}.")


def setting_facts(tables: Tables, state: SettingState) -> Iterator[Labelled]:
    """All about one setting; where it stands goes first and stands out."""
    facts = describe_state(tables, state)
    for label, fact in labelled(facts.facts()):
        yield Labelled(label, [fact.words], "strong" if fact is facts.stands else "")
