"""Photos: a folder of pictures, each offered for the part that came off when it was taken."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from textual import on, work
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widgets import Input, Static

from tagbench.book.work.machines import chosen
from tagbench.book.work.photos import Folder, attach, look_through, propose
from tagbench.errors import BadInput, TagbenchError
from tagbench.records import Photo
from tagbench.rules.photos_by_time import Match, clock_guesses, parse_ahead, spell_ahead
from tagbench.rules.scan import Opened as Tag
from tagbench.screens.actions import Action
from tagbench.screens.base import TagbenchScreen
from tagbench.screens.dialogs.caption import MOMENTS, read_moment
from tagbench.screens.looks import look
from tagbench.screens.messages import Moved, Opened
from tagbench.screens.widgets.bar import bar
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.photo import PhotoView
from tagbench.screens.widgets.rows import Rows
from tagbench.screens.widgets.suggest import KnownPaths, KnownWords

NOTHING = "Type a folder of pictures above, then Enter."
ROOMY = 55
"""From so many columns on it is said in full why a part is offered."""
STEPS = 50
"""So many times at most the progress is said again."""


class PhotosFolderScreen(TagbenchScreen):
    """The pictures of a folder in the order they were taken; those that are sure are marked."""

    place = "photos"
    CSS_PATH = look("field", "photos")
    AUTO_FOCUS = "#folder"
    actions = (
        Action("enter", "look", "Look", "Reads the folder; in the list: chooses another part."),
        Action("space", "", "Mark", "Marks a picture, or takes its mark away.", in_bar=False),
        Action("ctrl+o", "attach", "Put on", "Copies the marked pictures and puts them on."),
        Action("ctrl+y", "mark_all", "Mark all", "Marks every picture that has a part."),
        Action("ctrl+r", "clear", "Clear", "Forgets the folder.", in_bar=False),
    )

    def __init__(self) -> None:
        super().__init__()
        self._found: Folder | None = None
        self._codes: dict[str, str] = {}
        """Picture → code of the part that the person chose for it."""

    def body(self) -> ComposeResult:
        yield Field("Folder", id="folder", hint="~/Pictures/", suggester=KnownPaths())
        with Horizontal(id="folder-fields"):
            yield Field("Clock ahead", id="ahead", hint="of the camera: 1:00")
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
                    markable=True,
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
        """Reads when the pictures of the folder were taken."""
        with self.refusing():
            if not self["folder"].value:
                raise BadInput("Type the folder that the pictures lie in.")
            parse_ahead(self["ahead"].value)
            self._look(Path(self["folder"].value).expanduser())

    @work(thread=True, exclusive=True)
    def _look(self, folder: Path) -> None:
        """Beside the screen, since a folder may hold hundreds."""
        try:
            found = look_through(self.book, folder, self._progress)
        except TagbenchError as error:
            self.bench_app.call_from_thread(self.bench_app.refuse, str(error))
        else:
            self.bench_app.call_from_thread(self._looked, found)

    def _progress(self, done: int, of: int) -> None:
        if done == of or done % max(1, of // STEPS) == 0:
            words = f"Reading {done} of {of}   {bar(30, of, (done, '█'))}"
            self.bench_app.call_from_thread(self.bench_app.tell, words)

    def _looked(self, found: Folder) -> None:
        self._found = found
        self._codes.clear()
        matches = self._offer(found)
        self.rows.marked = {match.picture for match in matches if match.code and match.sure}
        self.rows.focus()
        self.tell(f"Marked those that are sure: {len(self.rows.marked)} of {len(matches)}.")

    def _offer(self, found: Folder) -> list[Match]:
        ahead = parse_ahead(self["ahead"].value)
        matches = propose(self.book, found, self.mark, ahead)
        self.rows.show(matches)
        self.query_one("#folder-words", Static).update(self._words(found, matches, ahead))
        self.show_picture()
        return matches

    def _words(self, found: Folder, matches: list[Match], ahead: timedelta) -> str:
        words = [f"{len(matches)} pictures, {len(found.known)} more are in the book already"]
        words += [f"{len(found.unreadable)} cannot be read"] if found.unreadable else []
        times = {str(path): time for path, time in found.pictures}
        hits = sum(bool(match.code) for match in matches)
        for guess, more in clock_guesses(times, self.tables.parts_of(self.mark))[:1]:
            if guess != ahead and more > hits:
                words.append(f"with the clock {spell_ahead(guess)} ahead {more} find a part")
        return "; ".join(words)

    def show_book(self) -> None:
        if self._found is not None:
            self._offer(self._found)

    # The list

    def code_of(self, match: Match) -> str:
        """Code of the part for a picture: the one chosen, else the one offered."""
        return self._codes.get(match.picture, match.code)

    def draw(self, match: Match, width: int) -> list[str]:
        """Two lines: the picture and its part; when it was taken and why that part."""
        code = self.code_of(match)
        part = self.tables.parts.get(code)
        taken = f"{match.taken:%d %b %H:%M}" if match.taken else "no time"
        why = "chosen by you" if match.picture in self._codes else match.words
        if width < ROOMY:
            why = why.replace(" it was written down", "")
        whose = f"{part.name} {code}" if part is not None else "no part"
        name = Path(match.picture).name
        return [
            columns(width, (name, 13), (f"→ {whose}", 0), gap=2),
            columns(width, (taken, 13), (why, 0), gap=2),
        ]

    @on(Moved)
    def show_picture(self) -> None:
        """Shows the picture under the cursor."""
        match = self.rows.current
        path = Path(match.picture) if match is not None else Path()
        shown = [Photo(file=path.name)] if match is not None else []
        self.query_one(PhotoView).show(path.parent, shown)

    def action_mark_all(self) -> None:
        """Marks every picture that has a part."""
        every = {match.picture for match in self.rows.items if self.code_of(match)}
        self.rows.marked = set() if self.rows.marked == every else every
        self.rows.refresh()

    @on(Opened)
    def choose_part(self, message: Opened[Match]) -> None:
        """Asks which part the picture shows."""
        from tagbench.screens.dialogs.which_part import WhichPartDialog

        match = message.item
        nearest = [code for code in (match.code, *match.others) if code]
        card = WhichPartDialog(Path(match.picture).name, nearest)
        self.bench_app.push_screen(card, lambda code: self._choose(match, code))

    def _choose(self, match: Match, code: str | None) -> None:
        if code is not None:
            self._codes[match.picture] = code
            self.rows.marked.add(match.picture)
            self.rows.refresh()

    def takes_scan(self, opened: Tag) -> bool:
        """A scanned part is the one that the picture under the cursor shows."""
        match = self.rows.current
        if opened.kind != "part" or match is None:
            return False
        self._choose(match, opened.code)
        self.tell(f"{Path(match.picture).name} shows {opened.code}.")
        return True

    # Putting them on

    def action_attach(self) -> None:
        """Copies the marked pictures into the book and puts them on their parts."""
        marked = [match for match in self.rows.items if match.picture in self.rows.marked]
        pairs = [(Path(match.picture), self.code_of(match)) for match in marked]
        with self.refusing():
            without = [path.name for path, code in pairs if not code]
            if without:
                raise BadInput(f"{without[0]} has no part yet; Enter chooses one.")
            parts = attach(self.book, pairs, moment=read_moment(self["moment"].value))
            self._attached(len(pairs), len(parts))

    def _attached(self, pictures: int, parts: int) -> None:
        found = self._found
        if found is not None:
            marked = self.rows.marked
            left = tuple(one for one in found.pictures if str(one[0]) not in marked)
            known = (*found.known, *(path for path, _ in found.pictures if str(path) in marked))
            self._found = Folder(left, known, found.unreadable)
        self.rows.marked.clear()
        self.catch_up()
        many = "a picture" if pictures == 1 else f"{pictures} pictures"
        self.tell(f"Put {many} on {parts} {'part' if parts == 1 else 'parts'}; originals stay.")

    def action_clear(self) -> None:
        """Forgets the folder."""
        self._found = None
        self._codes.clear()
        self.rows.marked.clear()
        self.rows.show([])
        self.query_one("#folder-words", Static).update("")
        self.show_picture()
        self["folder"].input.focus()
