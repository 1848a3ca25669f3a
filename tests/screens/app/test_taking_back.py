"""Whatever a key writes is asked about first, or the notice names the key that takes it back.

Every action of every screen and card is pressed over one full book. Empty fields get their own
example typed in, a card that opens is gone on with by ↓ and Enter; then the key that the notice
names is pressed, and the book must be as before. An action that writes right away or takes
something away must have written or asked, so that a new one cannot be forgotten: where the full
book has nothing for it to work on, `BEFORE` and `TYPED` bring that about.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from textual.widgets import Input

from tagbench.book import Book
from tagbench.book.operations.away import AwayForm, send_away
from tagbench.book.operations.bins import move_bin
from tagbench.book.operations.building import FitForm, fit_part, missing_fasteners
from tagbench.book.operations.buying import order, wrong_came
from tagbench.book.operations.care import (
    acknowledge_cautions,
    old_piece_gone,
    soak,
    tick_off,
    undecided,
)
from tagbench.book.operations.finishing import finish
from tagbench.book.operations.machines import add
from tagbench.book.operations.making import to_make
from tagbench.book.operations.numbering import add_number
from tagbench.book.operations.phones import pair
from tagbench.book.operations.strip import edit
from tagbench.book.operations.tagging import unqueue
from tagbench.book.operations.wanting import WantForm, add_want, edit_want
from tagbench.book.undoing import is_preference
from tagbench.records import Finish, Gasket, PartNumber, replace
from tagbench.screens.app.history import HistoryDialog
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.registry import SCREENS, ScreenEntry
from tagbench.screens.shared.base import ScreenMixin, TagbenchDialog
from tagbench.screens.shared.confirm import ConfirmDialog
from tagbench.screens.shared.unsaved import UnsavedDialog
from tagbench.screens.widgets.bars import Notice
from tagbench.screens.widgets.field import Field
from tests.screens.driver import LARGE, ScreenDriver, at_the_bench
from tests.screens.every_card import Full, Opening, open_card, open_screen, openings
from tests.screens.reserved_keys import FIELD_KEYS

DEEPEST = 4
"""So many cards over each other are gone on with."""
TAKES_AWAY = re.compile(
    r"\b(drop|remove|delete|lost|throw|thrown|takes? (out|away|off|back)|forget|gives? up|gone|"
    r"call off|nothing comes|came off|never off)\b",
    re.IGNORECASE,
)
"""Words of an action that takes something away."""
NOT_HERE = {
    "BackupsScreen enter": "opens the copy, whose own screen takes back",
    "TraceScreen delete": "leaves a hole out of what is traced; nothing is written before Keep",
    "LaidDialog delete": "leaves a group out of what is confirmed; nothing is written before Take",
    "UnsavedDialog ctrl+d": "forgets what was typed; nothing of it is in the book yet",
    "PhotosFolderScreen ctrl+r": "forgets what was typed; nothing is in the book yet",
    "StripScreen ctrl+o": "names the part before in the form; nothing is written before Save",
}
"""What may write nothing although its words say so → why."""


def _ordered(full: Full) -> None:
    edit_want(full.book, 1, WantForm(deposit="20.00"))
    order(full.book, [1])


def _on_the_machine(full: Full) -> None:
    for code in (full.part, full.other):
        fit_part(full.book, code, FitForm(anyway=True, why="trial"))


def _to_make(full: Full) -> None:
    tick_off(full.book, [full.part], "replace")
    gasket = Gasket(material="cork", thickness_mm=1, width_mm=90, height_mm=60)
    to_make(full.book, full.part, gasket)
    add_want(full.book, WantForm(what="felt seal"))


BEFORE: dict[str, Callable[[Full], object]] = {
    "BackupScreen enter": lambda full: edit(full.book, full.part, note="after the copy"),
    "CleanScreen u": lambda full: undecided(full.book, list(full.book.records.parts)),
    "BuyScreen n": _ordered,
    "WrongDialog enter": _ordered,
    "WrongDialog ctrl+r": lambda full: wrong_came(full.book, 1, "left-hand one"),
    "AwayScreen h": lambda full: send_away(full.book, [full.other], AwayForm(who="Hill Plating")),
    "CleanScreen x": lambda full: tick_off(full.book, list(full.book.records.parts), "replace"),
    "InspectScreen x": lambda full: tick_off(full.book, [full.part], "replace"),
    "CautionsScreen ctrl+r": lambda full: acknowledge_cautions(full.book, ["brake dust"], "TP"),
    "PartScreen ctrl+b": lambda full: edit(full.book, full.part, bin=""),
    "PartScreen ctrl+r": lambda full: unqueue(full.book, [full.part]),
    "PartScreen ctrl+d": lambda full: [
        edit(full.book, part.code, behind=())
        for part in full.book.records.parts.values()
        if full.part in part.behind
    ],
    "BinScreen ctrl+b": lambda full: move_bin(full.book, full.bag, ""),
    "BinScreen ctrl+r": lambda full: unqueue(full.book, [full.bag]),
    "AgainDialog enter": lambda full: unqueue(full.book, list(full.book.records.tags)),
    "FinishDialog ctrl+r": lambda full: finish(full.book, [full.part], Finish(what="painted")),
    "FitDialog n": _on_the_machine,
    "FitDialog o": _on_the_machine,
    "ReachDialog o": _on_the_machine,
    "GasketDialog ctrl+o": _to_make,
    "MadeOfDialog ctrl+n": lambda full: edit(full.book, full.part, position="left"),
    "KindDialog ctrl+r": lambda full: edit(full.book, full.part, kind="chain"),
    "ExplainDialog enter": lambda full: missing_fasteners(full.book, full.part, {1: 1}),
    "LeftOverDialog ctrl+o": lambda full: missing_fasteners(full.book, full.part, {1: 1}),
    "MachineDialog enter": lambda full: add(full.book, "Second machine", "SM"),
    "NumbersDialog ctrl+r": lambda full: add_number(
        full.book, full.part, PartNumber(number="35-0300")
    ),
    "PhoneScreen ctrl+r": lambda full: pair(full.book, "Pocket", "x"),
    "PhoneNameDialog enter": lambda full: pair(full.book, "Pocket", "x"),
    "OldPieceDialog enter": lambda full: tick_off(full.book, [full.part], "replace"),
    "OldPieceDialog k": lambda full: old_piece_gone(full.book, [full.part], "pattern"),
    "SoakOutDialog enter": lambda full: soak(full.book, [full.part], tray="tray 2"),
}
"""Class and key → what is brought about first; it stays for the keys behind it."""
FIRST = {"BuyScreen n": ("right",), "InspectScreen delete": (), "BuildScreen r": ("down",)}
"""Class and key → what is pressed first."""
TYPED: dict[str, dict[str, str]] = {
    "StripScreen": {"name": "kick spring", "behind": "", "photo": "", "number": ""},
    "DrawerDialog": {"count": "20"},
    "RenameDialog": {"bin-name": "Box 77"},
    "LinesDialog": {"line-1": "1"},
    "ClosingDialog": {"reason": "sold"},
    "ExplainDialog": {"why": "of the lawnmower"},
    "MachineDialog": {"machine-name": "Third machine"},
    "NumbersDialog": {"number": "35-0301"},
    "PhoneNameDialog": {"phone-name": "Workshop"},
    "RulerDialog": {"left": "100", "across": "101", "top": "100", "down": "101"},
    "LinksDialog": {"behind": ""},
}
"""Class → what is typed into its fields, by their ids."""


def state(book: Book) -> dict[str, Any]:
    """All records, without the counters, which never go back, and the codes that were given out."""
    records = book.records
    tables = {name: getattr(records, name) for name in records.__struct_fields__}
    tables["tags"] = {code: tag for code, tag in records.tags.items() if tag.kind != "gone"}
    tables["desk"] = replace(records.desk, serials={}, ids={})
    return {
        name: dict(table) if isinstance(table, Mapping) else table for name, table in tables.items()
    }


def own_actions(kind: type[ScreenMixin]) -> Iterator[Action]:
    """What the screen or card itself does; leaving it and moving about in it changes nothing."""
    for action in kind.all_actions():
        if action.action not in ("back", "close") and not action.action.startswith("app."):
            yield action


def must_write(name: str, action: Action) -> bool:
    """Whether the action writes right away or takes something away, as its own words say."""
    words = f"{action.description} {action.tooltip}"
    return name not in NOT_HERE and bool(action.writes or TAKES_AWAY.search(words))


async def fill(driver: ScreenDriver, full: Full) -> None:
    """Types into the fields what `TYPED` says, else into each empty one what its example shows."""
    typed = TYPED.get(type(driver.screen).__name__, {})
    for field in driver.screen.query(Input):
        shown = field.placeholder.removeprefix("e.g. ")
        row = field.parent
        text = typed.get(field.id or "")
        if text is None and shown != field.placeholder and not field.value:
            lists = isinstance(row, Field) and row.takes_list
            text = shown if lists else re.split(r", |;| or ", shown)[0]
        if text is None and type(driver.screen).__name__ == "PhotoDialog":
            text = str(full.book.photos / full.book.records.parts[full.part].photos[0].file)
        if text is not None and field.region:
            field.focus()
            await driver.settle()
            field.value = ""
            await driver.write(text)


async def go_on(driver: ScreenDriver, full: Full, here: Any, revision: int) -> bool:
    """Answers the cards that opened, until the book has changed; whether one of them asked."""
    asked = False
    for _ in range(DEEPEST):
        card = driver.screen
        if full.book.revision != revision or card is here or not isinstance(card, TagbenchDialog):
            break
        asked = asked or isinstance(card, ConfirmDialog)
        await fill(driver, full)
        await driver.press("down", "enter")
    return asked


async def taken_back(driver: ScreenDriver, before: dict[str, Any]) -> str:
    """Presses the key that the notice names; what is wrong with it."""
    notice = driver.screen.query_one(Notice)
    said = f"{notice.sentence} {notice.way_back}"
    if said.count("Ctrl+T") != 1:
        return f"does not name the way back once: “{said}”"
    await driver.press("ctrl+t")
    if not isinstance(driver.screen, HistoryDialog):
        return f"Ctrl+T does nothing on {driver.screen}: “{said}”"
    await driver.press("ctrl+t")
    after = state(driver.app.own_book)
    wrong = [name for name in before if before[name] != after[name]]
    return f"{wrong} not as before: “{said}”" if wrong else ""


async def walk(
    driver: ScreenDriver, full: Full, opened: Callable[[], Any], kind: type[ScreenMixin]
) -> list[str]:
    """What is wrong with the actions of one screen or card."""
    wrong = []
    for action in own_actions(kind):
        name = f"{kind.__name__} {action.first_key}"
        while len(driver.app.screen_stack) > 1:
            await driver.app.pop_screen()
        if prepare := BEFORE.get(name):
            prepare(full)
        await opened()
        if isinstance(driver.screen, UnsavedDialog) and kind is not UnsavedDialog:
            await driver.press("ctrl+d")  # what an action before typed and did not save
        await driver.press(*FIRST.get(name, ()))
        here, revision, before = driver.screen, full.book.revision, state(full.book)
        if isinstance(here, TagbenchDialog) or kind.__name__ in TYPED:
            await fill(driver, full)
        await driver.press(action.first_key)
        opened_card = driver.screen is not here and isinstance(driver.screen, TagbenchDialog)
        asked = await go_on(driver, full, here, revision)
        changes = full.book.history(limit=full.book.revision - revision)
        if changes and not all(map(is_preference, changes)):  # those are no steps of undo
            if found := await taken_back(driver, before):
                wrong.append(f"{name} {action.description}: {found}")
                return wrong  # what is behind it would find another book
        elif not changes and not opened_card and not asked and must_write(name, action):
            said = driver.screen.query_one(Notice).sentence
            wrong.append(f"{name} {action.description} wrote nothing: “{said}”")
    return wrong


@pytest.fixture
def at_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Files that are written land beside the book."""
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.chdir(tmp_path)


@pytest.mark.sampled(8)
@pytest.mark.usefixtures("at_home")
@pytest.mark.parametrize("entry", SCREENS, ids=lambda entry: entry.name)
async def test_what_a_key_of_a_screen_writes_can_be_taken_back(
    full: Full, entry: ScreenEntry
) -> None:
    """Each key, one by one."""
    async with at_the_bench(full.book, LARGE) as driver:

        async def opened() -> None:
            await open_screen(driver, full, entry.name)

        assert not await walk(driver, full, opened, entry.kind())


@pytest.mark.sampled(15)
@pytest.mark.usefixtures("at_home")
@pytest.mark.parametrize("opening", openings(), ids=str)
async def test_what_a_key_of_a_card_writes_can_be_taken_back(full: Full, opening: Opening) -> None:
    """Each key, one by one."""
    if opening.kind is HistoryDialog:
        return  # the next test
    async with at_the_bench(full.book, LARGE) as driver:

        async def opened() -> None:
            await open_card(driver, full, opening)

        assert not await walk(driver, full, opened, opening.kind)


async def test_what_was_taken_back_is_put_back_with_the_keys_that_are_named(full: Full) -> None:
    """Ctrl+T, then Ctrl+Y on its card."""
    edit(full.book, full.part, note="rattled more")
    before = state(full.book)
    async with at_the_bench(full.book) as driver:
        await driver.press("ctrl+t", "ctrl+t")
        assert full.book.records.parts[full.part].note == "rattled"
        assert "Ctrl+T, Ctrl+Y puts it back." in " ".join(driver.shown.split())
        await driver.press("ctrl+t", "ctrl+y")
        assert state(full.book) == before
        assert "Ctrl+T takes it back." in " ".join(driver.shown.split())


async def test_what_writes_nothing_names_no_key(full: Full) -> None:
    """Nor does what only changes how the screens look."""
    async with at_the_bench(full.book, LARGE) as driver:
        await driver.press("f4", "c")
        assert driver.said == "With cut marks."
        assert not driver.screen.query_one(Notice).way_back
        driver.app.action_large()
        await driver.settle()
        assert "are drawn" in driver.said
        assert not driver.screen.query_one(Notice).way_back


@pytest.mark.sampled(15)
@pytest.mark.parametrize("opening", openings(), ids=str)
async def test_no_key_of_a_card_with_fields_edits_a_field(full: Full, opening: Opening) -> None:
    """The field would take it, and the card would never get it."""
    async with at_the_bench(full.book, LARGE) as driver:
        await open_card(driver, full, opening)
        if driver.screen.query(Input):
            used = {key for action in own_actions(opening.kind) for key in action.key.split(",")}
            assert not used & FIELD_KEYS
