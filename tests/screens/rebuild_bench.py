"""A clutch behind two covers, clean and ready to go back on; and the way to the screens."""

from __future__ import annotations

from typing import NamedTuple

from tagbench.book import Book
from tagbench.book.operations.care import tick_off
from tagbench.book.operations.machines import add
from tagbench.book.operations.settings import SettingForm, add_setting
from tagbench.book.operations.strip import StripForm, strip_part
from tagbench.trade.fasteners.text import parse_fasteners
from tests.screens.driver import ScreenDriver

CLUTCH = "Engine / Clutch"


class Clutch(NamedTuple):
    """The codes of the parts, outermost first: the order in which they came off."""

    lever: str
    """Kick start lever on a pinch bolt with a torque."""
    cover: str
    """Outer cover on three screws with a torque."""
    inner: str
    """Inner cover on two screws without one."""
    hub: str
    """Clutch hub on a nut with a torque; a tab washer that is renewed."""


def clutch(book: Book, *, clean: bool = True) -> Clutch:
    """Writes the parts down, each behind the one before; the hub re-opens a setting."""
    add(book, "Tarnbrook Packman", "TP")
    lever = _off(book, "Kick start lever", "M8x30 hex, 20-25 N·m")
    cover = _off(book, "Outer cover", "3x M6x25 cheese, 7-9 N·m", lever, sits="dowels stay in")
    inner = _off(book, "Inner cover", "2x M5x12 pan", cover)
    hub = _off(book, "Clutch hub", "nut M14x1.5, 40-48 N·m; tab washer 14.5", inner)
    codes = Clutch(lever, cover, inner, hub)
    if clean:
        tick_off(book, codes, "degreased")
        tick_off(book, codes, "reuse")
    add_setting(book, SettingForm("clutch free play", "3-5 mm", CLUTCH, after=(hub,)))
    return codes


def _off(book: Book, name: str, fasteners: str, behind: str = "", sits: str = "") -> str:
    form = StripForm(
        name=name,
        assembly=CLUTCH,
        fasteners=parse_fasteners(fasteners),
        sits_how=sits,
        bin="Shelf A / Box 2",
        behind=(behind,) if behind else (),
    )
    return strip_part(book, form).code


async def go_to_build(driver: ScreenDriver) -> None:
    """Opens Build and waits until its lists are worked out."""
    await driver.press("f7")
    await driver.until(lambda: f"Order {len(driver.app.book.records.parts)}" in driver.shown)


async def caught_up(driver: ScreenDriver, words: str) -> None:
    """Waits until Build shows what has just been done."""
    await driver.until(lambda: words in driver.shown)
