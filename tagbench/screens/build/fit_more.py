"""What else can be done on the fit card besides ending it."""

from __future__ import annotations

from typing import cast

from textual import work
from textual.dom import DOMNode

from tagbench.book.operations.building import FitForm, fit
from tagbench.book.operations.strip import part_by_code
from tagbench.errors import BadInput
from tagbench.records import Machine, Part
from tagbench.rules.rebuild.fit import single_use_lines
from tagbench.screens.build.fit_new import NewDialog
from tagbench.screens.build.links import LinksDialog
from tagbench.screens.build.reach import ReachDialog
from tagbench.screens.frame.actions import Action
from tagbench.screens.frame.viewer import show_in_viewer
from tagbench.screens.shared.base import CARDS, ScreenMixin
from tagbench.screens.shared.wrench import WrenchDialog
from tagbench.screens.widgets.photo import PhotoView
from tagbench.trade.torque.wrench import Lever


class FitMore(ScreenMixin):
    """Single-use items, coming off, links, the wrench, pictures; and what was said so far."""

    more = (
        Action("n", "renewed", "New ones", "The single-use items are new."),
        Action("o", "came_off", "Came off", "The part came off again."),
        Action("r", "reach", "Get back", "What must come off again to get back to the part."),
        Action("k", "links", "Links", "Draws the links around the part."),
        Action("w", "wrench", "Wrench", "Your torque wrench, and an extension on it."),
        Action("v", "view", "View", "Opens the picture in the system's viewer."),
        Action("p", "next_photo", "Picture", "Shows the next picture.", show=False),
    )

    code: str
    """The part on the card."""

    def forget(self) -> None:
        """What was said about a part holds for that part alone."""
        self.renewed: set[int] = set()
        self.short: dict[int, int] = {}
        self.lever: Lever | None = None

    @property
    def part(self) -> Part:
        """The part as it is now. Raises NotFound when its record was taken away."""
        return part_by_code(self.tables, self.code)

    @property
    def machine(self) -> Machine:
        """The machine of the part."""
        mark = self.code.split("-", 1)[0]
        return self.tables.machines.get(mark, Machine(mark=mark, name=mark))

    @property
    def photos(self) -> PhotoView:
        """The pictures on the card."""
        return cast(DOMNode, self).query_one(PhotoView)

    def catch_up(self) -> None:
        """Shows the part as the book has it now."""

    def show_again(self) -> None:
        """Shows the card anew, whatever is shown."""

    @work(group=CARDS)
    async def action_renewed(self) -> None:
        """Which single-use items are new: at once when there is one line, else from a list."""
        with self.refusing():
            part = self.part
            lines = single_use_lines(part)
            if not lines:
                raise BadInput("Nothing on it is used only once.")
            if len(lines) == 1:
                self._new_ones(set(lines) ^ self.renewed)
            else:
                new = await self.ask(NewDialog(part, self.renewed))
                self._new_ones(new)

    def _new_ones(self, lines: set[int] | None) -> None:
        """Remembered until the part goes on; written down at once when it is on already."""
        if lines is None:
            return
        part = self.part
        if part.fitted == "off":
            self.renewed = lines
            self.show_again()
        elif lines:
            with self.refusing():
                fit(self.book, self.code, FitForm(part.fitted == "snug", renewed=tuple(lines)))
                self.tell("Written down: the new ones are in.")
        self.catch_up()

    def action_came_off(self) -> None:
        """Shows what comes off with it, and writes it down."""
        self.open_card(ReachDialog(self.code))

    def action_reach(self) -> None:
        """Shows what must come off again to get back to it."""
        self.open_card(ReachDialog(self.code))

    def action_links(self) -> None:
        """Draws the links around it."""
        self.open_card(LinksDialog(self.code))

    @work(group=CARDS)
    async def action_wrench(self) -> None:
        """Asks for the wrench and its extension."""
        wrench = await self.ask(WrenchDialog(self.machine, self.lever))
        if wrench is not None:
            self.lever = wrench.lever
            self.show_again()

    def action_next_photo(self) -> None:
        """Shows the next picture."""
        self.photos.next()

    def action_view(self) -> None:
        """Opens the picture with the system's viewer."""
        with self.refusing():
            path = self.photos.path
            if path is None:
                raise BadInput("There is no picture of it yet.")
            show_in_viewer(path)
