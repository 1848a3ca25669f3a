"""The usual cautions for the work at hand, in two lines or three."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from textual.widgets import Static

from tagbench.rules.care.cautions import DEFER, Caution

AT_LENGTH = 2
"""So many cautions are said at length when there are no more than these."""


class CautionLines(Static):
    """Each caution in one line behind a mark, then the line that defers; nothing without any."""

    def __init__(self) -> None:
        super().__init__("", markup=False)

    def show(self, cautions: Sequence[Caution], seen: Collection[str]) -> None:
        """Shows cautions, shortly those that were acknowledged; `seen` holds their ids."""
        lines = shown_lines(cautions, seen)
        self.display = bool(lines)
        self.update("\n".join(lines))


def shown_lines(cautions: Sequence[Caution], seen: Collection[str]) -> list[str]:
    """The lines: at most two that warn, and the one that defers."""
    fresh = [caution for caution in cautions if caution.id not in seen]
    if not fresh:
        before = ", ".join(caution.id for caution in cautions)
        return [f"Cautions seen before: {before} (C shows them)"] if before else []
    if len(fresh) <= AT_LENGTH:
        return [*(f"! {caution.line}" for caution in fresh), DEFER]
    others = ", ".join(caution.id for caution in fresh[1:])
    return [f"! {fresh[0].line}", f"! Also {others} (C shows them)", DEFER]
