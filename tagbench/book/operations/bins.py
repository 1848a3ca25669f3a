"""Bins: finding one by what is written on it, making one, moving one into another."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from labels.code import read_code
from labels.errors import CodeError
from tagbench.book.book import Book
from tagbench.book.transaction import Transaction
from tagbench.errors import BadInput, NotFound
from tagbench.records import BIN_KINDS, BIN_MARK, Bin, Tables, replace
from tagbench.records.text import one_line
from tagbench.rules.bin_contents import bin_of
from tagbench.rules.bins import check_move, kept_in_words, names_in_path, same_name, typed_path
from tagbench.rules.new_bins import new_bin_note
from tagbench.rules.scan import code_of_part, short_form

_KIND_WORDS = {kind: kind for kind in BIN_KINDS} | dict.fromkeys(
    ("tin", "crate", "carton", "case", "can", "jar", "tub", "bucket"), "box"
)
"""Word in a bin's name → its kind."""
_CODE = re.compile(rf"{BIN_MARK}-\w{{3,}}-?\w|{BIN_MARK}[0-9]{{3,}}[0-9A-Z]", re.IGNORECASE)
"""What is typed as the code of a bin; `Bin 4` is a name."""
_SHORT = re.compile(rf"{BIN_MARK}-[0-9]{{1,6}}", re.IGNORECASE)
"""The short form of one where a name may be new; a figure alone or behind a blank is a name."""
_SHORTER = re.compile(rf"(?:{BIN_MARK}[- ]?)?[0-9]{{1,6}}", re.IGNORECASE)
"""The short form of one that must be there: `bin 4`, `4`; a bin of that very name goes before."""


def bin_kind(name: str, usual: str = "bag") -> str:
    """The kind a bin's name says it is (`Box 3` and `Biscuit tin` → box), else the usual one."""
    words = name.casefold().split()
    return next((_KIND_WORDS[word] for word in reversed(words) if word in _KIND_WORDS), usual)


class BinNames:
    """The bins by what is written on them, for one change that puts many things into bins."""

    def __init__(self, bins: Iterable[Bin]) -> None:
        self._inside: dict[tuple[str, str], list[Bin]] = {}
        self._anywhere: dict[str, list[Bin]] = {}
        for one in bins:
            self.add(one)

    def add(self, one: Bin) -> None:
        """Takes in one more bin."""
        name = same_name(one.name)
        self._inside.setdefault((one.kept_in, name), []).append(one)
        self._anywhere.setdefault(name, []).append(one)

    def named(self, name: str, inside: str) -> list[Bin]:
        """The bins of that name right inside another one, or in none."""
        return self._inside.get((inside, same_name(name)), [])

    def anywhere(self, name: str) -> list[Bin]:
        """The bins of that name, wherever they are."""
        return self._anywhere.get(same_name(name), [])


def put_in_bin(transaction: Transaction, text: str, names: BinNames | None = None) -> str:
    """The code of the bin that `text` names, made when new; empty for empty text.

    `text` is a code, a name, or a path from the outside in: `Shelf A / Box 2 / Bag 7`. What
    holds another one is no bag. NotFound for a code that is on no bin, BadInput for a wrong
    check character, for the code of a part, and for a name that several bins have.
    `names`: the bins of the transaction by name, kept up here; worked out anew without it.
    """
    return _walked(transaction, names_in_path(text), names=names)


def _walked(
    transaction: Transaction,
    steps: Sequence[str],
    within: bool = False,
    names: BinNames | None = None,
) -> str:
    """The innermost bin of a path; `within` when another one is to come into it."""
    if not steps:
        return ""
    names = names or BinNames(transaction.records.bins.values())
    inside = ""
    for place, step in enumerate(steps, 1):
        known = _find(transaction.records, step, inside, names)
        if known is None:
            _refuse_part_code(transaction.records, step)
            usual = "box" if within or place < len(steps) else "bag"
            known = Bin(
                # It has no tag yet, and is looked for by it from now on.
                code=transaction.new_code(BIN_MARK, queued=transaction.now),
                name=step,
                kind=bin_kind(step, usual),
                kept_in=inside,
            )
            transaction.put(known)
            names.add(known)
        inside = known.code
    return inside


def add_bin(book: Book, name: str, kind: str = "", kept_in: str = "", note: str = "") -> Bin:
    """Adds a bin, its tag in the print queue; BadInput when there is one of that name there.

    `name` may be a path from the outside in; `kept_in` is a code, name or path of what holds it.
    """
    steps = names_in_path(name)
    if not steps:
        raise BadInput("The bin needs a name, such as “Bag 7” or “Box 2”.")
    with book.change(f"added the bin {steps[-1]}") as transaction:
        outside = _walked(transaction, [*names_in_path(kept_in), *steps[:-1]], within=True)
        _refuse_part_code(transaction.records, steps[-1])
        _refuse_second(transaction.records, steps[-1], outside)
        made = Bin(
            code=transaction.new_code(BIN_MARK, queued=transaction.now),
            name=steps[-1],
            kind=kind.strip() or bin_kind(steps[-1]),
            kept_in=outside,
            note=note,
        )
        transaction.put(made)
        return made


def new_bin_said(transaction: Transaction, code: str) -> str:
    """What the words of a change end with when it made a bin that is much like another one."""
    return new_bin_note(code, transaction.before.bins, transaction.records.bins)


def _refuse_part_code(tables: Tables, name: str) -> None:
    """No bin is named by what is on a part's tag, rightly typed or not: BadInput with a way out."""
    try:
        code = code_of_part(tables, name)
    except CodeError as error:
        said = str(error).removesuffix(".")
        raise BadInput(f"{said}, the code of a part; give the bag's name or code.") from error
    if not code:
        return
    part = tables.parts.get(code)
    if part is None:
        what, where = "is the code of a tag of parts", ""
    else:
        what = f"is the code of {one_line(part.name, 60)}"
        lies_in = typed_path(bin_of(part), tables.bins)
        where = f" ({one_line(part.name, 60)} lies in: {lies_in})" if lies_in else ""
    raise BadInput(f"{code} {what}, not of a bag; give the bag's name or code{where}.")


def _refuse_second(tables: Tables, name: str, outside: str, but: str = "") -> None:
    """No two bins with one path: BadInput when another one than `but` has that name there."""
    names = BinNames(tables.bins.values())
    there = [one for one in names.named(name, outside) if one.code != but]
    if there:
        where = f" {one_line(kept_in_words(outside, tables.bins), 100)}" if outside else ""
        raise BadInput(
            f"There is a {there[0].name}{where} already, {there[0].code}; give another name."
        )


def move_bin(book: Book, text: str, kept_in: str) -> Bin:
    """Puts a bin into another one; refuses a loop with the loop spelled out."""
    with book.change(f"moved {text}") as transaction:
        moved = named_bin(transaction.records, text)
        outside = _walked(transaction, names_in_path(kept_in), within=True)
        check_move(moved.code, outside, transaction.records.bins)
        _refuse_second(transaction.records, moved.name, outside, but=moved.code)
        moved = replace(moved, kept_in=outside)
        transaction.put(moved)
        transaction.words = f"moved {moved.name} into {kept_in or 'the open'}"
        transaction.words += new_bin_said(transaction, outside)
        return moved


def rename_bin(book: Book, text: str, name: str, note: str | None = None) -> Bin:
    """Changes what is written on a bin; BadInput for a path, or a name that another one there has.

    An empty name stays as it is when there is a note to write.
    """
    if len(names_in_path(name)) > 1 or not (names_in_path(name) or note is not None):
        raise BadInput("Type one name, such as “Bag 7”; moving it puts it into another bin.")
    with book.change(f"renamed {text}") as transaction:
        before = named_bin(transaction.records, text)
        typed = " ".join((names_in_path(name) or [before.name])[0].split())
        if same_name(typed) != same_name(before.name):
            _refuse_part_code(transaction.records, typed)
        after = replace(before, name=typed)
        _refuse_second(transaction.records, after.name, after.kept_in, but=after.code)
        transaction.words = f"renamed {before.name} to {after.name}"
        after = after if note is None else replace(after, note=note)
        transaction.put(after)
        tag = transaction.records.tags.get(after.code)
        if tag is not None and after.name != before.name:
            transaction.put(replace(tag, queued=transaction.now))
        return after


def named_bin(tables: Tables, text: str) -> Bin:
    """The bin with that code, name or path; raises NotFound."""
    inside = ""
    found: Bin | None = None
    names = BinNames(tables.bins.values())
    for step in names_in_path(text):
        found = _find(tables, step, inside, names, _SHORTER)
        if found is None:
            break
        inside = found.code
    if found is None:
        raise NotFound(f"No bin goes by “{text}”; add it with: bins add “{text}”.")
    return found


def _find(
    tables: Tables, step: str, inside: str, names: BinNames, short: re.Pattern[str] = _SHORT
) -> Bin | None:
    """The bin with that code, name or `short` form; within `inside` when given, else anywhere."""
    code = _typed_code(step)
    if code:
        if code not in tables.bins:
            raise NotFound(f"No bin has the code {code}; list the bins to see their codes.")
        return tables.bins[code]
    found = names.named(step, inside)
    if not found and not inside:
        found = names.anywhere(step)
    if not found and not inside and short.fullmatch(step):
        found = [tables.bins[code] for code in [short_form(tables, step, BIN_MARK)] if code]
    if len(found) > 1:
        places = "; ".join(f"{one.code} {kept_in_words(one.kept_in, tables.bins)}" for one in found)
        raise BadInput(
            f"There are {len(found)} bins called {step} ({places}); give the code or the path."
        )
    return found[0] if found else None


def _typed_code(step: str) -> str:
    """The code when it is one that is typed; empty for a name."""
    if not _CODE.fullmatch(step):
        return ""
    try:
        return read_code(step, [BIN_MARK])
    except CodeError as error:
        raise BadInput(str(error)) from error
