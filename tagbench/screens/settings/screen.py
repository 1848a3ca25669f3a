"""Settings: adjustments with a specified range, measured, and measured again after other work."""

from __future__ import annotations

from collections.abc import Callable

from rich.text import Text
from textual import on, work
from textual.app import ComposeResult
from textual.containers import Container, Vertical
from textual.widgets import Static

from tagbench.book.operations.machines import chosen
from tagbench.book.operations.settings import remove_setting
from tagbench.records import Machine
from tagbench.rules.describe.phrases import NO_ASSEMBLY
from tagbench.rules.describe.setting import describe_state
from tagbench.rules.settings.standing import SettingState, settings_of
from tagbench.screens.frame.actions import NEW_KEY, Action
from tagbench.screens.frame.messages import Moved, RowOpened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.settings.cards import setting_facts
from tagbench.screens.shared.base import CARDS, TagbenchScreen
from tagbench.screens.shared.confirm import confirmed
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.facts import Facts
from tagbench.screens.widgets.group_rows import GroupRows

NOTHING = "No settings yet. Ctrl+N writes one down, such as chain slack, 20-30 mm."


class SettingsScreen(TagbenchScreen):
    """The settings by assembly, with all about the one under the cursor beneath."""

    screen_name = "settings"
    CSS_PATH = stylesheets("field", "rebuild")
    AUTO_FOCUS = "#setting-rows"
    actions = (
        Action("enter", "", "Measure", "Writes down what was measured; folds a heading."),
        Action(f"{NEW_KEY},n", "new", "New", "Writes a new setting down."),
        Action("e", "edit", "Edit", "Changes the setting under the cursor."),
        Action("r", "recheck", "Recheck", "Has it measured again, with the reason."),
        Action("d", "remove", "Remove", "Takes the setting away; asks first."),
        Action("p", "print", "Print", "Writes the settings sheet."),
    )

    def __init__(self) -> None:
        super().__init__()
        self._states: list[SettingState] = []

    def body(self) -> ComposeResult:
        yield Static("", id="says", classes="quiet", markup=False)
        with Container(id="list-and-pane"):
            yield GroupRows(
                self.draw,
                lambda state: str(state.setting.id),
                lambda state: state.setting.assembly or NO_ASSEMBLY.capitalize(),
                id="setting-rows",
                empty=NOTHING,
            )
            with Vertical(id="pane"):
                yield Static("", id="pane-heading", markup=False)
                yield Facts(clipped=True, id="pane-facts")

    @property
    def machine(self) -> Machine | None:
        """The chosen machine."""
        return chosen(self.tables)

    @property
    def rows(self) -> GroupRows[SettingState]:
        """The list."""
        return self.query_one("#setting-rows", GroupRows)

    @property
    def current(self) -> SettingState | None:
        """The setting under the cursor; None on a heading."""
        return self.rows.here

    # Showing

    def show_book(self) -> None:
        machine = self.machine
        self._states = settings_of(self.tables, machine.mark) if machine else []
        still_open = sum(state.open for state in self._states)
        words = f"{still_open} of {len(self._states)} still to be seen to" if self._states else ""
        self.query_one("#says", Static).update(words)
        self.rows.show_items(self._states)
        self._show_pane()

    @on(Moved)
    def _show_pane(self) -> None:
        state = self.current
        self.query_one("#pane").display = state is not None
        if state is not None:
            self.query_one("#pane-heading", Static).update(state.setting.what)
            self.query_one("#pane-facts", Facts).show(setting_facts(self.tables, state))

    def draw(self, row: SettingState, width: int) -> list[str | Text]:
        """One line: a box, what, its range, what was measured, where that stands."""
        facts = describe_state(self.tables, row)
        stands = (
            f"✗ {facts.shortly.words}" if facts.shortly.state == "wrong" else facts.shortly.words
        )
        cells = [(facts.range.words, 14), (facts.measured.words, 9), (stands, 13)]
        box = "[ ]" if row.open else "[x]"
        return [columns(width, (box, 3), (facts.what, 0), *cells, gap=1)]

    # Cards

    @on(RowOpened)
    def open_row(self, message: RowOpened[SettingState]) -> None:
        """Asks for the measured value."""
        from tagbench.screens.settings.cards import MeasureDialog

        self.open_card(MeasureDialog(message.item.setting.id))

    def action_new(self) -> None:
        from tagbench.screens.settings.cards import SettingDialog

        self.open_card(SettingDialog(None))

    def _with_setting(self, then: Callable[[SettingState], object]) -> None:
        state = self.current
        if state is None:
            self.refuse("First move the cursor to a setting; Ctrl+N writes a new one down.")
        else:
            then(state)

    def action_edit(self) -> None:
        from tagbench.screens.settings.cards import SettingDialog

        self._with_setting(lambda state: self.open_card(SettingDialog(state.setting)))

    def action_recheck(self) -> None:
        from tagbench.screens.settings.cards import RecheckDialog

        self._with_setting(lambda state: self.open_card(RecheckDialog(state.setting)))

    def action_remove(self) -> None:
        self._with_setting(self._remove)

    @work(group=CARDS)
    async def _remove(self, state: SettingState) -> None:
        question = f"Take away the setting {state.setting.what}?"
        if await confirmed(self, question, "Ctrl+T brings it back.", "Take away"):
            with self.refusing():
                remove_setting(self.book, state.setting.id)
                self.finished(f"Took away the setting {state.setting.what}.")

    def action_print(self) -> None:
        from tagbench.screens.shared.report import ReportDialog

        machine = self.machine
        if machine is not None:
            self.open_card(ReportDialog("settings", machine))
