"""Taking a change back and putting it back again, without touching what others have done since."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping

from tagbench.book.history import UNREADABLE
from tagbench.book.integrity import faults
from tagbench.book.transaction import Transaction
from tagbench.book.typed import BadRecordError, decoded_record
from tagbench.errors import BadInput, BookError, Refused
from tagbench.records import Change, Desk, Edit, Record, Tag, replace

NAMED = 6
"""How many later changes are named before it only says how many more."""

Newest = Callable[[], Iterable[Change]]
"""The history from its newest change on, read anew at each call."""


def to_take_back(changes: Iterable[Change], number: int = 0) -> Change:
    """The change with that number, or the last one that stands (newest come first).

    Preferences are passed over; see `is_preference`.
    """
    for change, stands in _standing(changes):
        if change.takes_back or change.puts_back:
            if change.number == number:
                raise BadInput(f"“{change.words}” was an undo or a redo; choose the change itself.")
        elif is_preference(change):
            continue
        elif stands and number in (0, change.number):
            return change
        elif change.number == number:
            raise BadInput(f"“{change.words}” has been taken back already.")
    if number:
        raise BadInput(f"There is no change {number} that can be taken back.")
    raise BadInput("There is nothing to take back.")


def to_put_back(changes: Iterable[Change]) -> tuple[Change, Change]:
    """The undo to be reversed, and the change that will stand again.

    Raises `BadInput` when nothing was taken back since the last new change: what was undone
    before that may contradict it.
    """
    undone: Change | None = None
    for change, stands in _standing(changes):
        if undone is not None:
            if change.number == undone.takes_back:
                return undone, change
        elif change.takes_back and stands:
            undone = change
        elif stands and not change.puts_back and not is_preference(change):
            break
    raise BadInput("There is nothing to put back: nothing was taken back since the last change.")


def _standing(changes: Iterable[Change]) -> Iterator[tuple[Change, bool]]:
    """Each change, newest first, and whether it stands: a change that reverses another and is
    not reversed itself makes the other one void."""
    void: set[int] = set()
    for change in changes:
        if change.takes_back == UNREADABLE:
            raise BookError(f"Nothing more can be taken back: {change.words}.")
        stands = change.number not in void
        if stands:
            void |= {change.takes_back, change.puts_back}
        yield change, stands


PREFERENCES = frozenset({"theme", "large", "phone_host", "phone_port", "phone_address"})
"""Fields of the desk that say how the person likes it and are no work on the machine."""


def taken_away_by(changes: Iterable[Change], key: str) -> Change | None:
    """The change that took the part or bin of that code away; None when the history has none."""
    for change in changes:
        for edit in change.edits:
            if edit.key == key and edit.table in ("parts", "bins"):
                return change if edit.after is None else None
    return None


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
    """The changes after that number that stand (newest come first)."""
    found = []
    for change, stands in _standing(changes):
        if change.number <= number:
            break
        if stands and not (change.takes_back or change.puts_back):
            found.append(change)
    return found


_NAMING = {
    "parts": ("behind", "bin", "new_bin"),
    "bins": ("kept_in", "name"),
    "wants": ("parts",),
    "settings": ("after",),
    "machines": (),
}
"""Table → the fields by which its records name others, or are told apart."""


def _names_change(edit: Edit) -> bool:
    if edit.table not in _NAMING:
        return False
    if edit.before is None or edit.after is None:
        return True
    return any(edit.before.get(name) != edit.after.get(name) for name in _NAMING[edit.table])


def take_back(transaction: Transaction, change: Change, newest: Newest) -> None:
    """Puts the records of a change back as they were before it.

    Fields that others changed since are left as they are. Where later changes touched the same
    field, or the book would not agree with itself any more, `Refused` is raised with the changes
    that would have to go first, and nothing is taken back.
    """
    before = transaction.records
    for edit in change.edits:
        current = transaction.records_by(edit.table).get(edit.key)
        restored = _restored(edit, current)
        if restored is _CHANGED_SINCE:
            raise Refused(_hangs_on(change, _later(newest(), change)))
        transaction.set(edit.table, edit.key, restored)
    if not any(_names_change(edit) for edit in change.edits):
        return
    known = set(faults(before))
    new = next((fault for fault in faults(transaction.records) if fault not in known), "")
    if new:
        raise Refused(f"{_hangs_on(change, _later(newest(), change))} Otherwise: {new}")


def hanging_on(newest: Newest, change: Change) -> list[Change]:
    """All later changes that stand and hang on a change, or on one that does, newest first."""
    found: dict[int, Change] = {}
    open_ones = [change]
    while open_ones:
        for later in _later(newest(), open_ones.pop()):
            if later.number not in found:
                found[later.number] = later
                open_ones.append(later)
    return [found[number] for number in sorted(found, reverse=True)]


def _later(newest: Iterable[Change], change: Change) -> list[Change]:
    """The changes after this one that stand and hang on it, newest first.

    They changed the same field of the same record, or name a record that it made.
    """
    fields = {(edit.table, edit.key): _changed(edit) for edit in change.edits}
    named = {edit.key for edit in change.edits if edit.table in _NAMING}
    later = still_holding(newest, change.number)
    return [one for one in later if any(_hangs(edit, fields, named) for edit in one.edits)]


def _changed(edit: Edit) -> frozenset[str]:
    """The fields that an edit changed; a record made or taken away has changed as a whole."""
    if edit.before is None or edit.after is None:
        return _WHOLE
    names = {*edit.before, *edit.after}
    return frozenset(n for n in names if edit.before.get(n) != edit.after.get(n))


_WHOLE = frozenset({""})


def _hangs(edit: Edit, fields: Mapping[tuple[str, str], frozenset[str]], named: set[str]) -> bool:
    if edit.table in ("desk", "tags"):
        return False
    known = fields.get((edit.table, edit.key))
    if known is not None:
        mine = _changed(edit)
        return _WHOLE in (known, mine) or not known.isdisjoint(mine)
    # A part or bin names its machine with the mark that its code begins with.
    return edit.key.split("-")[0] in named or not named.isdisjoint(_texts(edit.after))


def _texts(plain: object) -> Iterator[str]:
    """Every text in a record: codes that it names are among them."""
    if isinstance(plain, str):
        yield plain
    elif isinstance(plain, dict):
        for value in plain.values():
            yield from _texts(value)
    elif isinstance(plain, list | tuple):
        for value in plain:
            yield from _texts(value)


def _hangs_on(change: Change, later: list[Change]) -> str:
    if not later:
        return (
            f"“{change.words}” cannot be taken back because its records were changed since; "
            "look at the history and change them by hand."
        )
    names = "; ".join(f"{other.number} “{other.words}”" for other in later[:NAMED])
    more = f"; and {len(later) - NAMED} more" if len(later) > NAMED else ""
    return (
        f"“{change.words}” cannot be taken back alone, because later changes hang on it: "
        f"{names}{more}. Take those back first, the newest one first."
    )


_CHANGED_SINCE = Record()


def _restored(edit: Edit, current: Record | None) -> Record | None:
    """What the record becomes; `_CHANGED_SINCE` where that would undo somebody else's work."""
    before, after = _record(edit.table, edit.before), _record(edit.table, edit.after)
    if isinstance(current, Tag) and before is None:
        return replace(current, kind="gone", queued=None)  # a code stays given out
    if current == after and not isinstance(current, Desk):
        return before
    if current is None or before is None or after is None:
        return _CHANGED_SINCE
    return _merged(before, after, current)


def _record(table: str, plain: dict[str, object] | None) -> Record | None:
    try:
        return None if plain is None else decoded_record(table, plain)
    except BadRecordError as error:
        raise Refused(
            f"This cannot be taken back, as it cannot be read any more: {error}."
        ) from error


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
