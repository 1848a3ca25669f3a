"""Inspect: one part on the bench, what to look for, what to measure, what to decide."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime

from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from tagbench.book.operations.measuring import drop_reading
from tagbench.records import Part, Reading, Tables
from tagbench.rules.buying.gaskets import cut_list
from tagbench.rules.care.cautions import cautions_for, seen_cautions
from tagbench.rules.care.inspecting import part_kind
from tagbench.rules.care.needs import work_on
from tagbench.rules.care.proposal import proposal
from tagbench.rules.care.readings import usual_readings
from tagbench.rules.describe.care import care_words, describe_reading
from tagbench.rules.describe.numbers import numbers_lines
from tagbench.rules.describe.phrases import NO_ASSEMBLY, came_from, counted
from tagbench.rules.scan import Opened
from tagbench.screens.care.actions import CARE_KEYS, MORE_CARE_KEYS, CareScreen
from tagbench.screens.care.cards import KindDialog, NumbersDialog, ReadingDialog
from tagbench.screens.care.gasket import GasketDialog
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import RowOpened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.shared.gone import gone_words
from tagbench.screens.shared.multi_select import second_bar
from tagbench.screens.widgets.bars import KeyBar
from tagbench.screens.widgets.caution_lines import CautionLines
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.facts import Section, Sections
from tagbench.screens.widgets.rows import Rows

ABOUT_PART = (
    Action("n", "numbers", "Numbers", "Part numbers: which one to order, where else used.", False),
    Action("g", "gasket", "Gasket", "A gasket to make: measures, cut list, punches.", False),
    Action("p", "photos", "Photos", "The pictures of the part, before and after.", False),
)
MEASURE = Action("enter", "", "Measure", "Writes down the reading under the cursor.", False)
KIND = Action("k", "kind", "Kind", "Says what kind of part it is.", False)
SECOND_BAR = second_bar((MEASURE, *ABOUT_PART, *CARE_KEYS[-2:], KIND, MORE_CARE_KEYS[0]))
"""What has no room in the key bar at the foot."""
ELSE = Reading(what="measure something else")
"""The last row, which is no reading yet."""
UNKNOWN_KIND = "Nothing is known of this kind of part; K names a kind that is like it."
ROOMY = 100
"""From so many columns on the uncertainty of the tool has room."""


class InspectScreen(CareScreen):
    """One part at a time; the arrows go on to the next one of the list it was opened from."""

    screen_name = "inspect"
    CSS_PATH = stylesheets("field", "care")
    AUTO_FOCUS = ""
    actions = (
        MEASURE,
        *CARE_KEYS,
        *ABOUT_PART,
        KIND,
        Action(
            "delete,backspace",
            "drop",
            "Drop reading",
            "Takes the reading off the part.",
            show=False,
        ),
        Action("left", "other(-1)", "Part before", "Goes to the part before.", show=False),
        Action("right", "other(1)", "Next part", "Goes to the next part of the list."),
        *MORE_CARE_KEYS,
    )

    def __init__(self, code: str, codes: Sequence[str] = ()) -> None:
        super().__init__()
        self.code = code
        self._codes = codes or [code]

    def body(self) -> ComposeResult:
        yield Static("", id="inspect-heading")
        yield Static("", id="proposed", markup=False)
        with VerticalScroll(id="inspect-facts"):
            yield Sections(id="look-for")
            yield Static("Readings", classes="section", markup=False)
            yield Rows(self.draw, lambda reading: reading.what, id="readings")
            yield Sections(id="inspect-further")
        yield CautionLines()
        yield KeyBar(SECOND_BAR, id="keys-more")

    def on_mount(self) -> None:
        super().on_mount()
        self.set_focus(self.readings, scroll_visible=False)

    @property
    def part(self) -> Part | None:
        """The part as it is now; None when its record was taken away."""
        return self.tables.parts.get(self.code)

    @property
    def selected(self) -> list[Part]:
        return [self.part] if self.part is not None else []

    @property
    def readings(self) -> Rows[Reading]:
        """What was and is to be measured."""
        return self.query_one("#readings", Rows)

    def show_book(self) -> None:
        part = self.part
        if part is None:
            gone = gone_words(self.book, self.code)
            self.query_one("#inspect-heading", Static).update(gone)
            self.query_one("#inspect-facts").display = False
            return
        self.query_one("#inspect-facts").display = True
        self.query_one("#inspect-heading", Static).update(heading(part, self.book.now()))
        self.query_one("#look-for", Sections).show(look_for(part, roomy=self.has_class("-high")))
        rows = reading_rows(part)
        self.readings.show(rows)
        self.readings.styles.height = len(rows)
        self.query_one("#proposed", Static).update(proposal_words(part))
        self.query_one("#inspect-further", Sections).show(further(part, self.tables))
        cautions = cautions_for(part, work_on(part))
        self.query_one(CautionLines).show(cautions, seen_cautions(part, self.tables))

    def draw(self, reading: Reading, width: int) -> list[str]:
        """One line of the readings."""
        return draw_reading(self.part, reading, width) if self.part is not None else []

    # Which part

    def turn_to(self, code: str) -> None:
        self.code = code
        self.readings.cursor = 0
        self.show_book()
        self.query_one("#inspect-facts").scroll_home(animate=False)

    def action_other(self, by: int) -> None:
        """Goes on in the list that the part was opened from, no further than its ends."""
        at = self._codes.index(self.code) + by if self.code in self._codes else 0
        if 0 <= at < len(self._codes):
            self.turn_to(self._codes[at])
            self.notice.clear()
        else:
            self.refuse(f"That was the {'first' if by < 0 else 'last'} part of the list.")

    def takes_scan(self, opened: Opened) -> bool:
        """A scanned part comes on the bench."""
        if opened.kind == "part":
            self.turn_to(opened.code)
        return opened.kind == "part"

    # Cards

    @on(RowOpened)
    def measure(self, message: RowOpened[Reading]) -> None:
        """Asks for the reading of the row."""
        if self.part is not None:
            self.open_card(ReadingDialog(self.part, None if message.item is ELSE else message.item))

    def action_drop(self) -> None:
        reading = self.readings.current
        if reading is not None:
            with self.refusing():
                drop_reading(self.book, self.code, reading.what)
                self.finished(f"Took off the reading of {reading.what}.")

    def action_kind(self) -> None:
        if self.part is not None:
            self.open_card(KindDialog(self.part))

    def action_numbers(self) -> None:
        if self.part is not None:
            self.open_card(NumbersDialog(self.part))

    def action_gasket(self) -> None:
        if self.part is not None:
            self.open_card(GasketDialog(self.part))

    async def action_photos(self) -> None:
        await self.bench_app.open_screen("part photos", self.code)


def heading(part: Part, now: datetime) -> Content:
    """Code, name, kind; where from; what was done."""
    kind = part_kind(part)
    return Content.from_markup(
        "[bold $primary]$code[/]   [bold]$name[/]   [$quiet]$kind[/]\n$from_where\n$done",
        code=part.code,
        name=counted(part),
        kind=kind.name if kind is not None else "kind not known",
        from_where=came_from(part) or NO_ASSEMBLY,
        done=care_words(part, now),
    )


def look_for(part: Part, *, roomy: bool) -> Iterator[Section]:
    """What to look for, by kind of part; in fewer lines where it is not `roomy`."""
    kind = part_kind(part)
    lines = list(kind.look_for) if kind is not None else [UNKNOWN_KIND]
    if kind is not None and kind.lube:
        lines.append(f"usually lubed with {kind.lube}")
    if kind is not None and kind.renew:
        lines.append("usually renewed at every rebuild")
    heading = "Look for (common practice; the maker's manual first)"
    yield heading, lines if roomy else ["; ".join(lines)]


def reading_rows(part: Part) -> list[Reading]:
    """The readings it has, those usual for its kind, and a row for something else."""
    return [*part.readings, *usual_readings(part), ELSE]


def draw_reading(part: Part, reading: Reading, width: int) -> list[str]:
    """One line: what, the figures, the limit, what that means."""
    if reading is ELSE:
        return [f"+ {reading.what}"]
    roomy, told = width > ROOMY, describe_reading(part, reading)
    figures, limit = told.values.words, told.limit.words or "no limit known"
    says = told.says.rstrip(".")
    if not roomy:
        figures, says = figures.partition(" ±")[0], says.removesuffix(" the limit")
    sizes = (26, 16, 30) if roomy else (15, 14, 19)
    cells = zip((figures, limit, says), sizes, strict=True)
    return [columns(width, (reading.what, 0), *cells, gap=2)]


def proposal_words(part: Part) -> str:
    """What the readings propose, and who decides."""
    said = proposal(part)
    why = "; ".join(why.rstrip(".") for why in said.why)
    if said.verdict == "undecided":
        return f"No proposal ({why}); you decide."
    return f"Proposed: {said.verdict} ({why}); you decide."


def further(part: Part, tables: Tables) -> Iterator[Section]:
    """Part numbers, the gasket to make, pictures: the sections with something in them."""
    if part.part_numbers:
        yield "Part numbers", numbers_lines(part, tables)
    if part.make is not None:
        yield "To make", cut_list(part.make, part.quantity)
    if part.photos:
        moments = [photo.moment or "undated" for photo in part.photos]
        counts = ", ".join(f"{moments.count(one)} {one}" for one in dict.fromkeys(moments))
        yield "Pictures", [counts]
    if part.note:
        yield "Note", part.note.splitlines()
