"""One registry feeds keys, key bar and help, and its keys disturb nothing."""

from __future__ import annotations

from typing import Any

import pytest
from textual.widgets import Input

from tagbench.book import Book
from tagbench.screens.app.app import TagbenchApp
from tagbench.screens.app.help import ActionsDialog, HelpDialog, sections
from tagbench.screens.bench.machine import MachineDialog
from tagbench.screens.frame.actions import (
    ANYWHERE,
    CLOSE,
    HELP,
    Action,
    spell_key,
)
from tagbench.screens.frame.registry import SCREENS, ScreenEntry
from tagbench.screens.part.screen import PartScreen
from tagbench.screens.settings.screen import SettingsScreen
from tagbench.screens.shared.base import TagbenchDialog, TagbenchScreen
from tagbench.screens.shared.pickers import BinDialog
from tagbench.screens.widgets.bars import fitting
from tests.screens.driver import at_the_bench
from tests.screens.reserved_keys import FIELD_KEYS, TAKEN_KEYS, TERMINAL_KEYS


def all_dialogs() -> list[type[TagbenchDialog[Any]]]:
    """Every card there is, found by importing every module of the screens."""
    import importlib
    import pkgutil

    from tagbench import screens

    for module in pkgutil.walk_packages(screens.__path__, f"{screens.__name__}."):
        importlib.import_module(module.name)
    return TagbenchDialog.__subclasses__()


def keys(actions: tuple[Action, ...]) -> list[str]:
    """All keys of some actions; what is only in the list has none."""
    return [key for action in actions if action.key for key in action.key.split(",")]


@pytest.mark.parametrize("entry", SCREENS, ids=lambda entry: entry.name)
def test_no_two_actions_of_a_screen_share_a_key(entry: ScreenEntry) -> None:
    """Nor with what works everywhere."""
    used = keys((*entry.kind().all_actions(), *ANYWHERE))
    assert len(used) == len(set(used))


@pytest.mark.parametrize("kind", all_dialogs(), ids=lambda kind: kind.__name__)
def test_no_two_actions_of_a_card_share_a_key(kind: type[TagbenchDialog[Any]]) -> None:
    """A card has its own keys; those of the screens do not work while it is open."""
    used = keys(kind.all_actions())
    assert len(used) == len(set(used))


def test_no_key_belongs_to_a_terminal() -> None:
    """Flow control, job control, Enter and Tab in disguise; nor is a figure a key."""
    everything = [*ANYWHERE]
    for entry in SCREENS:
        everything += entry.kind().all_actions()
    for dialog in all_dialogs():
        everything += dialog.all_actions()
    used = set(keys(tuple(everything)))
    assert not used & TERMINAL_KEYS
    assert not [key for key in used if key.isdigit()]


@pytest.mark.sampled(3)
@pytest.mark.parametrize("entry", [entry for entry in SCREENS if entry.by_name])
async def test_keys_that_edit_a_field_are_left_to_it(brake: Book, entry: ScreenEntry) -> None:
    """On every screen that has a field."""
    async with at_the_bench(brake) as driver:
        await driver.app.go(entry.name)
        await driver.settle()
        if driver.screen.query(Input):
            assert not set(keys((*entry.kind().all_actions(), *ANYWHERE))) & FIELD_KEYS


@pytest.mark.parametrize("kind", [*[entry.kind() for entry in SCREENS], *all_dialogs()])
def test_every_action_can_be_done(kind: type[TagbenchScreen | TagbenchDialog[Any]]) -> None:
    """Each names a method of the screen or of the app."""
    for action in kind.all_actions():
        if action.action:
            owner, _, name = action.action.split("(", 1)[0].rpartition(".")
            where = TagbenchApp if owner == "app" else kind
            assert hasattr(where, f"action_{name}"), f"{kind.__name__}: {action.action}"


def test_the_help_lists_every_action_of_every_screen() -> None:
    """With a sentence each."""
    listed = [action for section in sections(None) for action in section.actions]
    for entry in SCREENS:
        for action in (*entry.kind().all_actions(), *ANYWHERE):
            assert action in listed
    assert all(action.tooltip.endswith((".", "?")) for action in listed)


async def test_the_help_is_one_key_away_and_begins_where_one_is(brake: Book) -> None:
    """From screens, lists and cards; Escape leads back to where one was."""
    ways = [([], "On Bench"), (["f3"], "On Find"), (["f2", "ctrl+b"], "On this card")]
    async with at_the_bench(brake) as driver:
        for way, title in ways:
            await driver.press(*way, "f1")
            lines = [line.strip("┃ ") for line in driver.shown.splitlines()]
            first = next(line for line in lines if line.startswith("On "))
            assert first.startswith(title)
            await driver.press("escape", "escape", "escape")
        await driver.press("question_mark")
        assert driver.at(HelpDialog)


async def test_a_click_on_a_line_of_the_help_does_it(brake: Book) -> None:
    """The mouse reaches every action."""
    async with at_the_bench(brake) as driver:
        await driver.press("f1")
        lines = driver.shown.splitlines()
        row = next(at for at, line in enumerate(lines) if "Ctrl+N" in line)
        await driver.pilot.click(offset=(lines[row].index("Ctrl+N") + 1, row))
        await driver.settle()
        assert driver.at(MachineDialog)


async def test_every_action_of_a_screen_is_in_the_list_and_done_from_it(brake: Book) -> None:
    """Ctrl+G: what the screen does first, type to filter, Enter."""
    async with at_the_bench(brake) as driver:
        await driver.app.open_code(brake.records.parts_of("TP")[0].code)
        await driver.press("ctrl+g")
        card = driver.at(ActionsDialog)
        assert card.rows.items[0] == PartScreen.actions[0]
        assert set(PartScreen.actions) <= set(card.rows.items)
        await driver.write("bag or box")
        await driver.press("enter")
        assert driver.at(BinDialog)


async def test_the_screens_are_reached_without_function_keys(brake: Book) -> None:
    """Ctrl+G and a few letters; what nothing fits is said."""
    async with at_the_bench(brake) as driver:
        await driver.press("ctrl+g")
        await driver.write("adjustments")
        await driver.press("enter")
        assert driver.at(SettingsScreen)
        await driver.press("ctrl+g")
        await driver.write("qqqq")
        await driver.press("enter")
        assert "Try fewer words" in driver.said


async def test_an_action_of_a_card_is_done_from_the_list(brake: Book) -> None:
    """Over a card the list has what the card does."""
    async with at_the_bench(brake) as driver:
        await driver.press("f2", "ctrl+b", "ctrl+g")
        items = driver.at(ActionsDialog).rows.items
        assert BinDialog.actions[0] in items
        assert not any(item.action.startswith("app.go") for item in items)


@pytest.mark.parametrize("kind", [*[entry.kind() for entry in SCREENS], *all_dialogs()])
def test_what_stands_on_a_key_that_is_taken_has_a_second_way(
    kind: type[TagbenchScreen | TagbenchDialog[Any]],
) -> None:
    """Ctrl+A and Ctrl+B of multiplexers have a second key; F10 to F12 are in the list."""
    for action in kind.all_actions():
        names = action.key.split(",")
        assert not set(names) <= TAKEN_KEYS, f"{kind.__name__}: {action.key}"
    for action in ANYWHERE:
        if set(action.key.split(",")) <= TAKEN_KEYS:
            assert any(action.action == one.action for one in ActionsDialog(None)._choices)


@pytest.mark.parametrize("kind", [entry.kind() for entry in SCREENS])
def test_what_delete_takes_away_backspace_takes_away_too(kind: type[TagbenchScreen]) -> None:
    """Keyboards of laptops have no Delete."""
    for action in kind.all_actions():
        assert ("delete" in action.key.split(",")) == ("backspace" in action.key.split(","))


async def test_leaving_asks_first(brake: Book) -> None:
    """Ctrl+C, then Enter."""
    async with at_the_bench(brake) as driver:
        await driver.press("ctrl+c")
        assert "Leave tagbench?" in driver.shown
        await driver.press("escape")
        assert driver.app.is_running
        await driver.press("ctrl+c", "enter")
        await driver.until(lambda: not driver.app.is_running)


async def test_a_click_on_the_key_bar_does_the_same(brake: Book) -> None:
    """The mouse works too."""
    async with at_the_bench(brake) as driver:
        row = len(driver.shown.splitlines()) - 1
        column = driver.shown.splitlines()[row].index("F3")
        await driver.pilot.click(offset=(column + 1, row))
        await driver.settle()
        assert "FIND" in driver.shown


def test_the_key_bar_keeps_the_way_back_where_there_is_little_room() -> None:
    """Actions before the last one give way, from the right."""
    actions = [Action(f"f{n}", "", "word", "Help.") for n in range(1, 10)]
    assert fitting(actions, 25) == [*actions[:2], actions[-1]]
    assert fitting(actions, 500) == actions
    assert fitting([], 80) == []


def test_the_key_bar_of_a_card_keeps_escape_beside_the_help() -> None:
    actions = [Action(f"f{n}", "", "word", "Help.") for n in range(1, 6)]
    card = [*actions, CLOSE, HELP]
    assert fitting(card, 35) == [actions[0], CLOSE, HELP]
    assert fitting(card, 500) == card


def test_keys_are_spelled_as_on_a_keyboard() -> None:
    """Ctrl+O, F2, Esc."""
    assert [spell_key(key) for key in ("ctrl+o", "f2", "escape")] == ["Ctrl+O", "F2", "Esc"]
