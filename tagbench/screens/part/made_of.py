"""What a part is made of: its stack, its own parts, its wires, its twin; and taking it apart."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.widgets import Static

from tagbench.book.operations import composing
from tagbench.records import Part
from tagbench.rules.describe.phrases import named, plural
from tagbench.rules.kept_together import (
    OWN_PARTS_EXAMPLE,
    read_own_parts,
    spell_own_parts,
    together_words,
)
from tagbench.rules.scan import part_with
from tagbench.rules.stacks import STACK_EXAMPLE, read_stack, spell_stack
from tagbench.rules.wiring import PINS_EXAMPLE, read_pins, spell_pins
from tagbench.screens.frame.actions import Action
from tagbench.screens.shared.form import PartFormDialog
from tagbench.screens.widgets.field import Field


class MadeOfDialog(PartFormDialog):
    """Gives words that say what was written down. Only what differs is written."""

    actions = (
        Action("enter", "save", "Save", "Writes down what differs, from any field."),
        Action("ctrl+o", "apart", "Apart", "Gives a code to each of its own parts."),
        Action("ctrl+y", "whole", "One piece", "It stays in one piece; or it is one thing again."),
        Action(
            "ctrl+n",
            "other_side",
            "Other side",
            "A new part: its twin came off, same again, mirrored.",
            False,
        ),
    )
    stays_open = True

    def __init__(self, part: Part) -> None:
        super().__init__(part)
        self.heading = f"What {named(part)} is made of"
        self.unsaved_name = f"made of {part.code}"

    def body(self) -> ComposeResult:
        yield Static("", id="kept-words", classes="words", markup=False)
        yield Field("Stack", id="stack", example=STACK_EXAMPLE, takes_list=True)
        yield Field("Own parts", id="own-parts", example=OWN_PARTS_EXAMPLE, takes_list=True)
        yield Field("Pins", id="pins", example=PINS_EXAMPLE, takes_list=True)
        yield Field("Runs", id="routing", example="left of the frame, clip at the head")
        yield Field("Diagram", id="diagram", example="maker's manual, section L4")
        yield Field("Twin", id="twin", hint="code of the other side", takes_code="part")

    def on_mount(self) -> None:
        for name, text in self._written().items():
            self[name].value = text
        self.show()
        self["stack"].input.focus()

    def show(self) -> None:
        words = together_words(self.part) or "One thing; Ctrl+Y: it is a sub-assembly in one piece."
        self.query_one("#kept-words", Static).update(words)

    def _written(self) -> dict[str, str]:
        part = self.part
        return {
            "stack": spell_stack(part.stack) if part.stack else "",
            "own-parts": spell_own_parts(part.own_parts),
            "pins": spell_pins(part.wiring.pins) if part.wiring else "",
            "routing": part.wiring.routing if part.wiring else "",
            "diagram": part.wiring.diagram if part.wiring else "",
            "twin": part.twin,
        }

    def action_save(self) -> None:
        """Writes what differs, once all of it was understood."""
        with self.refusing():
            before = self._written()
            typed = {name: self[name].value for name in before}
            if typed == before:
                self.dismiss("Nothing was changed.")
                return
            if typed["stack"]:
                read_stack(typed["stack"])
            read_own_parts(typed["own-parts"])
            read_pins(typed["pins"])
            twin = part_with(self.tables, typed["twin"]).code if typed["twin"] else ""
            self._write(before, typed, twin)
            self.dismiss(f"Saved what {named(self.part)} is made of.")

    def _write(self, before: dict[str, str], typed: dict[str, str], twin: str) -> None:
        differs = {name for name, text in typed.items() if text != before[name]}
        wires = (typed["pins"], typed["routing"], typed["diagram"])
        form = composing.MadeOf(
            stack=typed["stack"] if "stack" in differs else None,
            own_parts=typed["own-parts"] if "own-parts" in differs else None,
            wires=wires if differs & {"pins", "routing", "diagram"} else None,
            twin=twin if twin != before["twin"] else None,
        )
        composing.write_made_of(self.book, self.code, form)

    def action_apart(self) -> None:
        """Takes it apart: with what stands in the field, if that was not saved before."""
        with self.refusing():
            typed = self["own-parts"].value
            differs = typed != spell_own_parts(self.part.own_parts)
            whole, parts = composing.take_apart(
                self.book, self.code, own_parts=typed if differs else "", instead=differs
            )
            codes = ", ".join(part.code for part in parts)
            self.dismiss(f"Took {named(whole)} apart: {plural(len(parts), 'tag')} {codes}.")

    def action_whole(self) -> None:
        """In one piece, its own parts known or not; or, said again, one thing after all."""
        with self.refusing():
            if self.part.together:
                composing.no_sub_assembly(self.book, self.code)
            else:
                composing.keep_in_one(self.book, self.code, self["own-parts"].value)
            self.catch_up()
            self.tell("Written down.")

    def action_other_side(self) -> None:
        with self.refusing():
            twin = composing.strip_twin(self.book, self.code)
            self.dismiss(f"{named(twin)}: write the code on its bag; check how it sits.")
