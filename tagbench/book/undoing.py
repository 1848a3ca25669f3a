"""Taking a change back, without touching what others have done since."""

from __future__ import annotations

from collections.abc import Iterable

from tagbench.book.history import UNREADABLE
from tagbench.book.integrity import agreement_faults
from tagbench.book.transaction import Draft
from tagbench.errors import BadInput, BookError, Refused
from tagbench.records import TABLES, Change, Desk, Edit, Record, Tag, from_plain, replace


def to_take_back(changes: Iterable[Change], number: int = 0) -> Change:
    """The change with that number, or the last one not yet taken back (newest come first).

    Preferences are passed over; see `is_preference`.
    """
    taken: set[int] = set()
    for change in changes:
        if change.takes_back == UNREADABLE:
            raise BookError(f"Nothing more can be taken back: {change.words}.")
        if change.takes_back:
            taken.add(change.takes_back)
        elif is_preference(change):
            continue
        elif change.number not in taken and number in (0, change.number):
            return change
        elif change.number == number:
            raise BadInput(f"“{change.words}” has been taken back already.")
    if number:
        raise BadInput(f"There is no change {number} that can be taken back.")
    raise BadInput("There is nothing to take back.")


PREFERENCES = frozenset({"theme", "phone_host", "phone_port", "phone_address"})
"""Fields of the desk that say how the person likes it and are no work on the machine."""


def is_preference(change: Change) -> bool:
    """Whether it is no work on the machine: light or dark, and who may come in by phone.

    Such a change is made back where it was made, so that nobody lets a lost phone in again, or
    turns the light on, by taking something back.
    """
    return any(edit.table == "phones" for edit in change.edits) or bool(
        change.edits and all(map(_is_preferred, change.edits))
    )


def _is_preferred(edit: Edit) -> bool:
    if edit.table != "desk" or edit.before is None or edit.after is None:
        return False
    names = {*edit.before, *edit.after}
    return {n for n in names if edit.before.get(n) != edit.after.get(n)} <= PREFERENCES


def still_holding(changes: Iterable[Change], number: int) -> list[Change]:
    """The changes after that number that have not been taken back (newest come first)."""
    found, taken = [], set()
    for change in changes:
        if change.number <= number or change.takes_back == UNREADABLE:
            break
        if change.takes_back:
            taken.add(change.takes_back)
        elif change.number not in taken:
            found.append(change)
    return found


def refuse_faults(draft: Draft, change: Change) -> None:
    """Refused when the records no longer agree after taking back: loops, wants, settings, bins."""
    if not any(edit.table in _NAMING and _names_change(edit) for edit in change.edits):
        return
    before = set(agreement_faults(draft.before))
    new = [fault for fault in agreement_faults(draft.records) if fault not in before]
    if new:
        raise Refused(f"“{change.words}” cannot be taken back: {new[0]} Change that first.")


_NAMING = {
    "parts": ("behind", "bin", "new_bin"),
    "bins": ("kept_in", "name"),
    "wants": ("parts",),
    "settings": ("after",),
}
"""Table → the fields by which its records name others, or are told apart."""


def _names_change(edit: Edit) -> bool:
    if edit.before is None or edit.after is None:
        return True
    return any(edit.before.get(name) != edit.after.get(name) for name in _NAMING[edit.table])


def take_back(draft: Draft, change: Change) -> None:
    """Puts the records of a change back as they were before it.

    Fields that others changed since are left as they are; where they changed the same field,
    `Refused` is raised and nothing is taken back.
    """
    for edit in change.edits:
        current = draft.records_by(edit.table).get(edit.key)
        restored = _restored(edit, current)
        if restored is _CHANGED_SINCE:
            raise Refused(
                f"“{change.words}” cannot be taken back because {edit.key} was changed again "
                "since; look at its history and change it by hand."
            )
        draft.set(edit.table, edit.key, restored)
    _refuse_dangling(draft, change)


_CHANGED_SINCE = Record()


def _restored(edit: Edit, current: Record | None) -> Record | None:
    """What the record becomes; `_CHANGED_SINCE` where that would undo somebody else's work."""
    before, after = _record(edit, edit.before), _record(edit, edit.after)
    if isinstance(current, Tag) and before is None:
        return replace(current, kind="gone", queued=None)  # a code stays given out
    if current == after and not isinstance(current, Desk):
        return before
    if current is None or before is None or after is None:
        return _CHANGED_SINCE
    return _merged(before, after, current)


def _record(edit: Edit, plain: dict[str, object] | None) -> Record | None:
    return None if plain is None else from_plain(plain, TABLES[edit.table])


#: Counters of codes and numbers, which never go back.
_ONWARD = {"serials", "ids"}


def _merged(before: Record, after: Record, current: Record) -> Record:
    """The current record with only those fields put back that the change had changed.

    On tags and on the desk a field that was set anew simply stays.
    """
    back = {}
    for name in current.__struct_fields__:
        old, new, now = (getattr(record, name) for record in (before, after, current))
        if old == new or (name in _ONWARD and isinstance(current, Desk)):
            continue
        if now == new:
            back[name] = old
        elif not isinstance(current, Tag | Desk):
            return _CHANGED_SINCE
    return replace(current, **back)


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
