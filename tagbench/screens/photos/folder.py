"""Photos: a folder of pictures, each offered for the part that came off when it was taken."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import timedelta
from pathlib import Path

from textual import on, work
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widgets import Input, Static

from tagbench.book import Book
from tagbench.book.operations.machines import chosen
from tagbench.book.operations.photos import Folder, attach, look_through, propose
from tagbench.errors import BadInput, TagbenchError
from tagbench.records import Part, Photo, Tables
from tagbench.rules.photos_by_time import Match, clock_guesses, parse_ahead, spell_ahead
from tagbench.rules.scan import Opened
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Moved, RowOpened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.photos.screen import MOMENTS, read_moment
from tagbench.screens.shared.base import CARDS, TagbenchScreen
from tagbench.screens.widgets.columns import bar, columns
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.photo import PhotoView
from tagbench.screens.widgets.rows import Rows
from tagbench.screens.widgets.suggest import KnownPaths, KnownWords

NOTHING = "Type a folder of pictures above, then Enter."
STEPS = 50
"""So many times at most the progress is said again."""


class PhotosFolderScreen(TagbenchScreen):
    """The pictures of a folder in the order they were taken; those that are sure are selected."""

    screen_name = "photos"
    CSS_PATH = stylesheets("field", "photos")
    AUTO_FOCUS = "#folder"
    actions = (
        Action("enter", "look", "Look", "Reads the folder; in the list: chooses another part."),
        Action("space", "", "Select", "Selects a picture, or not.", show=False),
        Action("ctrl+o", "attach", "Put on", "Copies the selected pictures and puts them on."),
        Action("ctrl+y", "select_all", "Select all", "Selects every picture that has a part."),
        Action("ctrl+r", "clear", "Clear", "Forgets the folder.", show=False),
    )

    def __init__(self) -> None:
        super().__init__()
        self._offer: Offer | None = None

    def body(self) -> ComposeResult:
        yield Field("Folder", id="folder", example="~/Pictures/", suggester=KnownPaths())
        with Horizontal(id="folder-fields"):
            yield Field("Clock ahead", id="ahead", hint="of the camera, such as 1:00")
            yield Field("Taken", id="moment", hint="before", suggester=KnownWords(lambda: MOMENTS))
        yield Static("", id="folder-words", classes="quiet", markup=False)
        with Horizontal():
            with Vertical(id="pictures-side"):
                yield Rows(
                    self.draw,
                    lambda match: match.picture,
                    id="pictures",
                    height=2,
                    empty=NOTHING,
                    selectable=True,
                )
            yield PhotoView()

    def __getitem__(self, name: str) -> Field:
        return self.query_one(f"#{name}-field", Field)

    @property
    def rows(self) -> Rows[Match]:
        """The pictures."""
        return self.query_one("#pictures", Rows)

    @property
    def mark(self) -> str:
        """Mark of the machine that the pictures are offered to."""
        machine = chosen(self.tables)
        return machine.mark if machine is not None else ""

    # Looking through the folder

    @on(Input.Submitted, "#folder, #ahead, #moment")
    def action_look(self) -> None:
        with self.refusing():
            if not self["folder"].value:
                raise BadInput("Type the folder that the pictures are in.")
            parse_ahead(self["ahead"].value)
            self._look(Path(self["folder"].value).expanduser())

    @work(thread=True, exclusive=True)
    def _look(self, folder: Path) -> None:
        """Beside the screen, since a folder may hold hundreds."""
        try:
            found = look_through(self.book, folder, self._progress)
        except TagbenchError as error:
            self.app.call_from_thread(self.bench_app.refuse, str(error))
        else:
            self.app.call_from_thread(self._looked, found)

    def _progress(self, done: int, of: int) -> None:
        if done == of or done % max(1, of // STEPS) == 0:
            words = f"Reading {done} of {of}   {bar(30, of, (done, '█'))}"
            self.app.call_from_thread(self.bench_app.tell, words)

    def _looked(self, found: Folder) -> None:
        self._offer = Offer(found, parse_ahead(self["ahead"].value))
        self.show_book()
        matches = self.rows.items
        sure = {match.picture for match in matches if match.code and match.sure}
        self.rows.selected_keys = sure
        self.rows.focus()
        self.tell(f"Selected those that are sure: {len(sure)} of {len(matches)}.")

    def show_book(self) -> None:
        offer = self._offer
        if offer is not None:
            matches = offer.matches(self.book, self.mark)
            self.rows.show(matches)
            words = offer.words(matches, self.tables.parts_of(self.mark))
            self.query_one("#folder-words", Static).update(words)
            self.show_picture()

    # The list

    def draw(self, match: Match, width: int) -> list[str]:
        """Two lines: the picture and its part; when it was taken and why that part."""
        return self._offer.draw(match, self.tables, width) if self._offer is not None else []

    @on(Moved)
    def show_picture(self) -> None:
        """Shows the picture under the cursor."""
        match = self.rows.current
        path = Path(match.picture) if match is not None else Path()
        shown = [Photo(file=path.name)] if match is not None else []
        self.query_one(PhotoView).show(path.parent, shown)

    def action_select_all(self) -> None:
        """Selects every picture that has a part, or none of them."""
        offer = self._offer
        if offer is not None:
            every = {match.picture for match in self.rows.items if offer.code_of(match)}
            self.rows.selected_keys = set() if self.rows.selected_keys == every else every
            self.rows.refresh()

    @on(RowOpened)
    @work(group=CARDS, description="see its name")
    async def choose_part(self, message: RowOpened[Match]) -> None:
        """Asks which part the picture shows."""
        from tagbench.screens.shared.pickers import WhichPartDialog

        match = message.item
        nearest = [code for code in (match.code, *match.others) if code]
        name = Path(match.picture).name
        code = await self.ask(WhichPartDialog(f"Which part does {name} show?", nearest))
        self._choose(match, code)

    def _choose(self, match: Match, code: str | None) -> None:
        if code is not None and self._offer is not None:
            self._offer.chosen[match.picture] = code
            self.rows.selected_keys.add(match.picture)
            self.rows.refresh()

    def takes_scan(self, opened: Opened) -> bool:
        """A scanned part is the one that the picture under the cursor shows."""
        match = self.rows.current
        if opened.kind != "part" or match is None:
            return False
        self._choose(match, opened.code)
        self.tell(f"{Path(match.picture).name} shows {opened.code}.")
        return True

    # Putting them on

    def action_attach(self) -> None:
        offer, selected = self._offer, self.rows.selected_keys
        with self.refusing():
            if offer is None:
                raise BadInput(NOTHING)
            pairs = offer.pairs(self.rows.items, selected)
            parts = attach(self.book, pairs, moment=read_moment(self["moment"].value))
            offer.put_on(selected)
            self.rows.selected_keys.clear()
            self.catch_up()
            self.tell(attached_words(len(pairs), len(parts)))

    def action_clear(self) -> None:
        self._offer = None
        self.rows.selected_keys.clear()
        self.rows.show([])
        self.query_one("#folder-words", Static).update("")
        self.show_picture()
        self["folder"].input.focus()


def attached_words(pictures: int, parts: int) -> str:
    """How many pictures were put on how many parts."""
    many = "a picture" if pictures == 1 else f"{pictures} pictures"
    return f"Put {many} on {parts} {'part' if parts == 1 else 'parts'}; originals stay."


ROOMY = 55
"""From so many columns on it is said in full why a part is offered."""


class Offer:
    """What was found in a folder, and the parts that the person chose."""

    def __init__(self, found: Folder, ahead: timedelta) -> None:
        """`ahead`: how far the camera's clock runs ahead."""
        self.found = found
        self.ahead = ahead
        self.chosen: dict[str, str] = {}
        """Picture → code of the part that the person chose for it."""

    def matches(self, book: Book, mark: str) -> list[Match]:
        """The pictures with the parts they are offered for, in the order they were taken."""
        return propose(book, self.found, mark, self.ahead)

    def code_of(self, match: Match) -> str:
        """Code of the part for a picture: the one chosen, else the one offered."""
        return self.chosen.get(match.picture, match.code)

    def pairs(self, matches: Sequence[Match], selected: Collection[str]) -> list[tuple[Path, str]]:
        """The selected pictures with their parts; BadInput for one that has none."""
        pairs = [(Path(m.picture), self.code_of(m)) for m in matches if m.picture in selected]
        without = [path.name for path, code in pairs if not code]
        if without:
            raise BadInput(f"{without[0]} has no part yet; Enter chooses one.")
        return pairs

    def put_on(self, selected: Collection[str]) -> None:
        """These pictures are in the book now."""
        found = self.found
        gone = tuple(path for path, _ in found.pictures if str(path) in selected)
        left = tuple(one for one in found.pictures if str(one[0]) not in selected)
        self.found = Folder(left, (*found.known, *gone), found.unreadable)

    def words(self, matches: Sequence[Match], parts: Sequence[Part]) -> str:
        """How many pictures there are, and what another setting of the clock would find."""
        found = self.found
        words = [f"{len(matches)} pictures, {len(found.known)} more are in the book already"]
        words += [f"{len(found.unreadable)} cannot be read"] if found.unreadable else []
        times = {str(path): time for path, time in found.pictures}
        hits = sum(bool(match.code) for match in matches)
        for guess, more in clock_guesses(times, parts)[:1]:
            if guess != self.ahead and more > hits:
                words.append(f"with the clock {spell_ahead(guess)} ahead {more} find a part")
        return "; ".join(words)

    def draw(self, match: Match, tables: Tables, width: int) -> list[str]:
        """Two lines: the picture and its part; when it was taken and why that part."""
        code = self.code_of(match)
        part = tables.parts.get(code)
        taken = f"{match.taken:%d %b %H:%M}" if match.taken else "no time"
        why = "chosen by you" if match.picture in self.chosen else match.words
        if width < ROOMY:
            why = why.replace(" it was written down", "")
        whose = f"{part.said} {code}" if part is not None else "no part"
        return [
            columns(width, (Path(match.picture).name, 13), (f"→ {whose}", 0), gap=2),
            columns(width, (taken, 13), (why, 0), gap=2),
        ]
