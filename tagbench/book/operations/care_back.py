"""Taking the last care of parts back, one step further at each turn."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tagbench.book.book import Book
from tagbench.book.operations.care import each, said
from tagbench.book.operations.replacing import no_longer_wanted, want_replacement
from tagbench.errors import BadInput, TagbenchError
from tagbench.records import Change, Edit, Part, from_plain
from tagbench.rules.care.steps import back_to, care_differs, drop_step, undecide
from tagbench.rules.describe.phrases import named

LOOKED_THROUGH = 500
"""So many of the last changes are looked through for what was done to a part."""


def take_last_back(book: Book, codes: Iterable[str]) -> list[Part]:
    """Takes back what was last done to the care of each part, as one change.

    What was done comes from the history; for a part whose care is older than that, its last
    step of care, or its verdict when it has none. Raises BadInput when there is nothing to take
    back, Refused when a part on the machine would be dirty.
    """
    codes = list(codes)
    steps = _edits_of(codes, book.history(limit=LOOKED_THROUGH))
    with book.change() as transaction:
        parts = each(transaction, codes, lambda part: _one_back(part, steps.get(part.code, ())))
        no_longer_wanted(transaction, [part.code for part in parts if part.replacement != "wanted"])
        want_replacement(transaction, parts)
        transaction.words = said("took back the last care of {}", parts)
    return parts


def _edits_of(codes: Iterable[str], changes: Iterable[Change]) -> dict[str, list[Edit]]:
    """Code → the edits of the part, newest first as the changes are."""
    found: dict[str, list[Edit]] = {code: [] for code in codes}
    for change in changes:
        for edit in change.edits:
            if edit.table == "parts" and edit.key in found and edit.after is not None:
                found[edit.key].append(edit)
    return found


def _one_back(part: Part, edits: Sequence[Edit]) -> Part:
    before = care_before(part, edits)
    if before is not None:
        return back_to(part, before)
    if part.care:
        return drop_step(part)
    if part.verdict != "undecided":
        return undecide(part)
    raise BadInput(f"Nothing has been done to {named(part)} that could be taken back.")


def care_before(part: Part, edits: Sequence[Edit]) -> Part | None:
    """The part before its last care, from its edits, newest first; None when not in them.

    A step back that was taken counts as not done, so that the next one goes further.
    """
    states: list[Part] = []
    for edit in reversed(edits):
        if edit.after is not None:
            _follow(states, edit.before, edit.after)
    if len(states) < 2 or care_differs(states[-1], part):
        return None
    return states[-2]


def _follow(states: list[Part], before: dict[str, object] | None, after: dict[str, object]) -> None:
    """Goes on from one state of care to the next; back to the one before, it goes back."""
    try:
        then = from_plain(after, Part)
        start = from_plain(before, Part) if before is not None else None
    except TagbenchError:
        states.clear()  # written by an older tagbench: nothing before it can be followed
        return
    if not states:
        states.append(start or then)
    if not care_differs(states[-1], then):
        return
    if len(states) > 1 and not care_differs(states[-2], then):
        states.pop()
    else:
        states.append(then)
