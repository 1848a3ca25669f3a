"""Taking a change back, without touching what others have done since."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from tagbench.book.draft import Draft
from tagbench.book.history import UNREADABLE
from tagbench.errors import BadInput, BookError, Refused
from tagbench.records import TABLES, Change, Desk, Edit, Record, Tag, from_plain, replace, to_plain

Plain = dict[str, Any]


def to_take_back(changes: Iterable[Change], number: int = 0) -> Change:
    """The change with that number, or the last one not yet taken back (newest come first)."""
    taken: set[int] = set()
    for change in changes:
        if change.takes_back == UNREADABLE:
            raise BookError(f"Nothing more can be taken back: {change.words}.")
        if change.takes_back:
            taken.add(change.takes_back)
        elif change.number not in taken and number in (0, change.number):
            return change
        elif change.number == number:
            raise BadInput(f"“{change.words}” has been taken back already.")
    if number:
        raise BadInput(f"There is no change {number} that can be taken back.")
    raise BadInput("There is nothing to take back.")


def take_back(draft: Draft, change: Change) -> None:
    """Puts the records of a change back as they were before it.

    Fields that others changed since are left as they are; where they changed the same field,
    `Refused` is raised and nothing is taken back.
    """
    for edit in change.edits:
        current = draft.records_by(edit.table).get(edit.key)
        draft.set(edit.table, edit.key, _restored(edit, current, change))
    _refuse_dangling(draft, change)


def _restored(edit: Edit, current: Record | None, change: Change) -> Record | None:
    kind = TABLES[edit.table]
    if isinstance(current, Tag):
        return _restored_tag(edit, current)
    if isinstance(current, Desk):
        return _restored_desk(edit, current)
    now = None if current is None else to_plain(current)
    if now == edit.after:
        return None if edit.before is None else from_plain(edit.before, kind)
    if now is None or edit.before is None or edit.after is None:
        raise _changed_since(edit, change)
    return from_plain(_merged(edit, now, change), kind)


def _merged(edit: Edit, now: Plain, change: Change) -> Plain:
    """The record with only the fields put back that the change had changed."""
    before, after = edit.before or {}, edit.after or {}
    merged = dict(now)
    for name in {*before, *after}:
        if before.get(name) == after.get(name):
            continue
        if now.get(name) != after.get(name):
            raise _changed_since(edit, change)
        merged.pop(name, None)
        if name in before:
            merged[name] = before[name]
    return merged


def _restored_tag(edit: Edit, tag: Tag) -> Tag:
    """A code stays given out: a fresh one is gone, a spare one is spare again."""
    if edit.before is None:
        return replace(tag, kind="gone", queued=None)
    before, after = edit.before, edit.after or {}
    now = to_plain(tag)
    names = [name for name in {*before, *after} if before.get(name) != after.get(name)]
    for name in names:
        if now.get(name) == after.get(name):
            now.pop(name, None)
            if name in before:
                now[name] = before[name]
    return from_plain(now, Tag)


def _restored_desk(edit: Edit, desk: Desk) -> Desk:
    """What the bench remembers goes back where it was not set anew; counters never go back."""
    before, after = edit.before or {}, edit.after or {}
    now = to_plain(desk)
    for name in {*before, *after} - {"serials", "ids"}:
        if before.get(name) != after.get(name) and now.get(name) == after.get(name):
            now.pop(name, None)
            if name in before:
                now[name] = before[name]
    return from_plain(now, Desk)


def _changed_since(edit: Edit, change: Change) -> Refused:
    return Refused(
        f"“{change.words}” cannot be taken back because {edit.key} was changed again since; "
        "look at its history and change it by hand."
    )


def _refuse_dangling(draft: Draft, change: Change) -> None:
    """A record that others name by now must not vanish."""
    lost = {edit.key for edit in change.edits if edit.table in ("parts", "bins")}
    lost -= {*draft.records.parts, *draft.records.bins}
    if not lost:
        return
    namers = {part.code: {part.bin, *part.behind} for part in draft.records.parts.values()}
    namers |= {bin_.code: {bin_.kept_in} for bin_ in draft.records.bins.values()}
    for code, named in namers.items():
        if named & lost:
            raise Refused(
                f"“{change.words}” cannot be taken back because {code} names "
                f"{', '.join(sorted(named & lost))}; change {code} first."
            )
