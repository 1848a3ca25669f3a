"""Lines beneath a field: a question is never hidden, and what is hidden is counted and shown."""

from __future__ import annotations

import random
import re
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass
from itertools import count

from rich.cells import cell_len
from textual.app import App, ComposeResult
from textual.content import Content
from textual.geometry import Size
from textual.pilot import Pilot

from tagbench.screens.widgets.understood import LEAST_ROOM, Understood, UnderstoodEntry
from tests.examples import examples
from tests.screens.driver import until

WIDTH = 44
_WORD = re.compile(r"(?:ask|say)[0-9]{4}")
_IN_A_ROW = 5
"""Words of seven letters in a row, where the rows of an entry are set in by two columns."""


class OnlyUnderstood(App[None]):
    """Nothing but the lines."""

    CSS = "Understood { height: auto; }"

    def compose(self) -> ComposeResult:
        yield Understood()


def entries(lines: list[tuple[int, bool]], here: int) -> list[UnderstoodEntry]:
    """Entries of so many words each, no word twice; one of them has the cursor."""
    numbers = count()
    return [
        UnderstoodEntry(
            Content(" ".join(f"{'ask' if asks else 'say'}{next(numbers):04}" for _ in range(many))),
            asks=asks,
            here=at == here % len(lines),
        )
        for at, (many, asks) in enumerate(lines)
    ]


@dataclass
class Shown:
    """The lines on a screen of their own."""

    pilot: Pilot[None]
    field: Understood

    async def show(
        self, said: list[UnderstoodEntry], room: int, *, afresh: bool = True
    ) -> list[str]:
        """The rows that are drawn once these entries are shown."""
        if afresh:
            self.field.let_go()
        self.field.room = room
        self.field.show(said, in_use=True)
        wanted = self.field.get_content_height(Size(), Size(), WIDTH)
        assert await until(self.pilot, lambda: self.field.size.height == wanted)
        return self.rows

    @property
    def rows(self) -> list[str]:
        """The rows that are drawn now."""
        drawn = self.field.render().plain.split("\n")
        assert len(drawn) <= self.field.size.height
        assert all(cell_len(row) <= WIDTH for row in drawn)
        return drawn

    def turned(self, by: int) -> list[str]:
        """The rows after one key."""
        self.field.turn(by)
        return self.rows


@asynccontextmanager
async def on_a_screen() -> AsyncIterator[Shown]:
    app = OnlyUnderstood()
    async with app.run_test(size=(WIDTH, 30)) as pilot:
        yield Shown(pilot, app.query_one(Understood))


def words(drawn: list[str]) -> list[str]:
    return _WORD.findall(" ".join(drawn))


def hidden(drawn: list[str]) -> int:
    """How many lines the last row says are hidden; it says so and which key shows them."""
    assert drawn[-1].startswith("…") and ("↑" in drawn[-1] or "↓" in drawn[-1])
    return sum(map(int, re.findall(r"[0-9]+", drawn[-1])))


async def test_every_line_is_reached_and_the_first_question_stays() -> None:
    """Any entries, the cursor in any of them, any room: nothing is cut off without a sign."""
    async with on_a_screen() as on:
        for seed in range(examples(400)):
            chance = random.Random(seed)
            lines = [
                (chance.randint(1, 14), chance.random() < 0.3) for _ in range(chance.randint(1, 14))
            ]
            await _nothing_is_lost(
                on, entries(lines, chance.randrange(14)), chance.randint(LEAST_ROOM, 12)
            )


async def _nothing_is_lost(on: Shown, said: list[UnderstoodEntry], room: int) -> None:
    everything = words([one.words.plain for one in said])
    drawn = await on.show(said, room)
    assert len(drawn) <= room
    if words(drawn) == everything:
        assert not on.field.is_hidden(1)
        assert not on.field.is_hidden(-1)
        return
    first = next((words([one.words.plain]) for one in said if one.asks), [])
    stays = set(first) if -(-len(first) // _IN_A_ROW) <= room - 2 else set()
    (at_cursor,) = (words([one.words.plain]) for one in said if one.here)
    if stays or not first:
        assert at_cursor[0] in words(drawn), "what is typed is in sight"
    else:
        assert first[0] in words(drawn), "a question longer than the room comes first"
    seen: set[str] = set()
    for by in (-1, 1):
        while True:
            assert hidden(drawn) > 0
            assert stays <= set(words(drawn)), "the first question stays in sight"
            seen |= set(words(drawn))
            if not on.field.is_hidden(by):
                break
            drawn = on.turned(by)
    assert seen == set(everything), "the two keys go through all of it"


async def test_hidden_lines_are_counted_and_the_keys_named() -> None:
    """Rows of the screen, as a person counts them."""
    async with on_a_screen() as on:
        said = entries([(1, False)] * 9, here=0)
        assert len(await on.show(said, room=9)) == 9
        assert (await on.show(said, room=6))[-1] == "… and 4 more lines: ↓ shows them"
        drawn = on.turned(1)
        assert drawn[-1] == "… and 4 more lines above: ↑ shows them"
        assert words(drawn) == [f"say{at:04}" for at in range(4, 9)]
        drawn = await on.show(entries([(1, False)] * 14, here=0), room=6)
        assert drawn[-1] == "… and 9 more lines: ↓ shows them"
        assert on.turned(1)[-1] == "… more lines: ↑ 5 above, ↓ 4 below"


async def test_the_questions_behind_the_first_one_are_counted() -> None:
    """They are asked one after the other: one key answers them."""
    say, ask = (1, False), (1, True)
    async with on_a_screen() as on:
        said = entries([say, say, ask, say, say, ask, say, ask], here=0)
        drawn = await on.show(said, room=8)
        assert drawn[2] == "ask0002", "where all fits it stands in its place"
        drawn = await on.show(said, room=7)
        assert drawn[:2] == ["ask0002", "? then 2 more questions"]


async def test_the_place_that_it_took_is_kept_until_it_is_let_go() -> None:
    """What is below does not move up and down with every letter."""
    async with on_a_screen() as on:
        for many, height in ((1, 1), (3, 3), (2, 3), (1, 3)):
            await on.show(entries([(1, False)] * many, 0), room=8, afresh=False)
            assert on.field.size.height == height
        await on.show(entries([(1, False)], 0), room=8)
        assert on.field.size.height == 1
