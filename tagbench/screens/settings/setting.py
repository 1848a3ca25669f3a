"""The form of a setting: what, its range, where, and which parts re-open it."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Static

from tagbench.book.operations.machines import chosen
from tagbench.book.operations.settings import SettingForm, add_setting, edit_setting
from tagbench.errors import TagbenchError
from tagbench.records import Setting
from tagbench.rules.scan import Opened
from tagbench.rules.settings.standing import range_words
from tagbench.rules.settings.text import read_range
from tagbench.screens.frame.actions import Action
from tagbench.screens.shared.base import TagbenchDialog
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.part_form import read_behind
from tagbench.screens.widgets.suggest import KnownWords


class SettingDialog(TagbenchDialog[str]):
    """Gives words that say what was saved. Scanning a part adds it to those that re-open it."""

    actions = (
        Action("enter", "save", "Save", "Saves the form, from any field."),
        Action("down", "app.focus_next", "Next", "Goes to the next field.", in_bar=False),
        Action("up", "app.focus_previous", "Up", "Goes to the field before.", in_bar=False),
    )

    def __init__(self, setting: Setting | None) -> None:
        super().__init__()
        self.heading = f"Setting: {setting.what}" if setting else "New setting"
        self._setting = setting
        self._assemblies: list[str] = []

    def body(self) -> ComposeResult:
        yield Field("What", id="what", hint="chain slack")
        yield Field("Range", id="range", hint="3/8-3/4 in, at most 0.1 mm, at least 2 mm")
        yield Static("", id="range-words", markup=False)
        known = KnownWords(lambda: self._assemblies)
        yield Field("Where", id="assembly", hint="Rear wheel / Chain", suggester=known)
        yield Field("Re-opened by", id="after", hint="codes of parts, or scan them")
        yield Static("", id="after-names", classes="quiet", markup=False)
        yield Field("Source", id="source", hint="maker's manual, page 12")
        yield Field("Note", id="note")

    def on_mount(self) -> None:
        machine = chosen(self.tables)
        parts = self.tables.parts_of(machine.mark) if machine else []
        self._assemblies = list(dict.fromkeys(part.assembly for part in parts))
        if self._setting is not None:
            self._fill(self._setting)
        self["what"].input.focus()

    def __getitem__(self, name: str) -> Field:
        return self.query_one(f"#{name}-field", Field)

    def _fill(self, setting: Setting) -> None:
        self["what"].value = setting.what
        self["range"].value = setting.typed or range_words(setting)
        self["assembly"].value = setting.assembly
        self["after"].value = " ".join(setting.after)
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
        codes = self["after"].value.upper().split()
        names = [self.tables.parts[code].name for code in codes if code in self.tables.parts]
        words = f"measured again when these go on: {', '.join(names)}" if names else ""
        self.query_one("#after-names", Static).update(words)

    def takes_scan(self, opened: Opened) -> bool:
        """Adds a scanned part to those that re-open the setting."""
        if opened.kind == "part" and opened.code not in self["after"].value.upper():
            self["after"].value = f"{self['after'].value} {opened.code}".strip()
        return opened.kind == "part"

    @on(Input.Submitted)
    def action_save(self) -> None:
        """Saves the form."""
        with self.refusing():
            form = SettingForm(
                what=self["what"].value,
                range=self["range"].value,
                assembly=self["assembly"].value,
                after=read_behind(self["after"].value, self.tables),
                source=self["source"].value,
                note=self["note"].value,
                mark=self._setting.machine if self._setting else "",
            )
            if self._setting is None:
                saved = add_setting(self.book, form)
            else:
                saved = edit_setting(self.book, self._setting.id, form)
            self.dismiss(f"Saved the setting {saved.what}.")
