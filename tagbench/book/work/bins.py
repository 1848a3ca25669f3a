"""Bins: finding one by what is written on it, making one, moving one into another."""

from __future__ import annotations

from tagbench.book.book import Book, Draft
from tagbench.errors import BadInput, NotFound
from tagbench.records import BIN_KINDS, BIN_MARK, Bin, Tables, replace
from tagbench.rules.bins import check_move


def kind_of(name: str) -> str:
    """The kind a bin's name says it is (`Box 3` → box), else bag."""
    words = name.casefold().split()
    return next((kind for kind in BIN_KINDS if kind in words), "bag")


def put_in_bin(draft: Draft, text: str) -> str:
    """The code of the bin that `text` names, made when new; empty for empty text.

    `text` is a code, a name, or a path from the outside in: `Shelf A / Box 2 / Bag 7`.
    """
    inside = ""
    for step in [step.strip() for step in text.split("/") if step.strip()]:
        known = _find(draft.records, step, inside)
        if known is None:
            known = Bin(
                code=draft.new_code(BIN_MARK), name=step, kind=kind_of(step), kept_in=inside
            )
            draft.put(known)
        inside = known.code
    return inside


def add_bin(book: Book, name: str, kind: str = "", kept_in: str = "", note: str = "") -> Bin:
    """Adds a bin; `kept_in` is a code, name or path of the bin that holds it."""
    if not name.strip():
        raise BadInput("The bin needs a name, such as “Bag 7” or “Box 2”.")
    with book.change(f"added the bin {name.strip()}") as draft:
        outside = put_in_bin(draft, kept_in)
        made = Bin(
            code=draft.new_code(BIN_MARK),
            name=name.strip(),
            kind=kind.strip() or kind_of(name),
            kept_in=outside,
            note=note,
        )
        draft.put(made)
        return made


def move_bin(book: Book, text: str, kept_in: str) -> Bin:
    """Puts a bin into another one; refuses a loop with the loop spelled out."""
    with book.change(f"moved {text}") as draft:
        moved = named_bin(draft.records, text)
        outside = put_in_bin(draft, kept_in)
        check_move(moved.code, outside, draft.records.bins)
        moved = replace(moved, kept_in=outside)
        draft.put(moved)
        draft.words = f"moved {moved.name} into {kept_in or 'the open'}"
        return moved


def rename_bin(book: Book, text: str, name: str, note: str | None = None) -> Bin:
    """Changes what is written on a bin."""
    with book.change(f"renamed {text}") as draft:
        before = named_bin(draft.records, text)
        after = replace(before, name=name.strip() or before.name)
        after = after if note is None else replace(after, note=note)
        draft.put(after)
        return after


def named_bin(tables: Tables, text: str) -> Bin:
    """The bin with that code, name or path; raises NotFound."""
    inside = ""
    found: Bin | None = None
    for step in [step.strip() for step in text.split("/") if step.strip()]:
        found = _find(tables, step, inside)
        if found is None:
            break
        inside = found.code
    if found is None:
        raise NotFound(f"No bin goes by “{text}”; add it with: bins add “{text}”.")
    return found


def _find(tables: Tables, step: str, inside: str) -> Bin | None:
    """The bin with that code or name; within `inside` when that is given."""
    text = step.casefold()
    for one in tables.bins.values():
        if one.code.casefold() == text:
            return one
        if one.name.casefold() == text and one.kept_in == (inside or one.kept_in):
            return one
    return None
