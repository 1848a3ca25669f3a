"""The names of more lists than fit one line."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content
from textual.geometry import Size

from tagbench.screens.widgets.views import GAP, View, Views


class WrappedViews(Views):
    """Goes on in a second line where the first is full; never breaks a name."""

    def show(self, views: Sequence[View]) -> None:
        """Shows other counts; the same lists."""
        super().show(views)
        self.refresh(layout=True)

    def render(self) -> Content:
        return Content("\n").join(self._lines(self.content_size.width))

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        return len(self._lines(width))

    def _lines(self, width: int) -> list[Content]:
        lines: list[Content] = []
        for at in range(len(self._views)):
            entry = self._entry(at)
            wider = Content(" " * GAP).join([lines[-1], entry]) if lines else entry
            if lines and wider.cell_length <= width:
                lines[-1] = wider
            else:
                lines.append(entry)
        return lines
