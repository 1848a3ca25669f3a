"""The list draws only what is in sight; the large letters and proposals for fields."""

from __future__ import annotations

from pathlib import Path

import pytest
from rich.cells import cell_len
from textual.app import App, ComposeResult

from tagbench.screens.frame.messages import RowOpened
from tagbench.screens.widgets.big_code import LETTERS, big
from tagbench.screens.widgets.columns import columns, cut, cut_apart
from tagbench.screens.widgets.fastener_field import read_lines
from tagbench.screens.widgets.rows import Rows
from tagbench.screens.widgets.suggest import KnownPaths, KnownWords, common_start, completions
from tests.screens.driver import until


class ListApp(App[None]):
    """Ten thousand rows."""

    def __init__(self) -> None:
        super().__init__()
        self.drawn: list[int] = []
        self.opened: list[int] = []

    def compose(self) -> ComposeResult:
        yield Rows(self.draw, str, id="rows", selectable=True)

    def draw(self, number: int, width: int) -> list[str]:
        """Notes that the row was drawn."""
        self.drawn.append(number)
        return [f"row {number}"]

    def on_row_opened(self, message: RowOpened[int]) -> None:
        """Notes that the row was opened."""
        self.opened.append(message.item)


async def test_only_rows_in_sight_are_drawn() -> None:
    """Ten thousand cost no more than a screenful."""
    app = ListApp()
    async with app.run_test(size=(40, 10)) as pilot:
        rows = app.query_one(Rows)
        rows.show(range(10_000))
        assert await until(pilot, lambda: 0 in app.drawn)
        assert set(app.drawn) <= set(range(10))
        app.drawn.clear()
        rows.action_last()
        assert await until(pilot, lambda: 9_999 in app.drawn)
        assert set(app.drawn) <= set(range(9_980, 10_000))
        assert rows.current == 9_999


async def test_the_cursor_stays_on_its_row_when_others_come_and_go() -> None:
    """Marks stay with their rows too."""
    app = ListApp()
    async with app.run_test(size=(40, 10)) as pilot:
        rows = app.query_one(Rows)
        rows.show([3, 5, 7])
        rows.action_step(1)
        rows.action_select()
        assert (rows.current, rows.selected_keys) == (7, {"5"})
        rows.show([1, 2, 3, 7])
        assert (rows.current, rows.selected_keys) == (7, set())
        await pilot.press("enter")
        assert app.opened == [7]
        rows.show([])
        assert rows.current is None


async def test_a_click_moves_the_cursor_and_a_second_one_opens() -> None:
    """The mouse works."""
    app = ListApp()
    async with app.run_test(size=(40, 10)) as pilot:
        app.query_one(Rows).show([3, 5, 7])
        await pilot.click("#rows", offset=(5, 2))
        assert app.query_one(Rows).current == 7
        await pilot.click("#rows", offset=(5, 2))
        assert await until(pilot, lambda: app.opened == [7])


def test_large_letters_are_all_there() -> None:
    """Every character that a code can hold, three lines each, none like another."""
    drawn = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ-"
    assert set(LETTERS) >= set(drawn)
    assert len({tuple(big(letter)) for letter in drawn}) == len(drawn)
    assert {len(line) for letter in drawn for line in big(letter)} == {3, 5}


def test_columns_have_their_width_whatever_stands_in_them() -> None:
    """What is too long ends in …, also where letters are two cells wide."""
    assert columns(20, ("TP-001-N", 8), ("backing plate", 0)) == "TP-001-N   backing… "
    assert columns(12, ("a", 0), ("7", -3), gap=1) == "a          7"
    assert cut("日本語", 4) == "日…"
    assert cut("abc", 3) == "abc"


async def test_known_words_are_proposed_without_changing_what_was_typed() -> None:
    """Case does not matter; the letters that were typed stay."""
    suggester = KnownWords(lambda: ["Front wheel / Brake", "Frame"])
    assert await suggester.get_suggestion("front w") == "front wheel / Brake"
    assert await suggester.get_suggestion("") is None
    assert await suggester.get_suggestion("x") is None


@pytest.fixture
def pictures(tmp_path: Path) -> Path:
    """A folder with pictures, other files, a folder and a hidden one."""
    for name in ("hub 1.jpg", "Hub 2.PNG", "notes.txt", ".hidden.jpg"):
        (tmp_path / name).touch()
    (tmp_path / "hubs").mkdir()
    return tmp_path


async def test_paths_are_completed_from_the_disk(pictures: Path) -> None:
    """Folders and pictures, nothing else; hidden ones only when asked for."""
    names = [Path(path).name for path in completions(f"{pictures}/h", 10)]
    assert names == ["hub 1.jpg", "Hub 2.PNG", "hubs"]
    assert completions(f"{pictures}/.h", 10) == [f"{pictures}/.hidden.jpg"]
    assert completions(f"{pictures}/nowhere/", 10) == []
    assert await KnownPaths().get_suggestion(f"{pictures}/hubs") == f"{pictures}/hubs/"


def test_a_path_is_completed_as_far_as_it_is_clear() -> None:
    """Case of the disk wins where all agree."""
    assert common_start(["/a/hub 1.jpg", "/a/hub 2.jpg"], "/a/h") == "/a/hub "
    assert common_start(["/a/hub.jpg"], "/a/H") == "/a/Hub.jpg"
    assert common_start([], "/a/x") == "/a/x"


def test_fasteners_typed_in_one_field_are_read_one_by_one() -> None:
    """What is understood is not held back by what is not."""
    good, bad = read_lines("4x M5x0.8x12 pan; what nonsense")
    assert (good.fastener.quantity, good.fastener.words) == (4, "")
    assert (bad.fastener.words, bad.text) == ("what nonsense", "what nonsense")


def test_names_that_would_look_alike_are_cut_apart() -> None:
    """As the assemblies of one machine on Bench; no line is wider than its column."""
    names = ["Carburettor / Float chamber", "Carburettor / Slide", "Steering head bearings"]
    shown = [cut_apart(name, 15, names) for name in names]
    assert shown == ["Carbu…t chamber", "Carbu…r / Slide", "Steering head…"]
    assert cut_apart("Engine", 15, ["Engine / Clutch"]) == "Engine"
    for width in range(1, 14):
        assert cell_len(cut_apart("表表表表表表", width, ["表表表表表表表"])) <= width
