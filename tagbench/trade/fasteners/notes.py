"""What to mind when a fastener goes back: single-use items, locking, where the torque is from."""

from __future__ import annotations

from tagbench.records import Fastener
from tagbench.trade.fasteners.vocabulary import lock_item

#: Common practice, no source, save where a document is named.
_NOTES = {
    "thread lock": "Thread lock: degrease both threads, put on a drop, torque it at once.",
    "self-locking nut": "Self-locking nut: measure the torque it takes to run down and add it"
    " to the wanted one (AC 43.13-1B 7-40).",
    "lock wire": "Lock wire: new wire, drawn so that it pulls the head tight.",
    "tab washer": "Tab washer: bend an unused tab, never the same one twice.",
    "gasket": "Gasket: both faces clean and dry; tighten crosswise in stages.",
}


def locking_notes(fastener: Fastener) -> list[str]:
    """What to mind about how a fastener is kept from coming loose, a sentence for each way."""
    items = (fastener.kind, *map(lock_item, fastener.locking))
    return [_NOTES[item] for item in items if item in _NOTES]
