"""What a part is made of: twins linked, stacks, pins written down, sub-assemblies taken apart."""

from __future__ import annotations

from collections.abc import Sequence

from tagbench.book.book import Book
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
from tagbench.rules.twins import linked, parted
from tagbench.rules.wiring import written


def link_twins(book: Book, code: str, other: str) -> tuple[Part, Part]:
    """Notes that two parts are the same thing, left and right."""
    with book.change() as transaction:
        both = linked(
            part_by_code(transaction.records, code), part_by_code(transaction.records, other)
        )
        for part in both:
            transaction.put(part)
        transaction.words = f"{named(both[0])} and {named(both[1])} are twins"
        return both


def part_twins(book: Book, code: str) -> Part:
    """Forgets that a part has a twin."""
    with book.change() as transaction:
        both = parted(transaction.records, part_by_code(transaction.records, code))
        for part in both:
            transaction.put(part)
        transaction.words = f"{named(both[0])} has no twin any more"
        return both[0]


def strip_twin(book: Book, code: str, bin_text: str = "") -> Part:
    """The other side of a part came off: its words mirrored, and the two linked."""
    with book.change() as transaction:
        part = part_by_code(transaction.records, code)
        twin = strip_in(transaction, twin_form(part, bin_text))
        transaction.words = f"took off {twin.said} {twin.code}, the twin of {part.code}"
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
    with book.change() as transaction:
        part = with_stack(part_by_code(transaction.records, code), text)
        transaction.put(part)
        told = stack_words(part.stack) if part.stack else "no stack any more"
        transaction.words = f"stack of {named(part)}: {told}"
        return part


def write_pins(book: Book, code: str, pins: str, routing: str = "", diagram: str = "") -> Part:
    """Writes pins and routing of a connector or cable down as typed; all empty takes them out."""
    with book.change() as transaction:
        part = written(part_by_code(transaction.records, code), pins, routing, diagram)
        transaction.put(part)
        many = len(part.wiring.pins) if part.wiring else 0
        told = plural(many, "pin") if many else "routing" if part.wiring else "nothing any more"
        transaction.words = f"wired {named(part)}: {told}"
        return part


def keep_in_one(book: Book, code: str, own_parts: str = "") -> Part:
    """A sub-assembly stays in one piece; its own parts as typed, or none known."""
    with book.change() as transaction:
        part = keep_together(part_by_code(transaction.records, code), read_own_parts(own_parts))
        transaction.put(part)
        known = f", {plural(len(part.own_parts), 'own part')} known" if part.own_parts else ""
        transaction.words = f"kept {named(part)} in one piece{known}"
        return part


def no_sub_assembly(book: Book, code: str) -> Part:
    """What was kept together is one thing after all."""
    with book.change() as transaction:
        part = not_together(part_by_code(transaction.records, code))
        transaction.put(part)
        transaction.words = f"{named(part)} is one part"
        return part


def take_apart(
    book: Book, code: str, names: Sequence[str] = (), own_parts: str = ""
) -> tuple[Part, list[Part]]:
    """Own parts of a sub-assembly come off it: all of them, or those of these `names`.

    `own_parts` adds some that were not known. Each gets a code and a tag; it came from the
    sub-assembly, is behind it, lies in its bag, and takes along all that was known of it.
    """
    with book.change() as transaction:
        whole = part_by_code(transaction.records, code)
        if own_parts:
            whole = keep_together(whole, (*whole.own_parts, *read_own_parts(own_parts)))
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
