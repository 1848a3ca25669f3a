"""Trace: a gasket from a picture, seen with its figures, mended, kept with its part, printed."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from textual import on, work
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Static

from tagbench.book.operations.making import to_make
from tagbench.errors import BadInput, TagbenchError
from tagbench.measure.extra import HONEST, need_extra
from tagbench.measure.waiting import drop
from tagbench.records import GasketOutline, Part, TracedHole
from tagbench.rules.buying.gaskets import MATERIALS
from tagbench.rules.describe.phrases import named
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.messages import Moved, RowOpened
from tagbench.screens.frame.styles import stylesheets
from tagbench.screens.measure.asking import FileDialog, LengthDialog, StuffDialog
from tagbench.screens.measure.picture import PictureToMeasureDialog
from tagbench.screens.shared.base import CARDS, TagbenchScreen
from tagbench.screens.widgets.columns import columns
from tagbench.screens.widgets.rows import Rows
from tagbench.trade.quantities.typed import parse_length
from tagbench.trade.threads.clearance import nearest_punch_mm

if TYPE_CHECKING:
    from tagbench.measure.rectification import RectifiedSheet

STEP, LEAST, MOST = 0.05, 0.1, 0.9
"""How much the threshold is changed at a time, and between what."""
WIDEST_TEAR_MM = 10.0
NOTHING = (
    "No outline is kept with this part yet.\n\nCtrl+P takes a picture: the old gasket, a rubbing "
    "or a pencil tracing on the mat (tagbench mat prints it), or a flatbed scan of it, or of the "
    "cover face down."
)

HoleRow = tuple[int, TracedHole]
"""A hole and its number."""


class TraceScreen(TagbenchScreen):
    """The outline at the left, figures and holes at the right; nothing is kept before Ctrl+O."""

    screen_name = "trace"
    CSS_PATH = stylesheets("trace")
    AUTO_FOCUS = "#holes"
    actions = (
        Action("ctrl+o", "keep", "Keep", "Keeps it with the part: cut list, sheet, printing."),
        Action("ctrl+p", "picture", "Picture", "Traces a picture: on the mat, or scanned."),
        Action("left", "threshold(-1)", "Less", "Traces again: less counts as paper.", False),
        Action("right", "threshold(1)", "Again ←→", "Traces again with another threshold."),
        Action("enter", "", "Size", "Gives the hole under the cursor a typed size."),
        Action("delete,backspace", "drop", "Drop", "Leaves out the hole under the cursor."),
        Action("ctrl+f", "mirror", "Mirror", "Turns it over left to right: the other face up."),
        Action("ctrl+y", "offset", "Edge", "Moves the outer edge out, or in: -0.5 mm."),
        Action("ctrl+u", "close_tear", "Tear", "Closes a tear up to a width, and traces again."),
        Action("ctrl+k", "stuff", "Stuff", "Material and thickness.", False),
        Action("ctrl+r", "back_to_kept", "As kept", "Goes back to what is kept.", False),
        Action("ctrl+w", "write", "File", "Writes it at 1:1: PDF, SVG or DXF."),
    )

    def __init__(self, code: str) -> None:
        super().__init__()
        self.code = code
        self.outline: GasketOutline | None = None
        """As it is on the screen; kept only by Ctrl+O."""
        self.busy = False
        """Whether a picture is being followed."""
        self._kept = True
        self._sheet: RectifiedSheet | None = None
        self._picture = ""
        self._path: Path | None = None
        self._threshold, self._tear = 0.5, 0.0
        self._material, self._thick = MATERIALS[0], 0.5

    def body(self) -> ComposeResult:
        yield Static("", id="trace-heading", markup=False)
        with Horizontal():
            yield Static("", id="outline")
            with Vertical(id="trace-side"):
                yield Static("", id="figures", markup=False)
                yield Rows(draw_hole, lambda row: f"{row[0]}", id="holes", empty="no bolt hole")
                yield Static("", id="openings", markup=False)
        yield Static(HONEST, classes="quiet", markup=False)

    @property
    def part(self) -> Part | None:
        """The part as it is now."""
        return self.tables.parts.get(self.code)

    def turn_to(self, code: str) -> None:
        if code != self.code:
            self.code, self._sheet, self._kept = code, None, True
            self._threshold, self._tear = 0.5, 0.0
        self.show_book()

    def show_book(self) -> None:
        part = self.part
        name = named(part) if part else f"{self.code} is gone"
        self.query_one("#trace-heading", Static).update(f"Gasket for {name}")
        if self._kept and part is not None:
            self._take_kept(part)
        self.draw_outline()

    def _take_kept(self, part: Part) -> None:
        make = part.make
        self.outline = make.outline if make else None
        if make:
            self._material, self._thick = make.material, make.thickness_mm

    # Drawing

    def on_resize(self) -> None:
        self.call_after_refresh(self.draw_outline)

    @on(Moved)
    def draw_outline(self) -> None:
        """Draws the outline with the numbers of its holes, the one under the cursor marked."""
        holes = self.query_one("#holes", Rows)
        outline = self.outline
        if outline is None:
            holes.show([])
            self.query_one("#outline", Static).update(NOTHING)
            self.query_one("#figures", Static).update("")
            self.query_one("#openings", Static).update("")
            return
        with self.refusing():
            need_extra()
            from tagbench.measure.template.preview import preview

            rows = [(number, hole) for number, hole in enumerate(outline.holes, 1)]
            if list(holes.items) != rows:
                holes.show(rows)
            room = self.query_one("#outline").content_size
            if room.width > 4 and room.height > 2:
                drawn = preview(outline, room.width, room.height)
                here = holes.current[0] if holes.current else 0
                self.query_one("#outline", Static).update(_content(drawn, here))
            self.query_one("#figures", Static).update("\n".join(self._figures(outline)))
            self.query_one("#openings", Static).update("\n".join(_openings(outline)))

    def _figures(self, outline: GasketOutline) -> list[str]:
        from tagbench.measure.kept_outline import size_of
        from tagbench.measure.template.written import how_scaled

        width, height = size_of(outline)
        how = how_scaled(outline)
        state = "kept with the part" if self._kept else "not kept yet: Ctrl+O keeps it"
        lines = [
            f"{width:.1f} x {height:.1f} mm, {outline.area_mm2 / 100:.1f} cm²",
            f"{self._material}, {self._thick:g} mm thick",
            f"from {outline.picture}: {how}",
            f"threshold {self._threshold:.2f}"
            + (f", tears closed to {self._tear:g} mm" if self._tear else ""),
            state,
        ]
        if outline.adjusted:
            lines.append("by hand: " + "; ".join(outline.adjusted))
        return lines

    # A picture

    @work(group=CARDS)
    async def action_picture(self) -> None:
        path = await self.ask(PictureToMeasureDialog())
        if path:
            self.open_picture(Path(path).expanduser())

    def open_picture(self, path: Path, dpi: float | None = None) -> None:
        """Traces a picture."""
        self._sheet, self._picture, self._path = None, path.name, path
        self._threshold, self._tear = 0.5, 0.0
        self.busy = True
        self._follow(path, dpi)

    def _again(self) -> None:
        """Follows the straightened sheet once more."""
        self.busy = True
        self._follow(None)

    @work(thread=True, exclusive=True)
    def _follow(self, path: Path | None, dpi: float | None = None) -> None:
        """Beside the screen, since it takes seconds; the straightened sheet is kept for more."""
        try:
            need_extra()
            from tagbench.measure.gasket_outline import find_outline
            from tagbench.measure.kept_outline import kept
            from tagbench.measure.picture import open_picture
            from tagbench.measure.rectification import straighten

            sheet = self._sheet
            if path is not None:
                self._progress("opening the picture")
                sheet = straighten(open_picture(path), dpi, self._progress)
            assert sheet is not None
            found = find_outline(sheet, self._threshold, self._tear, self._progress)
            outline = kept(found, sheet, self._picture)
        except TagbenchError as error:
            self.app.call_from_thread(self._refused, str(error), path)
            return
        self.app.call_from_thread(self._traced, sheet, outline, found.notes)

    def _progress(self, step: str) -> None:
        self.app.call_from_thread(self.tell, f"{step} …")

    def _refused(self, words: str, path: Path | None) -> None:
        self.busy = False
        if "--dpi" in words and path is not None:
            self._ask_dpi(path)
        else:
            self.refuse(words)

    @work(group=CARDS)
    async def _ask_dpi(self, path: Path) -> None:
        """No mat in it: perhaps it is a scan whose file does not say how fine."""
        text = await self.ask(
            LengthDialog(
                "No mat is seen. Is it a flatbed scan?",
                "Dots per inch",
                "300; Esc if it is not a scan",
            )
        )
        if text:
            with self.refusing():
                self.open_picture(path, _dpi(text))

    def _traced(
        self, sheet: RectifiedSheet, outline: GasketOutline, notes: tuple[str, ...]
    ) -> None:
        self._sheet, self.outline, self._kept, self.busy = sheet, outline, False, False
        self.draw_outline()
        self.tell(" ".join(notes) or "Look it over: which face is up? Ctrl+O keeps it.")

    def action_threshold(self, by: int) -> None:
        if self._needs_picture():
            self._threshold = round(min(MOST, max(LEAST, self._threshold + by * STEP)), 2)
            self._again()

    @work(group=CARDS)
    async def action_close_tear(self) -> None:
        """Asks how wide the tear is and traces again."""
        if not self._needs_picture():
            return
        card = LengthDialog("Close a tear", "Up to", "2 mm; 0 closes none")
        text = await self.ask(card)
        if text:
            with self.refusing():
                width = 0.0 if text.strip() == "0" else parse_length(text, "mm").number("mm")
                if not 0 <= width <= WIDEST_TEAR_MM:
                    raise BadInput(
                        "A tear up to 10 mm wide is closed; lay the pieces closer together."
                    )
                self._tear = width
                self._again()

    def _needs_picture(self) -> bool:
        if self._sheet is None:
            self.refuse("Trace a picture first, with Ctrl+P; what is kept has none any more.")
        return self._sheet is not None

    # Changes by hand

    def _changed(self, outline: GasketOutline, words: str) -> None:
        self.outline, self._kept = outline, False
        self.draw_outline()
        self.tell(words)

    def _now(self) -> GasketOutline:
        if self.outline is None:
            raise BadInput("Trace a picture first, with Ctrl+P.")
        return self.outline

    @on(RowOpened)
    @work(group=CARDS)
    async def give_size(self, message: RowOpened[HoleRow]) -> None:
        """Asks for the size of a hole: of itself, or `all=` for every one."""
        from tagbench.measure.kept_outline import sized

        number, hole = message.item
        heading = f"Hole {number}: {hole.diameter_mm:.2f} mm"
        example = f"{nearest_punch_mm(hole.diameter_mm):g} mm; all=6.6 for every hole"
        text = await self.ask(LengthDialog(heading, "Size", example))
        if text:
            with self.refusing():
                asked = text if "=" in text else f"{number}={text}"
                self._changed(sized(self._now(), asked), f"Hole {asked}.")

    def action_drop(self) -> None:
        from tagbench.measure.kept_outline import without_hole

        row = self.query_one("#holes", Rows).current
        with self.refusing():
            if row is None:
                raise BadInput("There is no bolt hole to leave out.")
            self._changed(without_hole(self._now(), row[0]), f"Hole {row[0]} is left out.")

    def action_mirror(self) -> None:
        with self.refusing():
            need_extra()
            from tagbench.measure.kept_outline import mirrored

            self._changed(mirrored(self._now()), "Turned over left to right.")

    @work(group=CARDS)
    async def action_offset(self) -> None:
        text = await self.ask(
            LengthDialog("Move the outer edge", "By", "-0.5 mm goes inside the case line")
        )
        if text:
            with self.refusing():
                need_extra()
                from tagbench.measure.kept_outline import offset, signed_length

                by = signed_length(text)
                self._changed(offset(self._now(), by), f"The edge is moved by {by:+g} mm.")

    @work(group=CARDS)
    async def action_stuff(self) -> None:
        found = await self.ask(StuffDialog(self._material, self._thick))
        if found is not None:
            self._material, self._thick = found
            self._kept = False
            self.draw_outline()

    def action_back_to_kept(self) -> None:
        self._kept = True
        self.show_book()

    # Keeping and writing

    def action_keep(self) -> None:
        """Keeps it with the part: then it is on the cut list and can be printed any time."""
        with self.refusing():
            need_extra()
            from tagbench.measure.kept_outline import as_gasket

            gasket = as_gasket(self._now(), self._material, self._thick)
            part = to_make(self.book, self.code, gasket)
            self._kept = True
            if self._path is not None:
                drop(self._path)
            self.catch_up()
            self.tell(f"Kept with {named(part)}. Ctrl+W writes it at 1:1, any time.")

    @work(group=CARDS)
    async def action_write(self) -> None:
        """Asks for a file and writes what is on the screen."""
        part = self.part
        name = f"~/gasket-{self.code}.pdf"
        text = await self.ask(FileDialog("Write it at 1:1", name))
        if text and part is not None:
            with self.refusing():
                need_extra()
                from tagbench.measure.kept_outline import as_gasket
                from tagbench.measure.template.written import write_template

                gasket = as_gasket(self._now(), self._material, self._thick)
                target = Path(text).expanduser()
                write_template(self.book, gasket, named(part), target)
                self.tell(f"{target}: at 1:1; measure the scale on paper before you cut.")


def _dpi(text: str) -> float:
    try:
        return float(text.casefold().removesuffix("dpi").strip())
    except ValueError:
        raise BadInput(
            f"“{text}” is not a number of dots per inch; 300 is right for most."
        ) from None


def _content(drawn: object, here: int) -> Content:
    from tagbench.measure.template.preview import Preview

    assert isinstance(drawn, Preview)
    rows = [list(line) for line in drawn.lines]
    marks: list[tuple[int, int, int]] = []
    for row, column, number in drawn.numbers:
        for at, sign in enumerate(f"{number}"):
            rows[row][column + at] = sign
        if number == here:
            marks.append((row, column, len(f"{number}")))
    lines = []
    for at, row_signs in enumerate(rows):
        line = Content("".join(row_signs))
        for row, column, length in marks:
            if row == at:
                line = line.stylize("bold reverse", column, column + length)
        lines.append(line)
    return Content("\n").join(lines)


def draw_hole(row: HoleRow, width: int) -> list[str]:
    """One line: number, diameter, nearest punch, place."""
    number, hole = row
    size = f"{hole.diameter_mm:.2f} mm"
    punch = f"punch {nearest_punch_mm(hole.diameter_mm):g}"
    place = f"{hole.x_mm:.1f}, {hole.y_mm:.1f}"
    return [columns(width, (f"{number}", -2), (size, 9), (punch, 9), (place, 0), gap=1)]


def _openings(outline: GasketOutline) -> list[str]:
    from tagbench.measure.kept_outline import circle_of

    lines = []
    for path in outline.openings:
        found = circle_of(path)
        lines.append(
            f"opening: round, {found[2]:.2f} mm"
            if found
            else f"opening: {len(path)} lines and arcs"
        )
    return lines
