"""Forms behave the same everywhere: each screen of the registry and each card is asked."""

from __future__ import annotations

import pytest
from textual.widgets import Input

from tagbench.screens.app.help import HelpDialog
from tagbench.screens.care.cards import KindDialog
from tagbench.screens.frame.actions import ANYWHERE, NEW_KEY, Action
from tagbench.screens.frame.registry import SCREENS, ScreenEntry
from tagbench.screens.shared.base import CARD_IS_OPEN, ScreenMixin, TagbenchScreen
from tagbench.screens.shared.form import FormDialog
from tagbench.screens.shared.pickers import BinDialog, PhotoDialog
from tagbench.screens.widgets.bars import Notice
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.rows import Rows
from tests.screens.driver import LARGE, SMALL, ScreenDriver, at_the_bench
from tests.screens.every_card import (
    Full,
    Opening,
    card_kinds,
    fields_of,
    open_card,
    open_screen,
    openings,
)

FORMS = [one for one in openings() if issubclass(one.kind, FormDialog)]


def driven(driver: ScreenDriver) -> Rows[object] | None:
    """The list that the arrows go through while a field has the focus."""
    return next((one for one in driver.screen.query(Rows) if one._driven and one.region), None)


async def reach(driver: ScreenDriver, field: Input) -> None:
    """Goes to a field by Tab, as a person does; the first one has the focus already."""
    for _ in range(30):
        if driver.app.focused is field:
            return
        await driver.press("tab")
    raise AssertionError(f"Tab never gets to {field.id}")


async def types_over(driver: ScreenDriver, field: Input) -> None:
    """What the form put in is replaced by typing, but goes on where several things stand."""
    row = field.parent
    if not field.value or not isinstance(row, Field):
        return
    before = field.value
    await reach(driver, field)
    await driver.write("7")
    goes_on = row.takes_list or row._goes_on
    assert field.value == (f"{before}7" if goes_on else "7"), field.id


async def refusal_goes(driver: ScreenDriver, field: Input) -> None:
    """A refusal goes away as soon as something is typed."""
    here = driver.screen
    assert isinstance(here, ScreenMixin)
    here.refuse("That is not understood.")
    field.focus()
    await driver.settle()
    await driver.write("7")
    assert not here.query_one(Notice).has_class("-wrong"), field.id


async def arrows_move(driver: ScreenDriver, fields: list[Input]) -> None:
    """↓ goes to the next field, ↑ back; where a list is under the field, through the list."""
    fields[0].focus()
    await driver.settle()
    rows = driven(driver)
    before = rows.cursor if rows is not None else 0
    await driver.press("down")
    if rows is not None:
        assert driver.app.focused in (fields[0], rows)
        assert len(rows.items) < 2 or rows.cursor != before or before == len(rows.items) - 1
    elif len(fields) > 1:
        assert driver.app.focused is fields[1]
        await driver.press("up")
        assert driver.app.focused is fields[0]
    else:
        assert driver.app.focused is not None


@pytest.mark.sampled(15)
@pytest.mark.parametrize("opening", openings(), ids=str)
async def test_a_card_behaves_like_all_others(full: Full, opening: Opening) -> None:
    """Typing over, ↓ and ↑, Tab, refusals, F1 at this card, Esc that changes nothing."""
    async with at_the_bench(full.book, LARGE) as driver:
        await open_card(driver, full, opening)
        here, revision = driver.screen, full.book.revision
        fields = fields_of(driver)
        for field in fields:
            await types_over(driver, field)
        if fields:
            await refusal_goes(driver, fields[0])
            await arrows_move(driver, fields)
        if opening.kind is not HelpDialog:
            await help_begins_here(driver, "On this card")
            assert driver.screen is here
        await driver.press("escape")
        assert driver.screen is not here
        assert full.book.revision == revision


@pytest.mark.sampled(10)
@pytest.mark.parametrize("opening", FORMS, ids=str)
async def test_tab_goes_through_every_field_of_a_form(full: Full, opening: Opening) -> None:
    """In the order in which they stand; in one that completes paths it completes."""
    async with at_the_bench(full.book, LARGE) as driver:
        await open_card(driver, full, opening)
        fields = fields_of(driver)
        if opening.kind is PhotoDialog or len(fields) < 2:
            return
        fields[0].focus()
        await driver.settle()
        for field in fields[1:]:
            await reach(driver, field)
        rows = [field.region.y for field in fields]
        assert rows == sorted(rows)


def test_enter_acts_on_every_form() -> None:
    """It is the first key of each and named in its bar."""
    for kind in card_kinds():
        if issubclass(kind, FormDialog):
            assert kind.actions[0].first_key == "enter", kind.__name__


@pytest.mark.sampled(8)
@pytest.mark.parametrize("entry", SCREENS, ids=lambda entry: entry.name)
async def test_a_screen_behaves_like_all_others(full: Full, entry: ScreenEntry) -> None:
    """F1 at this screen, refusals, ↑ leaves a list where a field stands before it."""
    async with at_the_bench(full.book, LARGE) as driver:
        await open_screen(driver, full, entry.name)
        here = driver.screen
        await help_begins_here(driver, f"On {entry.title}")
        assert driver.screen is here
        fields = fields_of(driver)
        if fields:
            await refusal_goes(driver, fields[0])
        await leaves_lists_upwards(driver)
        assert isinstance(here, TagbenchScreen)


async def leaves_lists_upwards(driver: ScreenDriver) -> None:
    chain = driver.screen.focus_chain
    for at, widget in enumerate(chain):
        if isinstance(widget, Rows) and at and widget in driver.screen.focus_chain:
            widget.focus()
            widget.action_first()
            await driver.settle()
            await driver.press("up")
            assert driver.app.focused is chain[at - 1], widget.id


async def help_begins_here(driver: ScreenDriver, title: str) -> None:
    """F1 starts at where one is and uses the height there is; Esc goes back."""
    await driver.press("f1")
    assert driver.at(HelpDialog)._sections[0].title == title
    page = driver.screen.query_one("#help")
    assert page.scroll_offset.y == 0
    assert page.size.height >= min(page.virtual_size.height, driver.app.size.height - 8)
    await driver.press("escape")


async def test_the_key_of_a_screen_says_that_a_card_is_open(full: Full) -> None:
    """On a question, and on a card with the cursor in a field."""
    async with at_the_bench(full.book) as driver:
        await driver.press("ctrl+c", "f3")
        assert driver.said == CARD_IS_OPEN
        await driver.press("escape")
        await driver.scan(full.part)
        await driver.press("ctrl+e", "f7")
        assert driver.said == CARD_IS_OPEN
        await driver.write("x")
        assert driver.said == ""


async def test_f1_uses_the_height_there_is(full: Full) -> None:
    """Thirteen lines more of it on a terminal that is thirteen lines higher."""
    heights = []
    for size in (SMALL, LARGE):
        async with at_the_bench(full.book, size) as driver:
            await driver.press("f2", "f1")
            heights.append(driver.screen.query_one("#help").size.height)
    assert heights[1] - heights[0] == LARGE[1] - SMALL[1]


# One key for something new


def every_action() -> list[Action]:
    kinds = [*(entry.kind() for entry in SCREENS), *card_kinds()]
    return [*ANYWHERE, *(action for kind in kinds for action in kind.all_actions())]


def test_there_is_one_key_for_something_new() -> None:
    """What makes something new is on it first, and nothing else is on it."""
    for action in every_action():
        words = f"{action.description} {action.tooltip}".casefold()
        if NEW_KEY in action.key.split(","):
            assert "new" in words.replace(":", " ").split(), action
            assert action.first_key == NEW_KEY, action
        elif action.action in ("new", "add"):
            raise AssertionError(f"{action} makes something new")


# Lists that open on the current row


async def test_lists_open_on_the_current_row(full: Full) -> None:
    """The bin a part is in, its kind, the labels in use, the machine on the bench."""
    part = full.book.records.parts[full.part]
    async with at_the_bench(full.book) as driver:
        await driver.scan(full.part)
        await driver.press("ctrl+b")
        bins = driver.at(BinDialog).rows
        assert bins.current is not None
        assert bins.current.code == part.bin
        await driver.press("escape", "escape")
        driver.app.push_screen(KindDialog(part))
        await driver.settle()
        assert driver.at(KindDialog).rows.cursor == 0
        await driver.press("escape", "f4", "l")
        stocks = driver.screen.query_one("#stocks", Rows)
        assert "→" in stocks._draw(stocks.current, 70)[0]
        await driver.press("escape", "escape", "ctrl+n")
        machines = driver.screen.query_one("#machines", Rows)
        assert "→" in machines._draw(machines.current, 70)[0]
