"""Small cards of Trace: a length, the material, a file."""

from __future__ import annotations

from textual.app import ComposeResult

from tagbench.errors import BadInput
from tagbench.rules.buying.gaskets import MATERIALS
from tagbench.screens.frame.actions import Action
from tagbench.screens.shared.form import FormDialog
from tagbench.screens.widgets.field import Field
from tagbench.screens.widgets.suggest import KnownPaths, KnownWords
from tagbench.trade.quantities.typed import parse_length


class LengthDialog(FormDialog[str]):
    """Gives what was typed in its one field."""

    actions = (Action("enter", "save", "Take", "Takes what was typed."),)

    def __init__(self, heading: str, label: str, example: str) -> None:
        super().__init__()
        self.heading = heading
        self._label, self._example = label, example

    def body(self) -> ComposeResult:
        yield Field(self._label, id="asked", example=self._example)

    def action_save(self) -> None:
        if self["asked"].value:
            self.dismiss(self["asked"].value)
        else:
            self.refuse(f"Type it, such as {self._example}; Esc changes nothing.")


class StuffDialog(FormDialog[tuple[str, float]]):
    """Gives material and thickness, mm."""

    heading = "What it is cut from"
    actions = (Action("enter", "save", "Take", "Takes material and thickness."),)

    def __init__(self, material: str, thickness_mm: float) -> None:
        super().__init__()
        self._material, self._thick = material, thickness_mm

    def body(self) -> ComposeResult:
        known = KnownWords(lambda: list(MATERIALS))
        yield Field("Material", id="material", example=MATERIALS[0], suggester=known)
        yield Field("Thickness", id="thickness", example="0.5 mm")

    def on_mount(self) -> None:
        self["material"].value = self._material
        self["thickness"].value = f"{self._thick:g} mm"

    def action_save(self) -> None:
        with self.refusing():
            thick = parse_length(self["thickness"].value, "mm").number("mm")
            material = self["material"].value
            if not material:
                raise BadInput(f"Type what it is cut from, such as {MATERIALS[0]}.")
            if not 0 < thick <= 10:
                raise BadInput("A gasket is up to 10 mm thick, such as 0.5 mm.")
            self.dismiss((material, thick))


class FileDialog(FormDialog[str]):
    """Gives the file to write: .pdf, .svg or .dxf."""

    actions = (Action("enter", "save", "Write", "Writes the file: .pdf, .svg or .dxf."),)

    def __init__(self, heading: str, name: str) -> None:
        super().__init__()
        self.heading = heading
        self._file = name

    def body(self) -> ComposeResult:
        yield Field("File", id="file", example="gasket.pdf, .svg or .dxf", suggester=KnownPaths())

    def on_mount(self) -> None:
        self["file"].value = self._file

    def action_save(self) -> None:
        if self["file"].value:
            self.dismiss(self["file"].value)
        else:
            self.refuse("Type the name of the file; Esc writes none.")
