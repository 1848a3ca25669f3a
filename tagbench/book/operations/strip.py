"""Taking a part off: the strip form, and mending what was written."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any
from unicodedata import category

import msgspec

from tagbench.book.book import Book
from tagbench.book.operations.bins import BinNames, new_bin_said, put_in_bin
from tagbench.book.operations.machines import chosen_or_made
from tagbench.book.transaction import Transaction
from tagbench.errors import BadInput, Refused
from tagbench.records import Fastener, Part, PartNumber, Tables, Tag, replace
from tagbench.rules.describe.phrases import named
from tagbench.rules.paths import Spellings, known_spelling, same_path
from tagbench.rules.scan import is_free, part_with
from tagbench.rules.twins import linked, refuse_one_side, without_twin
from tagbench.rules.whereabouts import refuse_elsewhere

if TYPE_CHECKING:
    from tagbench.rules.rebuild.corrected_lines import Changed

LONGEST_NAME = 400
"""Characters in a name, as the records allow."""
LONGEST_NOTE = 20_000
"""Characters in a note: some pages."""


class StripForm(msgspec.Struct, frozen=True):
    """What the person says about a part that came off."""

    name: str
    """What it is."""
    assembly: str = ""
    """Where it came from, as a path."""
    position: str = ""
    """Side or position."""
    quantity: int = 1
    """How many alike."""
    fasteners: tuple[Fastener, ...] = ()
    """What held it on."""
    sits_how: str = ""
    """Orientation and witness marks."""
    bin: str = ""
    """Code, name or path of the bin; made when new."""
    behind: tuple[str, ...] = ()
    """Codes of the parts that had to come off before."""
    part_number: str = ""
    """Original part number."""
    note: str = ""
    """Anything else."""
    kind: str = ""
    """Kind of part for the inspection list."""
    photos: tuple[Path, ...] = ()
    """Pictures to be copied into the book."""
    mark: str = ""
    """Mark of the machine; empty for the chosen one."""
    twin: str = ""
    """Code of the same thing on the other side."""


def strip_part(book: Book, form: StripForm, code: str = "") -> Part:
    """Records a part that came off, queues its tag and gives the record.

    `code` is a spare tag's code; without it the next code of the machine is given out.
    Raises BadInput for an empty name, NotFound for an unknown code in `behind`.
    """
    words = f"took off {_sound_name(form.name)}"
    if not form.photos:
        with book.change(words) as transaction:
            part = strip_in(transaction, form, code)
            transaction.words = f"took off {named(part)}{new_bin_said(transaction, part.bin)}"
            return part
    from tagbench.book.photos import all_or_none, take_in

    with all_or_none(book) as pictures, book.change(words) as transaction:
        part = strip_in(transaction, form, code)
        for source in form.photos:
            pictures.append(take_in(book, source, part.code))
        part = replace(part, photos=tuple(pictures))
        transaction.put(part)
        transaction.words = f"took off {named(part)}{new_bin_said(transaction, part.bin)}"
        return part


class Here(msgspec.Struct):
    """What a strip must know of its machine; kept up by `strip_in` over many rows of a list."""

    assemblies: Spellings
    """The assemblies so far, as they are spelled."""
    last: int
    """Removal order of the last part."""
    bins: BinNames
    """The bins so far, by what is written on them."""

    @classmethod
    def of(cls, tables: Tables, mark: str) -> Here:
        """How things stand now."""
        parts = tables.parts_of(mark)
        spelled = Spellings(dict.fromkeys(part.assembly for part in parts))
        last = parts[-1].order if parts else 0
        return cls(spelled, last, BinNames(tables.bins.values()))


def strip_in(
    transaction: Transaction, form: StripForm, code: str = "", here: Here | None = None
) -> Part:
    """`strip` without its pictures, inside a change already begun (the CSV import uses it)."""
    form = _in_one_line(form)
    name = _sound_name(form.name)
    _sound_quantity(form.quantity)
    for field, text in (("assembly", form.assembly), ("position", form.position)):
        _no_page(field, text)
    for field, text in (("sits how", form.sits_how), ("note", form.note)):
        _no_page(field, text, LONGEST_NOTE)
    machine = chosen_or_made(transaction, _mark_of_spare(transaction.records, code) or form.mark)
    here = here or Here.of(_shown_before(transaction), machine.mark)
    behind = tuple(dict.fromkeys(_known(transaction.records, other) for other in form.behind))
    part = Part(
        code=_give_out(transaction, machine.mark, code),
        name=name,
        assembly=here.assemblies.of(form.assembly),
        position=form.position.strip(),
        quantity=form.quantity,
        order=here.last + 1,
        removed=transaction.now,
        fasteners=form.fasteners,
        sits_how=form.sits_how.strip(),
        bin=put_in_bin(transaction, form.bin, here.bins),
        behind=behind,
        kind=form.kind.strip(),
        part_numbers=_numbers(form.part_number),
        note=form.note.strip(),
    )
    _same_machine(part.code, behind)
    if form.twin and part.position.strip():
        part, other = linked(part, part_by_code(transaction.records, form.twin))
        transaction.put(other)
    transaction.put(part)
    here.last = part.order
    here.assemblies.add(part.assembly)
    return part


def _shown_before(transaction: Transaction) -> Tables:
    """The records as the screens show them, with what was worked out from them, if they hold."""
    changed = transaction.touches("parts", "bins")
    return transaction.records if changed else transaction.before


def _in_one_line(form: StripForm) -> StripForm:
    """The form with the screws out of a name such as `cover: 2 long at 12 and 6, 3 short else`."""
    if form.fasteners or ":" not in form.name:
        return form
    from tagbench.trade.fasteners.hole_phrases import named_line
    from tagbench.trade.fasteners.reading import read_fasteners

    name, screws = named_line(form.name)
    if not name:
        return form
    return msgspec.structs.replace(form, name=name, fasteners=read_fasteners(screws).lines)


def _sound_name(text: str) -> str:
    """The name on one line; raises BadInput when it says nothing or is a page long."""
    if not text.isprintable():
        text = "".join(sign for sign in text if sign.isspace() or not _rules(sign))
    name = " ".join(text.split())
    if not name:
        raise BadInput("The part needs a name: say in a word or two what it is.")
    if len(name) > LONGEST_NAME:
        raise BadInput(
            f"The name is longer than {LONGEST_NAME} characters; put the rest in the note."
        )
    return name


def _no_page(field: str, text: str, most: int = LONGEST_NAME) -> None:
    """Raises BadInput for a text that no screen and no tag can show."""
    if len(text) > most:
        raise BadInput(f"The {field} has {len(text)} characters; type at most {most}.")


def _rules(sign: str) -> bool:
    """True for a sign that rules a terminal and is none to be read, such as escape or bell."""
    return category(sign) == "Cc"


def _sound_quantity(quantity: int) -> None:
    if quantity < 1:
        raise BadInput("The quantity must be 1 or more.")


def _numbers(text: str) -> tuple[PartNumber, ...]:
    return (PartNumber(number=text.strip()),) if text.strip() else ()


def _mark_of_spare(tables: Tables, code: str) -> str:
    """The mark of a free tag's machine; raises BadInput when the tag is on something."""
    if not code:
        return ""
    tag = tables.tags.get(code)
    if code in tables.parts:
        raise BadInput(f"{code} is already on {tables.parts[code].name}; take another tag.")
    if tag is None or not is_free(tables, tag):
        raise BadInput(f"{code} is not one of our spare tags; leave it out to get the next code.")
    return code.split("-", 1)[0]


def _give_out(transaction: Transaction, mark: str, code: str) -> str:
    """The code for the part, its tag in the print queue unless it was printed ahead."""
    if not code:
        return transaction.new_code(mark, queued=transaction.now)
    tag = transaction.records.tags.get(code, Tag(code=code))
    queued = tag.queued if tag.printed else transaction.now
    transaction.put(replace(tag, kind="part", queued=queued))
    return code


def _known(tables: Tables, code: str) -> str:
    return part_with(tables, code).code


def _same_machine(code: str, behind: tuple[str, ...]) -> None:
    for other in behind:
        if other.split("-", 1)[0] != code.split("-", 1)[0]:
            raise BadInput(f"{other} belongs to another machine than {code}.")


def last_from(tables: Tables, mark: str, assembly: str) -> Part | None:
    """The last part taken off in that assembly: the one offered as “behind”."""
    there = [part for part in tables.parts_of(mark) if same_path(part.assembly, assembly)]
    return there[-1] if there else None


def part_by_code(tables: Tables, code: str) -> Part:
    """The part with that code; NotFound or BadInput says why there is none."""
    return part_with(tables, code)


def edit(
    book: Book,
    code: str,
    words: str = "",
    *,
    lines: Changed = "",
    measured: Mapping[int, str] | None = None,
    **fields: Any,
) -> Part:
    """Changes the named fields of a part and no other, so that nobody's work is lost.

    `bin` and `new_bin` may be a code, name or path; `behind` is checked for loops (Refused). What
    is back, torqued and renewed of `fasteners` stays by `corrected_lines`; `lines` answers the
    question that it asks. `measured` is what was found of lines whose thread or size was not yet
    known, by their numbers; see `measured_lines`. All of it is one change, or none.
    """
    from tagbench.rules.rebuild.corrected_lines import corrected_lines
    from tagbench.rules.rebuild.links import refuse_loop
    from tagbench.trade.fasteners.sizes_from import keep_measured

    with book.change(words or f"changed {code}") as transaction:
        part = part_by_code(transaction.records, code)
        transaction.words = words or f"changed {named(part)}"
        _check_words(fields)
        if measured:
            if not (words or fields):
                transaction.words = f"measured {_measured_words(part, measured)} of {named(part)}"
            fields["fasteners"] = _answers(part, measured, fields)
            lines = "same"
        for field in ("bin", "new_bin"):
            if field in fields:
                fields[field] = put_in_bin(transaction, fields[field])
                transaction.words += new_bin_said(transaction, fields[field])
        if "fasteners" in fields:
            _refuse_away(part)
            fasteners = keep_measured(part.fasteners, fields["fasteners"])
            fields["fasteners"] = corrected_lines(part, fasteners, lines)
        if "assembly" in fields:
            known = [other.assembly for other in transaction.records.parts_of(part.machine)]
            fields["assembly"] = known_spelling(fields["assembly"], known)
        if part.twin in transaction.records.parts and "position" in fields:
            other = transaction.records.parts[part.twin]
            refuse_one_side(fields["position"], other.position, other)
        if "behind" in fields:
            behind = tuple(_known(transaction.records, other) for other in fields["behind"])
            _same_machine(code, behind)
            refuse_loop(transaction.records, code, behind)
        after = replace(part, **fields)
        transaction.put(after)
        return after


def _answers(
    part: Part, measured: Mapping[int, str], fields: Mapping[str, Any]
) -> tuple[Fastener, ...]:
    """The lines with what was measured of them; BadInput where they are written afresh as well."""
    from tagbench.rules.open_questions import measured_lines

    if "fasteners" in fields:
        raise BadInput(
            "Fasteners written afresh have other lines; write what was measured among them, or "
            "give the measured lines alone."
        )
    return measured_lines(part, measured)


def _measured_words(part: Part, measured: Mapping[int, str]) -> str:
    from tagbench.rules.open_questions import measured_lines
    from tagbench.trade.fasteners.spelling import spell

    found = measured_lines(part, measured)
    return ", ".join(spell(found[number - 1]) for number in measured)


def _check_words(fields: dict[str, Any]) -> None:
    """Puts the name right; raises BadInput for words or a number that no record can hold."""
    if "name" in fields:
        fields["name"] = _sound_name(fields["name"])
    for field in ("assembly", "position"):
        _no_page(field, fields.get(field, ""))
    for field in ("sits_how", "note"):
        _no_page(field.replace("_", " "), fields.get(field, ""), LONGEST_NOTE)
    if "quantity" in fields:
        _sound_quantity(fields["quantity"])


def _refuse_away(part: Part) -> None:
    """Lines that are with someone else are known by their numbers, so these stay as they are."""
    if any(line.away for line in part.fasteners):
        raise Refused(
            f"Fasteners of {named(part)} are with someone else; write down first that "
            "they came back."
        )


def remove(book: Book, code: str) -> Part:
    """Takes a part's record away (undo brings it back); refuses while others are behind it.

    Wants and settings that name it let go of it in the same change; a want for it alone that is
    not ordered yet goes with it.
    """
    with book.change(f"took away the record of {code}") as transaction:
        part = part_by_code(transaction.records, code)
        leaning = [
            other.code for other in transaction.records.parts.values() if code in other.behind
        ]
        if leaning:
            raise BadInput(f"{', '.join(leaning)} had to come off after {code}; change that first.")
        _refuse_away(part)
        refuse_elsewhere(part)
        if part.twin:
            for one in without_twin(transaction.records, part)[1:]:
                transaction.put(one)
        let_go = [*_out_of_wants(transaction, code), *_out_of_settings(transaction, code)]
        transaction.drop(part)
        transaction.put(replace(transaction.records.tags[code], kind="gone", queued=None))
        transaction.words = f"took away the record of {named(part)}"
        if let_go:
            transaction.words += f", no longer named by {', '.join(let_go)}"
        return part


def _out_of_wants(transaction: Transaction, code: str) -> list[str]:
    """Takes a part out of all wants, arrived ones too; gives them in words."""
    from tagbench.rules.buying.wants import without_part

    named = [want for want in transaction.records.wants.values() if code in want.parts]
    for want in named:
        left = without_part(want, code)
        if left is None:
            transaction.drop(want)
        else:
            transaction.put(left)
    return [f"want {want.id}" for want in named]


def _out_of_settings(transaction: Transaction, code: str) -> list[str]:
    """Takes a part out of all settings that hang on it; gives them in words."""
    named = [one for one in transaction.records.settings.values() if code in one.after]
    for setting in named:
        transaction.put(replace(setting, after=tuple(one for one in setting.after if one != code)))
    return [f"setting {setting.id}" for setting in named]
