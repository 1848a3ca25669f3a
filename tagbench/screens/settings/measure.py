"""What does it measure? The answer says at once whether that is inside the range."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Static

from tagbench.book.operations.settings import measure, setting_by_number
from tagbench.errors import TagbenchError
from tagbench.records import Setting
from tagbench.rules.settings.standing import against_range, range_words, setting_state
from tagbench.rules.settings.text import read_value
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.styles import look
from tagbench.screens.settings.screen import setting_facts
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.facts import Facts
from tagbench.screens.widgets.field import Field

SAID = {"low": "✗ under the range", "high": "✗ over the range", "inside": "inside the range"}


class MeasureDialog(TagbenchDialog[str]):
    """Gives words that say where the setting stands."""

    CSS_PATH = look("field", "card", "rebuild")
    actions = (Action("enter", "save", "Write down", "Writes down what was measured."),)

    def __init__(self, number: int) -> None:
        super().__init__()
        self.heading = "Measure"
        self._number = number

    def body(self) -> ComposeResult:
        yield Static("", id="measure-what", classes="words", markup=False)
        yield Facts()
        yield Field("Measured", id="measured", hint="12 mm")
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

    @on(Input.Submitted)
    def action_save(self) -> None:
        """Writes the value down."""
        with self.refusing():
            after = measure(self.book, self._number, self.query_one(Field).value)
            state = setting_state(after, self.tables.parts)
            self.dismiss(f"{after.what}: {state.words}.")
