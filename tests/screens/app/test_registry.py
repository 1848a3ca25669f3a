"""One registry feeds keys, key bar and help, and its keys disturb nothing."""

from __future__ import annotations

from typing import Any

import pytest
from textual.widgets import Input

from tagbench.book import Book
from tagbench.screens.app.app import TagbenchApp
from tagbench.screens.app.help import sections
from tagbench.screens.frame.actions import ANYWHERE, FIELD_KEYS, TERMINAL_KEYS, Action, spell_key
from tagbench.screens.frame.registry import SCREENS, ScreenEntry
from tagbench.screens.shared.base import TagbenchDialog, TagbenchScreen
from tagbench.screens.widgets.bars import fitting
from tests.screens.hands import at_the_bench


def all_dialogs() -> list[type[TagbenchDialog[Any]]]:
    """Every card there is, found by importing every module of the screens."""
    import importlib
    import pkgutil

    from tagbench import screens

    for module in pkgutil.walk_packages(screens.__path__, f"{screens.__name__}."):
        importlib.import_module(module.name)
    return TagbenchDialog.__subclasses__()


def keys(actions: tuple[Action, ...]) -> list[str]:
    """All keys of some actions."""
    return [key for action in actions for key in action.key.split(",")]


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


@pytest.mark.parametrize("entry", [entry for entry in SCREENS if entry.by_name])
async def test_keys_that_edit_a_field_are_left_to_it(brake: Book, entry: ScreenEntry) -> None:
    """On every screen that has a field."""
    async with at_the_bench(brake) as hands:
        await hands.app.go(entry.name)
        await hands.settle()
        if hands.screen.query(Input):
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
    listed = [action for _, actions in sections() for action in actions]
    for entry in SCREENS:
        for action in (*entry.kind().all_actions(), *ANYWHERE):
            assert action in listed
    assert all(action.tooltip.endswith((".", "?")) for action in listed)


async def test_the_help_is_one_key_away_from_screens_and_cards(brake: Book) -> None:
    """And Escape leads back to where one was."""
    async with at_the_bench(brake) as hands:
        for way in ([], ["f2"], ["f3"], ["f4"], ["f2", "ctrl+b"]):
            await hands.press(*way, "f1")
            assert "Everywhere" in hands.shown
            assert "Ctrl+G" in hands.shown
            await hands.press("escape", "escape", "escape")


async def test_the_screens_are_reached_without_function_keys(brake: Book) -> None:
    """Ctrl+G lists them."""
    async with at_the_bench(brake) as hands:
        await hands.press("ctrl+g", "down", "down", "enter")
        assert "FIND" in hands.shown


async def test_leaving_asks_first(brake: Book) -> None:
    """Ctrl+C, then Enter."""
    async with at_the_bench(brake) as hands:
        await hands.press("ctrl+c")
        assert "Leave tagbench?" in hands.shown
        await hands.press("escape")
        assert hands.app.is_running
        await hands.press("ctrl+c", "enter")
        await hands.until(lambda: not hands.app.is_running)


async def test_a_click_on_the_key_bar_does_the_same(brake: Book) -> None:
    """The mouse works too."""
    async with at_the_bench(brake) as hands:
        row = 23
        column = hands.shown.splitlines()[row].index("F3")
        await hands.pilot.click(offset=(column + 1, row))
        await hands.settle()
        assert "FIND" in hands.shown


def test_the_key_bar_keeps_the_way_back_where_there_is_little_room() -> None:
    """Actions before the last one give way, from the right."""
    actions = [Action(f"f{n}", "", "word", "Help.") for n in range(1, 10)]
    assert fitting(actions, 25) == [*actions[:2], actions[-1]]
    assert fitting(actions, 500) == actions
    assert fitting([], 80) == []


def test_keys_are_spelled_as_on_a_keyboard() -> None:
    """Ctrl+O, F2, Esc."""
    assert [spell_key(key) for key in ("ctrl+o", "f2", "escape")] == ["Ctrl+O", "F2", "Esc"]
