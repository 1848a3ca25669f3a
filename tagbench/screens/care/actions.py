"""What can be done to the care of parts, with the same keys on Clean and on Inspect."""

from __future__ import annotations

from collections.abc import Sequence

from tagbench.book.operations import care
from tagbench.book.operations.care_back import take_last_back
from tagbench.records import Part
from tagbench.records.care_steps import CARE
from tagbench.rules.buying.open_orders import OnOrder
from tagbench.rules.care.substances import used_last
from tagbench.rules.describe.phrases import named_parts
from tagbench.rules.whereabouts import put_old_piece
from tagbench.screens.care.on_order import OnOrderDialog
from tagbench.screens.care.steps import SoakDialog, SoakOutDialog, StepDialog, ticked_words
from tagbench.screens.frame.actions import Action
from tagbench.screens.shared.multi_select import MultiSelectScreen
from tagbench.screens.shared.old_piece import OldPieceDialog

CARE_KEYS = (
    *(
        Action(kind.key, f"tick_off('{kind.name}')", kind.name.capitalize(), kind.help, writes=True)
        for kind in CARE
    ),
    Action("u", "tick_off('reuse')", "Reuse", "To be used again.", writes=True),
    Action(
        "r",
        "tick_off('replace')",
        "Replace",
        "To be replaced; it goes on the want list.",
        writes=True,
    ),
    Action(
        "b",
        "step_back",
        "Take back",
        "Takes back what was last done to the chosen parts.",
        writes=True,
    ),
    Action("s", "soak", "Soak", "Puts the chosen parts to soak, or takes them out.", False),
    Action("w", "with_words", "With", "A step with another substance or on another day.", False),
)
"""The care keys; they act on the selected parts, or on the one under the cursor."""
MORE_CARE_KEYS = (
    Action("c", "cautions", "Cautions", "All cautions, with their sources.", False),
    Action(
        "x", "old_piece", "Old piece", "Where the old piece went: out, pattern, back.", show=False
    ),
    Action("o", "part", "Part", "Opens the page of the part.", show=False),
    Action("f", "finish", "Finish", "Blasted, painted, plated, …; and a dry fit.", show=False),
    Action("y", "away", "Away", "What is with someone else, and batches.", show=False),
)


class CareScreen(MultiSelectScreen):
    """A screen on which parts are chosen and their care is ticked off."""

    @property
    def selected(self) -> list[Part]:
        """The parts that a key acts on; none while there is nothing to choose."""
        return []

    def _some(self) -> list[Part]:
        parts = self.selected
        if not parts:
            self.refuse("Choose a part first; Space selects several, on a heading all under it.")
        return parts

    def action_tick_off(self, what: str) -> None:
        """Marks the chosen parts; asks with what when that cannot be known."""
        parts = self._some()
        with_what = used_last(self.tables, what, parts) if parts else ""
        if with_what is None:
            self._ask(parts, what)
        elif parts:
            codes = [part.code for part in parts]
            with self.refusing():
                try:
                    changed = care.tick_off(self.book, codes, what, with_what=with_what)
                except OnOrder as asks:
                    self.open_card(OnOrderDialog(codes, str(asks)))
                else:
                    self.finished(ticked_words(changed, what, with_what))

    def _ask(self, parts: Sequence[Part], what: str) -> None:
        self.open_card(StepDialog(parts, what))

    def action_with_words(self) -> None:
        """Asks which step, with what, and on which day."""
        parts = self._some()
        if parts:
            done = {step.step for step in parts[0].care}
            self._ask(
                parts, next((kind.name for kind in CARE if kind.name not in done), CARE[-1].name)
            )

    def action_step_back(self) -> None:
        parts = self._some()
        if parts:
            with self.refusing():
                changed = take_last_back(self.book, [part.code for part in parts])
                self.finished(f"Took back what was last done to {named_parts(changed)}.")

    def action_soak(self) -> None:
        """Opens the card for the soak: in, or out when all of them soak."""
        parts = self._some()
        soaking = [part for part in parts if part.soak is not None]
        if soaking and len(soaking) < len(parts):
            self.refuse("Some of these soak already and some do not; choose only one kind.")
        elif parts:
            self.open_card(SoakOutDialog(parts) if soaking else SoakDialog(parts))

    def action_finish(self) -> None:
        from tagbench.screens.care.finish import FinishDialog

        if parts := self._some():
            self.open_card(FinishDialog(parts))

    async def action_away(self) -> None:
        await self.bench_app.open_screen("away")

    def action_old_piece(self) -> None:
        parts = self._some()
        if parts:
            with self.refusing():
                for part in parts:
                    put_old_piece(part, "gone")
                self.open_card(OldPieceDialog(parts))

    async def action_cautions(self) -> None:
        await self.bench_app.open_screen("cautions")

    async def action_part(self) -> None:
        parts = self._some()
        if parts:
            await self.bench_app.open_code(parts[0].code)
