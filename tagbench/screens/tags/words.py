"""What the tags screen says: what a tag is on, and what came of printing."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tagbench.records import Tables, Tag

if TYPE_CHECKING:
    from labels.output.files import Printed


def what(tag: Tag, tables: Tables) -> str:
    """What a tag is on, in words."""
    if tag.kind == "spare":
        return "spare tag"
    if tag.code in tables.parts:
        return tables.parts[tag.code].name
    return tables.bins[tag.code].name if tag.code in tables.bins else ""


def printed_words(printed: Printed, place: str) -> str:
    """What was printed, where the sheet was left, and what had to be cut."""
    tags = f"{printed.tags} tag{'s' * (printed.tags != 1)}"
    pages = f"{printed.pages} page{'s' * (printed.pages != 1)}"
    words = f"Printed {tags} on {pages}: {place}. Next free label: {printed.next_label}."
    if printed.cuts:
        cut = list(dict.fromkeys(cut.code for cut in printed.cuts))
        more = f" and {len(cut) - 3} more" if len(cut) > 3 else ""
        words += f" Text was cut on {', '.join(cut[:3])}{more}."
    return words


def last_printed(tag: Tag) -> str:
    """`waits`, `never`, or the day it was last printed and how often."""
    if tag.queued:
        return "waits"
    if tag.printed is None:
        return "never yet"
    often = f", {tag.times} times" if tag.times > 1 else ""
    return f"{tag.printed.day} {tag.printed:%b %Y}{often}"
