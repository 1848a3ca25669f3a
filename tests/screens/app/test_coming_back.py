"""A screen that one comes back to looks as if it were opened now, though no widget of it is given
its styles anew unless the look of the app has changed meanwhile."""

from __future__ import annotations

from collections.abc import Awaitable, Callable

import pytest
from textual import events
from textual._context import visible_screen_stack
from textual.app import App
from textual.dom import DOMNode
from textual.screen import Screen
from textual.widgets import Input

from tagbench.screens.app.app import TagbenchApp
from tagbench.screens.find.screen import FindScreen
from tagbench.screens.shared.base import TagbenchScreen
from tagbench.screens.strip.screen import StripScreen
from tagbench.screens.widgets.bars import Notice, TitleLine
from tests.screens.driver import LARGE, SMALL, ScreenDriver, at_the_bench
from tests.screens.every_card import Full

SCREENS = ("strip", "find", "tags", "clean", "buy", "build", "count", "settings")
Meanwhile = Callable[[ScreenDriver], Awaitable[None]]


@pytest.fixture(autouse=True)
def still_cursor(monkeypatch: pytest.MonkeyPatch) -> None:
    """The cursor does not blink between two looks."""
    monkeypatch.setattr(Input, "_toggle_cursor", lambda _: None)


def drawn(driver: ScreenDriver) -> list[str]:
    """Every line of the open screen, letters and colours."""
    visible_screen_stack.set(driver.app._background_screens)
    return [repr(list(strip)) for strip in driver.screen._compositor.render_strips()]


def styles(screen: Screen[object]) -> list[tuple[str, object, object]]:
    """The rules of the screen and of everything in it, down to parts of widgets."""
    return [
        (
            str(node),
            dict(node.styles.base.get_rules()),
            {name: dict(own.get_rules()) for name, own in node._component_styles.items()},
        )
        for node in screen.walk_children(with_self=True)
    ]


async def looks_as_opened_now(driver: ScreenDriver) -> None:
    """Giving all widgets their styles anew changes nothing."""
    screen = driver.screen
    before, lines = styles(screen), drawn(driver)
    DOMNode.update_node_styles(screen, animate=False)
    screen.refresh(layout=True)
    await driver.settle()
    assert styles(screen) == before
    assert drawn(driver) == lines


async def nothing(driver: ScreenDriver) -> None:
    """Only another screen is looked at."""


async def other_theme(driver: ScreenDriver) -> None:
    """Light becomes dark, or the reverse."""
    driver.app.action_light()


async def there_and_back(driver: ScreenDriver) -> None:
    """Light and dark again: the look is the same, the rules were read anew."""
    driver.app.action_light()
    await driver.settle()
    driver.app.action_light()


async def large_letters(driver: ScreenDriver) -> None:
    """Codes and keys are drawn large from now on, or no longer."""
    driver.app.action_large()


async def out_of_sight(driver: ScreenDriver) -> None:
    """The window loses the focus."""
    driver.app.post_message(events.AppBlur())


async def in_sight(driver: ScreenDriver) -> None:
    """It has it again."""
    driver.app.post_message(events.AppFocus())


async def smaller(driver: ScreenDriver) -> None:
    """There is less room, for narrower gaps."""
    await driver.pilot.resize_terminal(*SMALL)


async def larger(driver: ScreenDriver) -> None:
    """There is more room again."""
    await driver.pilot.resize_terminal(*LARGE)


async def more_styles(driver: ScreenDriver) -> None:
    """Other sheets are read that change what was there, as those of a screen opened first may."""
    sheet = driver.app.stylesheet
    sheet.add_source("Notice { text-style: underline; } Input { color: red; }", ("more", ""))
    sheet.reparse()


MEANWHILE = (
    *(nothing, other_theme, there_and_back, large_letters, out_of_sight, in_sight, smaller),
    *(other_theme, larger, other_theme, large_letters, more_styles),
)


@pytest.mark.sampled(4)
@pytest.mark.parametrize("name", SCREENS)
async def test_it_looks_as_if_it_were_opened_now(full: Full, name: str) -> None:
    """Whatever happened to the look of the app while another screen was open, or this one was."""
    async with at_the_bench(full.book, LARGE) as driver:
        for meanwhile in MEANWHILE:
            for place in ("bench", name):
                await driver.app.go(place)
                await driver.settle()
                await meanwhile(driver)
                await driver.settle()
                await driver.app.go("bench")
                await driver.settle()
                await driver.app.go(name)
                await driver.settle()
                await looks_as_opened_now(driver)


async def test_a_screen_below_another_one_too(full: Full) -> None:
    """A card and a page of a part are laid over it, and the theme changes meanwhile."""
    async with at_the_bench(full.book, LARGE) as driver:
        for _ in range(2):
            await driver.app.go("strip")
            await driver.app.open_code(next(iter(full.book.records.parts)))
            await driver.settle()
            driver.app.action_light()
            await driver.settle()
            await looks_as_opened_now(driver)
            driver.app.back()
            await driver.settle()
            driver.at(StripScreen)
            await looks_as_opened_now(driver)


async def test_what_is_the_same_is_not_styled_or_laid_out_anew(
    full: Full, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Coming back costs drawing it once, the dearest piece of the rest is left out."""
    styled: list[type[DOMNode]] = []
    laid_out: list[type[DOMNode]] = []
    update, lay_out = App.update_styles, Screen._refresh_layout

    def updated(app: TagbenchApp, node: DOMNode, animate: bool = True) -> None:
        styled.append(type(node))
        update(app, node, animate)

    def counted(screen: Screen[object], *arguments: object, **options: object) -> None:
        laid_out.append(type(screen))
        lay_out(screen, *arguments, **options)  # type: ignore[arg-type]

    monkeypatch.setattr(TagbenchApp, "update_styles", updated)
    monkeypatch.setattr(Screen, "_refresh_layout", counted)
    async with at_the_bench(full.book, LARGE) as driver:
        for _ in range(3):  # a sheet that comes with the first one is news to the others
            for kind in (StripScreen, FindScreen):
                await driver.app.go(kind.screen_name)
                await driver.settle()
        for kind in (StripScreen, FindScreen):
            styled.clear()
            laid_out.clear()
            await driver.app.go(kind.screen_name)
            await driver.settle()
            driver.at(kind)
            assert not {one for one in styled if issubclass(one, TagbenchScreen)}
            assert kind not in laid_out
        driver.app.action_light()
        await driver.settle()
        await driver.app.go("strip")
        await driver.settle()
        assert StripScreen in styled


async def test_the_title_and_the_notice_are_drawn_when_they_say_something_else(
    full: Full,
) -> None:
    """And the notice of a screen that was left is empty when it is come back to."""
    async with at_the_bench(full.book, LARGE) as driver:
        await driver.app.go("strip")
        driver.app.tell("Something was done.")
        await driver.settle()
        assert "Something was done." in driver.shown
        await driver.app.go("bench")
        await driver.settle()
        await driver.app.go("strip")
        await driver.settle()
        assert driver.said == "" and "Something was done." not in driver.shown
        notice, title = driver.screen.query_one(Notice), driver.screen.query_one(TitleLine)
        for words in ("once", "twice", "twice", ""):
            notice.tell(words)
            title.tell(f"machine {words}", len(words))
            title.show_phone(words)
            await driver.settle()
            first, *_ = driver.shown.splitlines()
            assert f"machine {words}".rstrip() in first
            assert ("tags to print" in first) is bool(words)
            assert notice.sentence == words
        notice.caution(["Wear goggles."])
        await driver.settle()
        assert "! Wear goggles." in driver.shown
        notice.clear()
        await driver.settle()
        assert "goggles" not in driver.shown
        assert not notice.has_class("-caution", "-said", "-wrong")
