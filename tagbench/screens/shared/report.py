"""Writing a sheet to a file: as a page to print, as plain text, or for a spreadsheet."""

from __future__ import annotations

from pathlib import Path

from textual import work
from textual.app import ComposeResult
from textual.widgets import Input, Static

from tagbench.errors import BadInput, TagbenchError
from tagbench.records import Machine
from tagbench.reports.asked import Asked
from tagbench.screens.frame.actions import Action
from tagbench.screens.shared.base import CARDS
from tagbench.screens.shared.destination import may_write
from tagbench.screens.shared.form import FormDialog
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.suggest import KnownPaths

NAMES = {
    "build": "Build sheet",
    "count": "Count sheet",
    "settings": "Settings sheet",
    "wants": "Shop list",
}
WORDS = "A name ending in .html gives a page that prints well, .txt plain text, .csv a table."


class ReportDialog(FormDialog[str]):
    """Gives words that say where the sheet is."""

    actions = (
        Action("enter", "save", "Write", "Writes the file; asks before it writes over one."),
        Action("ctrl+p", "photos", "Photos", "Puts the pictures in, or leaves them out."),
    )

    def __init__(self, kind: str, machine: Machine) -> None:
        super().__init__()
        self.heading = NAMES[kind]
        self._kind = kind
        self._machine = machine
        self._photos = False

    def body(self) -> ComposeResult:
        yield Static(WORDS, classes="words", markup=False)
        yield Field("File", id="file", suggester=KnownPaths())
        if self._kind == "build":
            yield Field("Steps", id="steps", hint="all that are left", restrict=r"[0-9]{0,4}")
        yield Static("", id="photos-words", classes="quiet", markup=False)

    def on_mount(self) -> None:
        name = self.heading.lower().replace(" ", "-")
        self["file"].value = f"~/{name}-{self.book.now():%Y-%m-%d}.html"
        self["file"].input.focus()
        self._say_photos()

    def action_photos(self) -> None:
        """Pictures in or out."""
        self._photos = not self._photos
        self._say_photos()

    def _say_photos(self) -> None:
        words = "Pictures go into the page." if self._photos else "Pictures are left out."
        self.query_one("#photos-words", Static).update(words)

    @work(group=CARDS)
    async def action_save(self) -> None:
        """Checks what was typed and starts writing."""
        with self.refusing():
            target = checked_target(self["file"].value)
            if await may_write(self, [target]):
                self.tell("Writing …")
                self.write(target, self._asked(with_photos=target.suffix.casefold() == ".html"))

    def _asked(self, *, with_photos: bool) -> Asked:
        steps = self.query("#steps").results(Input)
        typed = next((field.value for field in steps), "")
        return Asked(
            tables=self.tables,
            machine=self._machine,
            printed=self.book.now(),
            photos=self.book.photos if self._photos and with_photos else None,
            address=self.tables.desk.phone_address,
            steps=int(typed) if typed and int(typed) else None,
        )

    @work(thread=True, exclusive=True)
    def write(self, target: Path, asked: Asked) -> None:
        """Writes beside the screen, since pictures and symbols take their time."""
        from tagbench.reports.kinds import write_report

        try:
            write_report(self._kind, target, asked)
        except (TagbenchError, OSError) as error:
            words = error.strerror if isinstance(error, OSError) else None
            self.app.call_from_thread(self.refuse, words or str(error))
        else:
            self.app.call_from_thread(self.dismiss, f"The {self.heading.lower()} is in {target}.")


def checked_target(typed: str) -> Path:
    """The file that was typed. Raises BadInput for a form or folder that there is not."""
    from tagbench.reports.kinds import FORMS

    target = Path(typed).expanduser()
    if target.suffix.casefold() not in FORMS:
        raise BadInput(f"End the file name with {', '.join(FORMS)}.")
    if not target.parent.is_dir():
        raise BadInput(f"There is no folder {target.parent}; name one that is there.")
    return target
