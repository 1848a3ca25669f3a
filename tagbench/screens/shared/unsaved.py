"""Half-typed forms: written aside a moment after the last key, and offered when one comes back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from threading import Lock
from typing import TYPE_CHECKING, Literal, cast

from textual import work
from textual.app import ComposeResult
from textual.dom import DOMNode
from textual.events import Key, Paste
from textual.widgets import Static

from tagbench.book.autosave import Autosave, UnsavedForm
from tagbench.errors import BookError
from tagbench.rules.describe.phrases import moment
from tagbench.screens.frame.actions import CLOSE, Action
from tagbench.screens.shared.base import CARDS, ScreenMixin, TagbenchDialog

if TYPE_CHECKING:
    from textual.timer import Timer

_WRITING = Lock()
WRITTEN_AFTER_S = 0.4
"""How long after the last key a form is written aside."""
UnsavedAnswer = Literal["back", "away"]
LATER = "“{}” is kept: Ctrl+O on Bench offers it again."
TYPING = frozenset(["tab", "shift+tab", "up", "down", "left", "right", "backspace", "delete"])
"""Keys of somebody who types in a form, besides the letters."""


class UnsavedDialog(TagbenchDialog[UnsavedAnswer]):
    """Offers what was half-typed; closing it puts it off, and so does typing on, into the form."""

    heading = "Half-typed"
    actions = (
        Action("enter", "answer('back')", "Bring it back", "Puts it into the form again."),
        Action("ctrl+d", "answer('away')", "Throw it away", "Forgets what was typed, for good."),
    )

    def __init__(self, words: str) -> None:
        super().__init__()
        self._words = words

    def body(self) -> ComposeResult:
        yield Static(self._words, markup=False, classes="words")

    def bar_actions(self) -> Iterable[Action]:
        """The keys; Escape says that nothing is lost by it."""
        return (
            replace(one, description="Later") if one is CLOSE else one for one in self.all_actions()
        )

    def action_answer(self, answer: UnsavedAnswer) -> None:
        """Closes with that answer."""
        self.dismiss(answer)

    def gives_way(self, event: Key | Paste) -> bool:
        """Whoever types on when the question comes types in the form, and nothing gets lost."""
        types = isinstance(event, Paste) or event.is_printable or event.key in TYPING
        if types:
            self.dismiss(None)
        return types


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
        if self._unsaved_waits or not self.bench_app.is_running:
            return  # a form that is taken down with the app has no fields left to read
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
        """Offers, once, what was typed here and not saved when tagbench ended.

        Nobody is asked who types in the form already: it is put off.
        """
        if self._unsaved_offered or not self.unsaved_name or not self.bench_app.book_is_here:
            return
        self._unsaved_offered = True
        found = self._autosave.latest(self.unsaved_name)
        if found is None:
            return
        file, unsaved = found
        begun = next(filter(None, unsaved.fields.values()), "")
        name = unsaved.fields.get("name") or begun
        words = f"“{name}” was typed {moment(unsaved.at)} and not saved."
        self._unsaved_waits = True
        answer = None
        if not self.typed_fields():
            card = UnsavedDialog(words)
            answer = await self.ask(card)
        self._unsaved_waits = False
        if answer == "back":
            self._autosave.bring_back(self.unsaved_name, file)
            self.put_back(unsaved.fields)
        elif answer == "away":
            self._autosave.throw_away(file)
        else:
            if file == self._autosave.file(self.unsaved_name):
                self._autosave.put_off(self.unsaved_name)
            self.tell(LATER.format(name))
            self.keep_typed()

    def offer_again(self) -> None:
        """Offers what was put off once more, unless something is typed in the form now."""
        if not self._unsaved_waits and not self.typed_fields():
            self._unsaved_offered = False
            self.offer_unsaved()
