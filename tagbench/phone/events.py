"""What the phone page tells the screens, so that the bench follows the phone."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from tagbench.records import Phone


@dataclass(frozen=True)
class TagOpened:
    """A paired phone opened the page of a tag."""

    code: str
    """The code of the part, bin or spare tag."""
    kind: str
    """part, bin or spare."""
    phone: Phone
    """Who opened it."""


@dataclass(frozen=True)
class BookChanged:
    """A paired phone changed the book."""

    code: str
    """The code of the part that was changed or started."""
    words: str
    """What was done, as it stands in the history."""
    phone: Phone
    """Who did it."""


@dataclass(frozen=True)
class PhonePaired:
    """A phone has just been paired; the code and the link are used up."""

    phone: Phone
    """The new phone."""


@dataclass(frozen=True)
class PairingSpent:
    """The pairing code was tried wrongly too often and is no longer good."""

    address: str
    """From which network address the last try came."""


@dataclass(frozen=True)
class AddressChanged:
    """The network gave this computer another address; new tags are printed with it."""

    before: str
    """`host:port` as it was printed until now."""
    now: str
    """`host:port` from now on."""


@dataclass(frozen=True)
class MatPhotographed:
    """A paired phone photographed the measuring mat; the result waits."""

    words: str
    """What was seen."""
    phone: Phone
    """Who did it."""


PhoneEvent = TagOpened | BookChanged | MatPhotographed | PhonePaired | PairingSpent | AddressChanged
Listener = Callable[[PhoneEvent], None]


class Events:
    """Tells every listener about an event, in the thread of the server's event loop."""

    def __init__(self) -> None:
        self._listeners: list[Listener] = []

    def listen(self, listener: Listener) -> Callable[[], None]:
        """Calls `listener` with every event from now on; the result ends that."""
        self._listeners.append(listener)
        return lambda: self._listeners.remove(listener)

    def tell(self, event: PhoneEvent) -> None:
        """Passes an event on."""
        for listener in tuple(self._listeners):
            listener(event)
