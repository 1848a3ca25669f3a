"""The screws of a bag from one picture, for every form with a field for fasteners."""

from __future__ import annotations

from pathlib import Path

from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.registry import LAID, PICTURE_TO_MEASURE
from tagbench.screens.shared.base import ScreenMixin
from tagbench.screens.widgets.fastener_field import FastenerField

LAY = Action(
    "f11",
    "lay",
    "From picture",
    "Counts, measures and names the screws of a picture, to be confirmed one by one.",
    show=False,
)
"""The key of every form with a field for fasteners."""

PUT_IN = "What was confirmed is in the fasteners. Check one with the caliper."


async def lay_into(screen: ScreenMixin, field: FastenerField) -> None:
    """Asks for the picture and what of it is right; that goes into the field. Only in a worker."""
    path = await screen.ask(PICTURE_TO_MEASURE())
    if not path:
        return
    found = await screen.ask(LAID(Path(path).expanduser()))
    if found:
        field.add(found)
        screen.tell(PUT_IN)
