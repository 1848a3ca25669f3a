"""The links around a part, drawn, and changed by hand."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.widgets import Input, Static

from tagbench.book.operations.strip import edit, part_by_code
from tagbench.rules.rebuild.links import links_of
from tagbench.rules.rebuild.picture import picture
from tagbench.rules.stripping.predecessors import named_predecessors, read_predecessors
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.form import FormDialog
from tagbench.screens.widgets.facts import CardPage
from tagbench.screens.widgets.field import Field

FURTHEST = 20


class LinksDialog(FormDialog[str]):
    """Gives words that say what was changed. Scanning another part puts its code in the field."""

    CSS_PATH = stylesheets("field", "card", "rebuild")
    AUTO_FOCUS = "#behind"
    actions = (
        Action("enter", "save", "Save", "Saves what the part is behind."),
        Action("ctrl+o", "look(1)", "Further", "Draws links that are further away."),
        Action("ctrl+p", "look(-1)", "Nearer", "Draws only nearer links."),
        Action("pageup", "scroll(-1)", "Page up", "Goes up in the drawing.", show=False),
        Action("pagedown", "scroll(1)", "Page down", "Goes down in the drawing.", show=False),
    )

    def __init__(self, code: str) -> None:
        super().__init__()
        self.heading = f"Links around {code}"
        self._code = code
        self._depth = 1

    def body(self) -> ComposeResult:
        with CardPage(around=12, id="links", can_focus=False):
            yield Static("", id="picture", markup=False)
        yield Static("", id="behind-names", markup=False)
        yield Field(
            "Behind",
            id="behind",
            hint="what came off first, by code or name; or scan it",
            takes_list=True,
            takes_code="part",
        )

    def on_mount(self) -> None:
        with self.refusing():
            part = part_by_code(self.tables, self._code)
            self.field.value = "; ".join(part.behind)
            self.draw()

    @property
    def field(self) -> Field:
        """The codes of the parts that came off first."""
        return self.query_one("#behind-field", Field)

    @property
    def _mark(self) -> str:
        return self._code.split("-", 1)[0]

    def draw(self) -> None:
        """Draws what the book says now."""
        links = links_of(self.tables, self._mark)
        drawn = picture(links, self._code, self._depth)
        self.query_one("#picture", Static).update(drawn)

    def action_look(self, by: int) -> None:
        self._depth = max(1, min(FURTHEST, self._depth + by))
        self.draw()

    def action_scroll(self, by: int) -> None:
        self.query_one(CardPage).turn(by)

    @on(Input.Changed)
    def name_them(self) -> None:
        """Says the names of the parts whose codes stand in the field."""
        names = named_predecessors(self.field.value, self.tables, self._mark)
        words = f"came off first: {names}" if names else "nothing had to come off first"
        self.query_one("#behind-names", Static).update(words)

    def action_save(self) -> None:
        """Saves it; a loop is refused and spelled out."""
        with self.refusing():
            behind = read_predecessors(self.field.value, self.tables, self._mark)
            before = part_by_code(self.tables, self._code)
            if behind != before.behind:
                edit(self.book, self._code, f"changed the links of {self._code}", behind=behind)
            self.dismiss(f"The links of {before.name} {self._code} are saved.")
