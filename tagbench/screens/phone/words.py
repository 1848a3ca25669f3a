"""What the phone screen says: where phones are answered, who is paired, which tags are old."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import TYPE_CHECKING

from tagbench.phone.addresses import dead_tags
from tagbench.records import Phone, Tables, Tag
from tagbench.screens.widgets.sections import Section

if TYPE_CHECKING:
    from tagbench.phone.server import PhoneServer

OFF = (
    "A phone that scans a tag then sees its part, adds pictures and ticks what was done, and "
    "this screen follows it.",
    "Nothing is shown to a phone that was not paired here.",
)
NOT_ENCRYPTED = "Not encrypted: use it in your own network only."
FIXED_NUMBER = "Numbers change: in the router, reserve this computer's address."
HERE_ONLY = "A phone cannot reach that. For phones: Ctrl+O twice, and the home network."


def state(server: PhoneServer | None) -> Iterator[Section]:
    """Whether it is on, and where it answers."""
    if server is None:
        yield "Off", OFF
    elif server.address:
        advice = [] if server.name else [FIXED_NUMBER]
        yield "On, in the home network", [*server.urls, *advice, NOT_ENCRYPTED]
    else:
        yield "On, for this computer only", [*server.urls, HERE_ONLY]


def in_the_tags(tables: Tables) -> Iterator[Section]:
    """What tags are printed with, and which carry something else."""
    address = tables.desk.phone_address
    words = [f"Printed with {address}."] if address else ["Printed with the code alone."]
    old = dead_tags(tables, address)
    if old:
        words.append(old_words(old))
    yield "Tags", words


def to_reprint(tables: Tables) -> list[Tag]:
    """The printed tags with another phone address that do not wait to be printed yet."""
    return [tag for tag in dead_tags(tables, tables.desk.phone_address) if not tag.queued]


def old_words(old: Sequence[Tag]) -> str:
    """How many tags carry which other address, and how many of them will be printed anew."""
    carried = ", ".join(sorted({tag.address or "the code alone" for tag in old}))
    count = f"{len(old)} printed tag{'s carry' if len(old) != 1 else ' carries'} {carried}"
    queued = sum(1 for tag in old if tag.queued)
    if queued == len(old):
        return f"{count}; queued to be printed anew."
    return f"{count}; Ctrl+P queues {'the rest' if queued else 'them'}."


def seen_words(phone: Phone, now: datetime) -> str:
    """When a phone was last here: `19:05`, `yesterday`, `3 Nov`, `3 Nov 2024`."""
    if phone.seen is None:
        return "never yet"
    seen = phone.seen.astimezone(now.tzinfo)
    days = (now.date() - seen.date()).days
    if days == 0:
        return f"{seen:%H:%M}"
    if days == 1:
        return f"yesterday {seen:%H:%M}"
    return f"{seen.day} {seen:%b}" + (f" {seen.year}" if seen.year != now.year else "")
