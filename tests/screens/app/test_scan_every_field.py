"""A scan in every field of every screen and card, those of the registry: none is forgotten.

In a field that takes codes it is added; elsewhere it opens the record, or does what the screen is
for with it, and what was typed stays as it was.
"""

from __future__ import annotations

from typing import Any

import pytest
from textual.screen import Screen
from textual.widgets import Input

from tagbench.screens.frame.registry import SCREENS, ScreenEntry
from tagbench.screens.part.screen import PartScreen
from tagbench.screens.shared.base import ScreenMixin
from tagbench.screens.widgets.field import Field
from tests.screens.driver import LARGE, ScreenDriver, at_the_bench
from tests.screens.every_card import (
    Full,
    Opening,
    fields_of,
    open_card,
    open_screen,
    openings,
)


async def scan_in_every_field(driver: ScreenDriver, full: Full) -> int:
    """Types into each field and scans a part and a bag there; gives how many fields there were."""
    here, revision = driver.screen, full.book.revision
    fields = fields_of(driver)
    for field in fields:
        if driver.screen is not here or not field.region.width:
            break  # what the scan of a part is for on this screen led on from here
        for code, kind in ((full.other, "part"), (full.bag, "bin")):
            driver.clock.now += 5.0
            field.focus()
            await driver.settle()
            await driver.write("12")
            before = {one.id: one.value for one in here.query(Input)}
            await driver.scan(code)
            await came_of_it(driver, here, field, code, kind, before)
    assert full.book.revision == revision
    return len(fields)


async def came_of_it(
    driver: ScreenDriver,
    here: Screen[Any],
    field: Input,
    code: str,
    kind: str,
    before: dict[str | None, str],
) -> None:
    """Checks what the scan did, and goes back to where it was made."""
    mine = getattr(type(here), "takes_scan", None) is not ScreenMixin.takes_scan
    row = field.parent
    takes = row.takes_code if isinstance(row, Field) else ""
    others = {name: text for name, text in before.items() if name != field.id}
    if takes in (kind, "tag"):
        assert driver.screen is here, field.id
        assert code in field.value, field.id
        if isinstance(row, Field) and row.takes_list:
            assert field.value.startswith(before[field.id]), field.id
    elif driver.screen is not here:
        if kind == "part" and not mine:
            assert driver.at(PartScreen).code == code
        await driver.press("escape")
        assert driver.screen is here, field.id
        assert field.value == before[field.id], field.id
    else:
        # The screen has a use of its own for it.
        assert mine, field.id
        assert field.value == before[field.id], field.id
    now = {one.id: one.value for one in driver.screen.query(Input) if one.id != field.id}
    assert now == others, field.id


@pytest.mark.sampled(15)
@pytest.mark.parametrize("opening", openings(), ids=str)
async def test_a_scan_in_every_field_of_a_card(full: Full, opening: Opening) -> None:
    async with at_the_bench(full.book, LARGE) as driver:
        await open_card(driver, full, opening)
        assert isinstance(driver.screen, opening.kind)
        found = await scan_in_every_field(driver, full)
        assert found == len(fields_of(driver))


@pytest.mark.sampled(8)
@pytest.mark.parametrize("entry", SCREENS, ids=lambda entry: entry.name)
async def test_a_scan_in_every_field_of_a_screen(full: Full, entry: ScreenEntry) -> None:
    async with at_the_bench(full.book, LARGE) as driver:
        await open_screen(driver, full, entry.name)
        await scan_in_every_field(driver, full)
