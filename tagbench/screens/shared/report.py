"""Writing a sheet to a file: as a page to print, as plain text, or for a spreadsheet."""

from __future__ import annotations

from pathlib import Path

from textual import work
from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.errors import BadInput, TagbenchError
from tagbench.records import Machine
from tagbench.reports.kinds import FORMS, KINDS, PICTURED, check_about, write_report
from tagbench.reports.request import ReportRequest
from tagbench.rules.book_paper import book_paper
from tagbench.screens.frame.actions import Action
from tagbench.screens.shared.base import CARDS
from tagbench.screens.shared.destination import fresh_file, may_write
from tagbench.screens.shared.form import FormDialog
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.suggest import KnownPaths

WORDS = (
    "A name ending in .pdf gives pages to print, .html a page for the browser, .txt plain text, "
    ".csv a table."
)


class ReportDialog(FormDialog[str]):
    """Gives words that say where the sheet is. Any report of the registry can be turned to."""

    actions = (
        Action("enter", "save", "Write", "Writes the file; asks before it writes over one."),
        Action("ctrl+p", "photos", "Photos", "Puts the pictures in, or leaves them out."),
        Action("ctrl+r", "other", "Other", "Turns to the next report, the whole book among them."),
    )

    def __init__(self, kind: str, machine: Machine) -> None:
        super().__init__()
        self.heading = KINDS[kind].title
        self._kind = kind
        self._machine = machine
        self._photos = False

    def body(self) -> ComposeResult:
        yield Static(WORDS, classes="words", markup=False)
        yield Field("File", id="file", suggester=KnownPaths())
        yield Field("About", id="about", takes_list=True)
        yield Field("Steps", id="steps", hint="all that are left", restrict=r"[0-9]{0,4}")
        yield Static("", id="photos-words", classes="quiet", markup=False)

    def on_mount(self) -> None:
        self._turn_to(self._kind)
        self["file"].input.focus()
        self._say_photos()

    def action_other(self) -> None:
        names = list(KINDS)
        self._turn_to(names[(names.index(self._kind) + 1) % len(names)])

    def _turn_to(self, kind: str) -> None:
        self._kind, self.heading = kind, KINDS[kind].title
        self.query_one("#card-heading", Static).update(f"◯  {self.heading}")
        name = self.heading.lower().replace(" ", "-")
        self["file"].value = fresh_file(f"~/{name}-{self.book.now():%Y-%m-%d}.pdf")
        self["steps"].display = KINDS[kind].in_steps
        about = self["about"]
        about.display = bool(KINDS[kind].about)
        about.input.placeholder = f"({KINDS[kind].about}, with ; between)"

    def action_photos(self) -> None:
        self._photos = not self._photos
        self._say_photos()

    def _say_photos(self) -> None:
        words = "Pictures go into the page." if self._photos else "Pictures are left out."
        self.query_one("#photos-words", Static).update(words)

    @work(group=CARDS)
    async def action_save(self) -> None:
        with self.refusing():
            target = checked_target(self["file"].value)
            check_about(self._kind, self._about)
            if await may_write(self, [target]):
                self.tell("Writing …")
                self.write(target, self._request(with_photos=target.suffix.casefold() in PICTURED))

    @property
    def _about(self) -> tuple[str, ...]:
        """What the report is to be about, as typed."""
        if not KINDS[self._kind].about:
            return ()
        return tuple(text.strip() for text in self["about"].value.split(";") if text.strip())

    def _request(self, *, with_photos: bool) -> ReportRequest:
        typed = self["steps"].value if KINDS[self._kind].in_steps else ""
        return ReportRequest(
            tables=self.tables,
            machine=self._machine,
            printed=self.book.now(),
            photos=self.book.photos if self._photos and with_photos else None,
            address=self.tables.desk.phone_address,
            steps=int(typed) if typed and int(typed) else None,
            about=self._about,
            paper=book_paper(self.tables.desk),
            progress=self._told,
        )

    def _told(self, done: int, total: int) -> None:
        """Says how far a report with pictures is, a hundred times at most."""
        if self._photos and (done == total or done % max(1, total // 100) == 0):
            self.app.call_from_thread(self.tell, f"Writing … {done} of {total}")

    @work(thread=True, exclusive=True, description="see its name")
    def write(self, target: Path, request: ReportRequest) -> None:
        """Writes beside the screen, since pictures and symbols take their time."""
        try:
            write_report(self._kind, target, request)
        except (TagbenchError, OSError) as error:
            words = error.strerror if isinstance(error, OSError) else None
            self.app.call_from_thread(self.refuse, words or str(error))
        else:
            self.app.call_from_thread(self.dismiss, f"The {self.heading.lower()} is in {target}.")


def checked_target(typed: str) -> Path:
    """The file that was typed. Raises BadInput for a form or folder that there is not."""
    target = Path(typed).expanduser()
    if target.suffix.casefold() not in FORMS:
        raise BadInput(f"End the file name with {', '.join(FORMS)}.")
    if not target.parent.is_dir():
        raise BadInput(f"There is no folder {target.parent}; name one that is there.")
    return target
