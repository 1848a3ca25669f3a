"""Setting tags and counters right, so that no code or number is given out twice."""

from __future__ import annotations

from tagbench.book.book import Book
from tagbench.book.draft import Draft
from tagbench.records import Tag, replace


def retag(book: Book) -> list[str]:
    """Gives every part and bin its tag, frees tags of nothing, lifts counters; tells what it did.

    One change, which can be taken back like any other; none when all is in order.
    """
    with book.change("set tags and counters right") as draft:
        return [*_tags(draft), *_lonely(draft), *_counters(draft)]


def _tags(draft: Draft) -> list[str]:
    said = []
    for kind, codes in (("part", draft.records.parts), ("bin", draft.records.bins)):
        for code in codes:
            tag = draft.records.tags.get(code)
            if tag is None or tag.kind != kind:
                draft.set("tags", code, replace(tag or Tag(code=code), kind=kind))
                said.append(f"The {kind} {code} has its tag again.")
    return said


def _lonely(draft: Draft) -> list[str]:
    said = []
    owners = {"part": draft.records.parts, "bin": draft.records.bins}
    for tag in list(draft.records.tags.values()):
        if tag.kind in owners and tag.code not in owners[tag.kind]:
            draft.set("tags", tag.code, replace(tag, kind="gone", queued=None))
            said.append(f"The tag {tag.code} is marked as gone: no {tag.kind} has its code.")
    return said


def _counters(draft: Draft) -> list[str]:
    desk = draft.records.desk
    serials, ids = dict(desk.serials), dict(desk.ids)
    for code in draft.records.tags:
        mark, serial, _ = code.split("-")
        serials[mark] = max(serials.get(mark, 0), int(serial))
    for table in ("wants", "settings", "stock", "phones"):
        numbers = map(int, getattr(draft.records, table))
        ids[table] = max([ids.get(table, 0), *numbers])
    ids = {table: number for table, number in ids.items() if number}
    if serials == desk.serials and ids == desk.ids:
        return []
    draft.set("desk", "desk", replace(desk, serials=serials, ids=ids))
    return ["The counters of codes and numbers are above all that were given out."]
