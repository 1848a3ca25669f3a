"""What each phone did lately: what it can take back, and which part or bin it had open last."""

from __future__ import annotations

import time
from collections import OrderedDict, defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field

from tagbench.records import Change, Phone

KEPT = 30
"""Changes of one phone that can be taken back by it."""
OPEN_SECONDS = 900.0
"""How long what was opened last is offered to be put into the next bin that is opened."""


@dataclass(frozen=True)
class Done:
    """Something a phone has done, as its next page says it."""

    number: int
    """Number of the change."""
    code: str
    """The tag it was about."""
    words: str
    """What was done."""
    can_be_undone: bool = True
    """False for what was itself a taking back."""


@dataclass
class _OfOnePhone:
    done: OrderedDict[int, Done] = field(default_factory=OrderedDict)
    opened: tuple[str, float] = ("", 0.0)


class Activity:
    """Kept in memory only: after a restart nothing is offered to be taken back."""

    def __init__(self, *, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._phones: defaultdict[int, _OfOnePhone] = defaultdict(_OfOnePhone)

    def did(self, phone: Phone, code: str, change: Change) -> Done:
        """A phone made this change."""
        done = Done(change.number, code, change.words, not change.takes_back)
        kept = self._phones[phone.id].done
        kept[done.number] = done
        if change.takes_back:
            kept.pop(change.takes_back, None)
        while len(kept) > KEPT:
            kept.popitem(last=False)
        return done

    def done(self, phone: Phone, number: str) -> Done | None:
        """What the phone did as that change; None when it was another's or is long past."""
        known = self._phones[phone.id].done
        return known.get(int(number)) if number.isascii() and number.isdecimal() else None

    def opened(self, phone: Phone, code: str) -> None:
        """A phone opened the page of a part or bin."""
        self._phones[phone.id].opened = code, self._clock()

    def opened_before(self, phone: Phone) -> str:
        """The code of what the phone opened last, if that was not long ago."""
        code, at = self._phones[phone.id].opened
        return code if self._clock() - at < OPEN_SECONDS else ""
