"""Half-typed forms: written aside a moment after the last key, and offered when one comes back."""

from __future__ import annotations

from collections.abc import Mapping
from threading import Lock
from typing import TYPE_CHECKING, cast

from textual import work
from textual.dom import DOMNode

from tagbench.book.autosave import Autosave, UnsavedForm
from tagbench.errors import BookError
from tagbench.rules.describe.phrases import moment
from tagbench.screens.shared.base import CARDS, ScreenMixin
from tagbench.screens.shared.confirm import confirmed

if TYPE_CHECKING:
    from textual.timer import Timer

_WRITING = Lock()
WRITTEN_AFTER_S = 0.4
"""How long after the last key a form is written aside."""


class KeepsUnsaved(ScreenMixin):
    """A screen or card whose form outlasts a crash; mixed in like `ScreenMixin`."""

    unsaved_name: str = ""
    """Name of the form, e.g. `edit TP-017-7`; empty for one that is not kept."""
    _unsaved_timer: Timer | None = None
    _unsaved_offered = False
    _unsaved_waits = False
    """Whether what was typed before waits for an answer; it stays on the disk until then."""
    _unsaved_refused = False
    _unsaved_counts = 0
    """Goes up with every change, so that an older state is never written over a newer one."""

    def typed_fields(self) -> dict[str, str]:
        """Id of a field → what was typed there; empty while nothing is worth keeping."""
        raise NotImplementedError

    def put_back(self, fields: Mapping[str, str]) -> None:
        """Puts back what had been typed."""
        raise NotImplementedError

    def keep_typed(self) -> None:
        """Something was typed: it is written aside in a moment."""
        if self.unsaved_name and self.bench_app.book_is_here and not self.book.looked_at:
            if self._unsaved_timer is not None:
                self._unsaved_timer.stop()
            self._unsaved_timer = cast(DOMNode, self).set_timer(WRITTEN_AFTER_S, self._write_typed)

    def forget_typed(self) -> None:
        """The form was saved, emptied or closed: nothing of it is to be offered."""
        if not self.unsaved_name:
            return
        if self._unsaved_timer is not None:
            self._unsaved_timer.stop()
        with _WRITING:
            self._unsaved_counts += 1
            self._autosave.discard(self.unsaved_name)

    @property
    def _autosave(self) -> Autosave:
        return Autosave(self.book.folder)

    def _write_typed(self) -> None:
        if self._unsaved_waits:
            return
        fields = self.typed_fields()
        if not fields:
            if self._unsaved_offered:
                self.forget_typed()
            return
        self._unsaved_counts += 1
        self._write_aside(UnsavedForm(self.book.now(), fields), self._unsaved_counts)

    @work(thread=True, group="unsaved")
    def _write_aside(self, unsaved: UnsavedForm, count: int) -> None:
        """Beside the screen, since the disk may take its time; says once when it refuses."""
        try:
            with _WRITING:
                if count == self._unsaved_counts:
                    self._autosave.save(self.unsaved_name, unsaved)
        except BookError as error:
            if not self._unsaved_refused:
                self._unsaved_refused = True
                cast(DOMNode, self).app.call_from_thread(self.refuse, str(error))

    @work(group=CARDS)
    async def offer_unsaved(self) -> None:
        """Offers, once, what was typed here and not saved when tagbench ended."""
        if self._unsaved_offered or not self.unsaved_name or not self.bench_app.book_is_here:
            return
        self._unsaved_offered = True
        unsaved = self._autosave.load(self.unsaved_name)
        if unsaved is None:
            return
        begun = next(filter(None, unsaved.fields.values()), "")
        name = unsaved.fields.get("name") or begun
        words = f"“{name}” was typed {moment(unsaved.at)} and not saved."
        self._unsaved_waits = True
        wanted = await confirmed(self, "Half-typed", words, "Bring it back")
        self._unsaved_waits = False
        if wanted:
            self.put_back(unsaved.fields)
        else:
            self.forget_typed()
