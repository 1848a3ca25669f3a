"""Why a picture cannot be measured, where front ends tell it differently. Needs no extra."""

from __future__ import annotations

from tagbench.errors import BadInput


class NoMatSeen(BadInput):
    """No symbol of the mat is seen in a picture that is no scan either."""

    def __init__(self, name: str) -> None:
        self.plain = (
            f"No mat is seen in {name}: lay the pieces on the printed mat, with all of it sharp "
            "and in view"
        )
        """The sentence without its end, for where no option is typed."""
        super().__init__(
            f"{self.plain} (tagbench mat prints it), or give a flatbed scan's --dpi 300."
        )
