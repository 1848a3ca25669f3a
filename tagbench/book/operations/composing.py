"""What a part is made of: twins linked, stacks, pins written down, sub-assemblies taken apart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tagbench.book.book import Book
from tagbench.book.operations.bins import new_bin_said
from tagbench.book.operations.strip import StripForm, part_by_code, strip_in
from tagbench.book.transaction import Transaction
from tagbench.errors import BadInput
from tagbench.records import OwnPart, Part
from tagbench.rules.describe.phrases import named, plural
from tagbench.rules.kept_together import (
    inner_assembly,
    keep_together,
    not_together,
    read_own_parts,
    taken_apart,
)
from tagbench.rules.stacks import stack_words, with_stack
from tagbench.rules.stripping.same_again import on_the_other_side
from tagbench.rules.twins import linked, without_twin
from tagbench.rules.wiring import written


@dataclass(frozen=True, slots=True)
class MadeOf:
    """What a part is made of, as typed; None leaves as it is, an empty text takes out."""

    stack: str | None = None
    """Shims, washers, plates in their order."""
    own_parts: str | None = None
    """Parts of a sub-assembly that stays in one piece."""
    wires: tuple[str, str, str] | None = None
    """Pins, routing and diagram of a connector or cable."""
    twin: str | None = None
    """Code of its twin; empty for none."""


def write_made_of(book: Book, code: str, form: MadeOf) -> Part:
    """Writes all of it down as one change, so that it is taken back as one."""
    with book.change() as transaction:
        said = []
        if form.stack is not None:
            said.append(_write_stack(transaction, code, form.stack))
        if form.own_parts is not None:
            said.append(_keep_in_one(transaction, code, form.own_parts))
        if form.wires is not None:
            said.append(_write_pins(transaction, code, *form.wires))
        if form.twin is not None:
            said.append(_link_twins(transaction, code, form.twin))
        transaction.words = "; ".join(said)
        return part_by_code(transaction.records, code)


def link_twins(book: Book, code: str, other: str) -> tuple[Part, Part]:
    """Notes that two parts are the same thing, left and right."""
    part = write_made_of(book, code, MadeOf(twin=other))
    return part, part_by_code(book.records, other)


def part_twins(book: Book, code: str) -> Part:
    """Forgets that a part has a twin."""
    return write_made_of(book, code, MadeOf(twin=""))


def _link_twins(transaction: Transaction, code: str, other: str) -> str:
    part = part_by_code(transaction.records, code)
    both = (
        linked(part, part_by_code(transaction.records, other))
        if other
        else without_twin(transaction.records, part)
    )
    for one in both:
        transaction.put(one)
    if not other:
        return f"{named(part)} has no twin any more"
    return f"{named(both[0])} and {named(both[1])} are twins"


def strip_twin(book: Book, code: str, bin_text: str = "") -> Part:
    """The other side of a part came off: its words mirrored, and the two linked."""
    with book.change() as transaction:
        part = part_by_code(transaction.records, code)
        twin = strip_in(transaction, twin_form(part, bin_text))
        transaction.words = f"took off {twin.said} {twin.code}, the twin of {part.code}"
        transaction.words += new_bin_said(transaction, twin.bin)
        return twin


def twin_form(part: Part, bin_text: str = "") -> StripForm:
    """The form of the other side; BadInput where the position says no side."""
    other = on_the_other_side(part)
    if other.position == part.position:
        raise BadInput(
            f"{named(part)} has no other side: its position says neither left nor right."
        )
    return StripForm(
        name=part.name,
        assembly=part.assembly,
        position=other.position,
        quantity=part.quantity,
        fasteners=other.fasteners,
        sits_how=other.sits_how,
        bin=bin_text,
        kind=part.kind,
        mark=part.machine,
        twin=part.code,
    )


def write_stack(book: Book, code: str, text: str) -> Part:
    """Writes a stack down as typed; an empty text takes it out."""
    return write_made_of(book, code, MadeOf(stack=text))


def _write_stack(transaction: Transaction, code: str, text: str) -> str:
    part = with_stack(part_by_code(transaction.records, code), text)
    transaction.put(part)
    return (
        f"stack of {named(part)}: {stack_words(part.stack) if part.stack else 'no stack any more'}"
    )


def write_pins(book: Book, code: str, pins: str, routing: str = "", diagram: str = "") -> Part:
    """Writes pins and routing of a connector or cable down as typed; all empty takes them out."""
    return write_made_of(book, code, MadeOf(wires=(pins, routing, diagram)))


def _write_pins(transaction: Transaction, code: str, pins: str, routing: str, diagram: str) -> str:
    part = written(part_by_code(transaction.records, code), pins, routing, diagram)
    transaction.put(part)
    many = len(part.wiring.pins) if part.wiring else 0
    told = plural(many, "pin") if many else "routing" if part.wiring else "nothing any more"
    return f"wired {named(part)}: {told}"


def keep_in_one(book: Book, code: str, own_parts: str = "") -> Part:
    """A sub-assembly stays in one piece; its own parts as typed, or none known."""
    return write_made_of(book, code, MadeOf(own_parts=own_parts))


def _keep_in_one(transaction: Transaction, code: str, own_parts: str) -> str:
    part = keep_together(part_by_code(transaction.records, code), read_own_parts(own_parts))
    transaction.put(part)
    known = f", {plural(len(part.own_parts), 'own part')} known" if part.own_parts else ""
    return f"kept {named(part)} in one piece{known}"


def no_sub_assembly(book: Book, code: str) -> Part:
    """What was kept together is one thing after all."""
    with book.change() as transaction:
        part = not_together(part_by_code(transaction.records, code))
        transaction.put(part)
        transaction.words = f"{named(part)} is one part"
        return part


def take_apart(
    book: Book,
    code: str,
    names: Sequence[str] = (),
    own_parts: str = "",
    *,
    instead: bool = False,
) -> tuple[Part, list[Part]]:
    """Own parts of a sub-assembly come off it: all of them, or those of these `names`.

    `own_parts` adds some that were not known, or is all that is in it (`instead`). Each gets
    a code and a tag; it came from the sub-assembly, is behind it, lies in its bag, and takes along
    all that was known of it.
    """
    with book.change() as transaction:
        whole = part_by_code(transaction.records, code)
        if own_parts or instead:
            known = () if instead else whole.own_parts
            whole = keep_together(whole, (*known, *read_own_parts(own_parts)))
        whole, out = taken_apart(whole, names)
        transaction.put(whole)
        parts = [_came_out(transaction, whole, one) for one in out]
        many = plural(len(parts), "part")
        left = f", {plural(len(whole.own_parts), 'part')} still in it" if whole.own_parts else ""
        transaction.words = f"took {named(whole)} apart: {many}{left}"
        return whole, parts


def _came_out(transaction: Transaction, whole: Part, one: OwnPart) -> Part:
    form = StripForm(
        name=one.name,
        assembly=inner_assembly(whole),
        position=whole.position,
        quantity=one.quantity,
        fasteners=one.fasteners,
        sits_how=one.sits_how,
        bin=whole.bin,
        behind=(whole.code,),
        mark=whole.machine,
    )
    return strip_in(transaction, form)
