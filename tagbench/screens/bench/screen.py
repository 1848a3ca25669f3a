"""Bench, the home screen: the machine at a glance and what can be done next."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from textual import on, work
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widget import Widget
from textual.widgets import Static

from tagbench.measure.waiting import waiting
from tagbench.records.care_steps import CLEANING
from tagbench.screens.frame.actions import NEW_KEY, Action
from tagbench.screens.frame.messages import FastenersMeasured, RowOpened
from tagbench.screens.frame.registry import LAID
from tagbench.screens.shared.base import CARDS, TagbenchScreen
from tagbench.screens.shared.unsaved import KeepsUnsaved
from tagbench.screens.widgets.columns import bar, columns, cut_apart
from tagbench.screens.widgets.rows import Rows

if TYPE_CHECKING:
    from tagbench.rules.bench.glance import AssemblyProgress, Glance
    from tagbench.rules.bench.going_on import FormName, Going
    from tagbench.rules.bench.jobs import Job

MOST_GOING, ALL_GOING = 3, 6
"""So many lines say what was going on, on a low terminal and on a high one."""
CARD_OF: dict[FormName, str] = {
    "edit": "edit",
    "made of": "made_of",
    "gasket": "gasket",
    "left over": "app.left_over",
}
"""Kind of half-typed form → the action that opens its card."""
NOTHING_YET = (
    "Nothing has come off yet.\n\n"
    "Press F2 and write down the first part that you take off: what it is and where it came "
    "from are enough. It gets a code for its bag at once.\n\n"
    "Ctrl+N names the machine, or starts another one."
)


class BenchScreen(TagbenchScreen):
    """The machine, counts by state, progress by assembly, next on the bench."""

    screen_name = "bench"
    actions = (
        Action("ctrl+o", "go_on", "Go on", "Goes on with what was going on last."),
        Action(NEW_KEY, "machine", "Machine", "Names the machine, adds a new one or changes over."),
        Action("f11,insert", "mat", "Mat", "Opens what a phone photographed on the mat.", False),
    )
    AUTO_FOCUS = "#next"

    def __init__(self) -> None:
        super().__init__()
        self.going: list[Going] | None = None
        """What was going on, what one goes on with first; None until that is known."""
        self._goes_on = False
        """Whether it is gone on with as soon as it is known."""
        self._forms: list[str] = []
        """The forms that were half-typed when that was looked for."""

    def body(self) -> ComposeResult:
        yield Static("", id="mat-waits", markup=False)
        yield Static("Reading the book …", id="nothing-yet", markup=False)
        with Vertical(id="bench"):
            yield CountsRow()
            yield Static("", id="going-on", markup=False)
            with Horizontal():
                with Vertical(id="assemblies-side"):
                    yield Static("Assemblies", classes="section", markup=False)
                    yield Rows(
                        self.draw_progress, lambda line: line.assembly, id="assemblies", roomy=True
                    )
                    yield Static("█ back on   ▒ clean   · to do", classes="quiet", markup=False)
                with Vertical(id="next-side"):
                    yield Static("Next on the bench", classes="section", markup=False)
                    yield Rows(
                        self.draw_job,
                        lambda job: f"{job.do} {job.part.code}",
                        height=2,
                        roomy=True,
                        id="next",
                        empty="Looking …",
                    )

    def show_book(self) -> None:
        from tagbench.book.operations.machines import chosen
        from tagbench.rules.bench.glance import Glance, glance

        tables, machine = self.tables, chosen(self.tables)
        if machine is None:
            self._show_glance(Glance())
        else:
            self.beside(
                lambda: glance(tables, machine.mark),
                lambda now: self._show_glance(now, machine.mark),
            )

    def _show_glance(self, now: Glance, mark: str = "") -> None:
        self.query_one("#nothing-yet", Static).update(NOTHING_YET)
        self.query_one("#nothing-yet").display = not now.parts
        self.query_one("#bench").display = bool(now.parts)
        self.query_one(CountsRow).show(figures(now))
        self.query_one("#assemblies", Rows).show(now.assemblies)
        if mark and now.parts:
            self.call_after_refresh(self.look_ahead, mark)
        else:
            self.show_going_on([], "")

    def show_phone(self) -> None:
        """Says as well how many photographs of the mat wait."""
        super().show_phone()
        if self.bench_app.book_is_here:
            self.show_waiting()

    def show_waiting(self) -> None:
        """Says how many photographs of the mat wait, and which key opens the newest."""
        number = len(waiting(self.book.folder))
        words = "1 photograph of the mat waits" if number == 1 else f"{number} of the mat wait"
        said = self.query_one("#mat-waits", Static)
        said.update(f"{words}: F11 opens the newest." if number else "")
        said.display = bool(number)

    @work(group=CARDS)
    async def action_mat(self) -> None:
        """Opens the newest photograph of the mat; what is confirmed goes to Strip."""
        found = waiting(self.book.folder)
        if not found:
            self.refuse("No photograph of the mat waits: a paired phone takes one, under Next.")
            return
        if not found[0].measured:
            self.refuse("It shows a gasket: open its part and press F11, Ctrl+P, Ctrl+N.")
            return
        fasteners = await self.ask(LAID(found[0].picture))
        self.show_waiting()
        if fasteners and await self.bench_app.go("strip"):
            self.app.screen.post_message(FastenersMeasured(fasteners))

    def show_going_on(self, going: list[Going], aside: str) -> None:
        """Says in a few lines what was going on; the first one is what Ctrl+O goes on with."""
        self.going = going
        lines = [*([aside] if aside else []), *(one.words for one in going)]
        shown = lines[: ALL_GOING if self.has_class("-high") else MOST_GOING]
        self.query_one("#going-on", Static).update("\n".join(shown))
        self.query_one("#going-on").display = bool(shown)
        if self._goes_on:
            self.call_later(self.run_action, "go_on")

    def on_screen_suspend(self) -> None:
        self._goes_on = False

    def on_screen_resume(self) -> None:
        """Looks again where a form was half-typed or done with since the book was shown."""
        from tagbench.book.autosave import Autosave
        from tagbench.book.operations.machines import chosen

        if self.going is not None and Autosave(self.book.folder).forms() != self._forms:
            machine = chosen(self.tables)
            if machine is not None:
                self.look_ahead(machine.mark)

    async def action_go_on(self) -> None:
        """Goes on with the first thing that was going on, as soon as that is known."""
        self._goes_on = self.going is None
        if self.going is None:
            self.tell("Looking for what was going on …")
        elif self.going:
            await self._go_on_with(self.going[0])
        else:
            self.refuse("Nothing was going on yet; F2 writes down the first part.")

    async def _go_on_with(self, first: Going) -> None:
        """Opens the screen, and the card over it that was half-typed."""
        app = self.bench_app
        if first.code and first.place in ("part", "inspect"):
            await app.open_screen(first.place, first.code)
        elif not await app.go(first.place):
            return
        here = app.screen
        if isinstance(here, KeepsUnsaved):
            here.offer_again()
        elif first.form in CARD_OF:
            await self.app.run_action(CARD_OF[first.form], here)
        elif first.form:
            app.tell(f"H{first.words[1:]}: open it again, and it is offered.")

    @work(thread=True, exclusive=True, exit_on_error=False)
    def look_ahead(self, mark: str) -> None:
        """Finds out what can be done next, beside the screen, since it looks at every link."""
        from tagbench.book.autosave import Autosave
        from tagbench.rules.bench.going_on import aside_words, going_on
        from tagbench.rules.bench.jobs import next_jobs

        tables, now = self.tables, self.book.now()
        self._forms = Autosave(self.book.folder).forms()
        going = going_on(tables, mark, now, self._forms)
        aside = aside_words(tables.machines[mark])
        self.app.call_from_thread(self.show_going_on, going, aside)
        jobs = next_jobs(tables, mark, now=now)
        self.app.call_from_thread(self.show_jobs, jobs)

    def show_jobs(self, jobs: list[Job]) -> None:
        """Shows what can be done next; only now it is known whether anything waits."""
        rows = self.query_one("#next", Rows)
        rows.show_empty("Nothing is waiting.")
        rows.show(jobs)

    def draw_progress(self, line: AssemblyProgress, width: int) -> list[str]:
        """One line: the assembly, its bar, how many of how many are on."""
        count = f"{line.fitted} of {line.parts}"
        wide = 20 if width > 45 else 10
        drawn = bar(wide, line.parts, (line.fitted, "█"), (line.clean, "▒"))
        others = [one.assembly for one in self.query_one("#assemblies", Rows).items]
        name = cut_apart(line.assembly or "no assembly", width - wide - 8 - 2, others)
        return [columns(width, (name, 0), (drawn, wide), (count, -8), gap=1)]

    def draw_job(self, job: Job, width: int) -> list[str]:
        """Two lines: what to do to which part; where it is kept."""
        from tagbench.rules.describe.where import where_fact

        told = f"{job.part.said}, {job.words}" if job.words else job.part.said
        what = columns(width, (job.do, 8), (told, 0), gap=2)
        kept = where_fact(self.tables, job.part).words
        where = f"{job.part.code}   {kept if width > 50 else kept.split(', ')[0]}"
        return [what, columns(width, ("", 8), (where, 0), gap=2)]

    @on(RowOpened)
    async def open_row(self, message: RowOpened[Job | AssemblyProgress]) -> None:
        """Opens the part of a job, or looks for what came from an assembly."""
        from tagbench.rules.bench.glance import AssemblyProgress

        if isinstance(message.item, AssemblyProgress):
            await self.bench_app.find(message.item.assembly)
        else:
            await self.bench_app.open_code(message.item.part.code)

    def action_machine(self) -> None:
        from tagbench.screens.bench.machine import MachineDialog

        self.open_card(MachineDialog())


def figures(now: Glance) -> list[tuple[int, str]]:
    """The counts by state with their words."""
    return [
        (now.parts, "parts"),
        (now.clean, CLEANING.name),
        (now.undecided, "undecided"),
        (now.replace, "to replace"),
        (now.snug, "snug"),
        (now.fitted, "fitted"),
    ]


class CountsRow(Widget):
    """Some counts in a row with their words."""

    def __init__(self) -> None:
        super().__init__()
        self._counts: Sequence[tuple[int, str]] = ()

    def show(self, counts: Sequence[tuple[int, str]]) -> None:
        """Shows counts and their words."""
        self._counts = counts
        self.refresh()

    def render(self) -> Content:
        wide = self.size.width // max(1, len(self._counts))
        figures = "".join(str(count).ljust(wide) for count, _ in self._counts)
        words = "".join(words[: wide - 1].ljust(wide) for _, words in self._counts)
        return Content.assemble((figures, "bold $primary"), "\n", words)
