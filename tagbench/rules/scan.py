"""What a scanned or typed tag names in this book."""

from __future__ import annotations

import re
from collections.abc import Container, Iterator
from typing import Literal, NamedTuple

from labels.code import read_code
from labels.errors import CodeError
from tagbench.errors import BadInput, NotFound
from tagbench.records import BIN_MARK, Bin, Part, Tables, Tag


class Opened(NamedTuple):
    """The record behind a tag."""

    code: str
    """The code on the tag."""
    kind: Literal["part", "bin", "spare"]
    """What the tag is on; spare: printed ahead, or its record was taken away, so it is free."""
    record: Part | Bin | Tag
    """The part, the bin, or the tag itself when it is spare."""


def open_tag(tables: Tables, text: str) -> Opened:
    """The record named by a scanned payload or a typed code.

    Raises CodeError (labels) when the text holds no code or a wrong check character, and
    NotFound when the code is sound but not of this book.
    """
    from labels.symbols.payload import code_in

    try:
        code = code_in(text, marks=known_marks(tables))
    except CodeError:
        if not (code := _only_short_form(tables, text)):
            raise
    return look_up(tables, code)


def typed_code(
    tables: Tables, text: str, mark: str = "", among: Container[str] | None = None
) -> str:
    """The code a person typed, in its one spelling or a short form that only one record has.

    With a `mark` a short form counts among its codes alone. Where it fits several, those `among`
    the codes that can be meant decide. Raises CodeError with the likely code, or with all codes
    that a short form fits.
    """
    try:
        return read_code(text, marks=known_marks(tables))
    except CodeError:
        if code := _only_short_form(tables, text, mark, among):
            return code
        raise


def typed_part(tables: Tables, text: str, mark: str = "") -> str:
    """As `typed_code` where only a part can be meant: `4` is TP-004-H, whatever bin has that
    number too."""
    return typed_code(tables, text, mark, among=tables.parts)


def free_code(tables: Tables, text: str) -> str:
    """As `typed_code` where only a tag that is on nothing yet can be meant."""
    free = {code for code, tag in tables.tags.items() if is_free(tables, tag)}
    return typed_code(tables, text, among=free)


def _only_short_form(
    tables: Tables, text: str, mark: str = "", among: Container[str] | None = None
) -> str:
    codes = tuple(sorted(_short_codes(tables, text, mark)))
    if len(codes) > 1 and among is not None:
        codes = tuple(code for code in codes if code in among) or codes
    if len(codes) > 1:
        said = f"“{text.strip()}” fits {', '.join(codes[:-1])} and {codes[-1]}; type more of it."
        raise CodeError(said, codes)
    return "".join(codes)


_SHORT_FORM = re.compile(r"(?P<gap>[-_./ ]?)(?P<serial>[0-9]{1,6})")
_LONGEST_UNPARTED = 3
"""Figures a short form may have without a hyphen; more may be a code with its check character."""


def short_form(tables: Tables, text: str, mark: str = "") -> str:
    """The code meant by `tp 17`, `TP-17`, `tp17` or `17`; empty when none or several have it.

    A figure alone counts within the chosen machine and the bins, or within one `mark`. Where the
    last figure may as well be a check character (`TP-1178`) nothing is guessed, since
    that one may be wrong.
    """
    codes = _short_codes(tables, text, mark)
    return codes[0] if len(codes) == 1 else ""


def _short_codes(tables: Tables, text: str, mark: str = "") -> list[str]:
    plain = " ".join(text.split()).upper()
    given = {
        _mark_and_serial(code): code for code, tag in tables.tags.items() if tag.kind != "gone"
    }
    fitting = [given[one] for one in _short_readings(plain, tables, mark) if one in given]
    return list(dict.fromkeys(fitting))


def _short_readings(plain: str, tables: Tables, only: str) -> Iterator[tuple[str, int]]:
    """Mark and serial in each way the text can be read as a short form."""
    for mark in [only] if only else known_marks(tables):
        bare = plain.isdecimal() and mark in (only or tables.desk.machine, only or BIN_MARK)
        found = _SHORT_FORM.fullmatch(plain if bare else plain.removeprefix(mark))
        if found is None or not (bare or plain.startswith(mark)):
            continue
        figures = found["serial"]
        whole = bare or len(figures) <= _LONGEST_UNPARTED
        if whole or (found["gap"] and not _may_end_in_check(mark, figures, tables)):
            yield mark, int(figures)


def _may_end_in_check(mark: str, figures: str, tables: Tables) -> bool:
    """Whether the last figure may be meant as the check character of a code of this book."""
    shorter = mark, int(figures[:-1])
    return any(_mark_and_serial(code) == shorter for code in tables.tags)


def _mark_and_serial(code: str) -> tuple[str, int]:
    mark, serial, _ = code.split("-")
    return mark, int(serial)


_WHOLE_CODE = re.compile(r"(?P<mark>[0-9A-Z]{1,3})[- ][0-9]{3,}[- ][0-9A-Z]", re.IGNORECASE)
"""What is typed as a whole code, its check character right or wrong."""


def code_of_part(tables: Tables, text: str) -> str:
    """The code when a text is one of a part or of a tag for parts; empty for a name.

    Raises CodeError for one with a wrong check character. `TP-18` is one where it was given out,
    a figure alone is a name.
    """
    plain = " ".join(text.split())
    found = _WHOLE_CODE.fullmatch(plain)
    if found is not None and found["mark"].upper() in tables.machines:
        return read_code(plain, marks=known_marks(tables))
    if " " in plain or plain.isdecimal() or not plain.upper().startswith(tuple(tables.machines)):
        return ""
    code = short_form(tables, plain)
    try:
        code = code or read_code(plain, marks=known_marks(tables))
    except CodeError:
        return ""
    tag = tables.tags.get(code)
    return code if tag is not None and code not in tables.bins and tag.kind != "bin" else ""


def known_marks(tables: Tables) -> list[str]:
    """The marks that codes of this book begin with."""
    return [*tables.machines, BIN_MARK]


def look_up(tables: Tables, code: str) -> Opened:
    """The record with that code; raises NotFound with the reason and the way on."""
    if code in tables.parts:
        return Opened(code, "part", tables.parts[code])
    if code in tables.bins:
        return Opened(code, "bin", tables.bins[code])
    tag = tables.tags.get(code)
    if tag is not None and is_free(tables, tag):
        return Opened(code, "spare", tag)
    raise NotFound(_why_unknown(tables, code, tag))


def is_free(tables: Tables, tag: Tag) -> bool:
    """Whether a tag can be put on a part: printed ahead, or left over from a record taken away."""
    gone = tag.kind == "gone" and tag.code.split("-", 1)[0] in tables.machines
    return tag.kind == "spare" or gone


def part_with(tables: Tables, code: str) -> Part:
    """The part with that code; NotFound with the reason, BadInput when it is on something else."""
    opened = look_up(tables, code)
    if not isinstance(opened.record, Part):
        raise BadInput(
            f"{opened.code} is the code of a {opened.kind}, not of a part; give a part's code."
        )
    return opened.record


def other_machine(tables: Tables, code: str) -> str:
    """The name of the machine a code belongs to when it is not the chosen one; else empty."""
    machine = tables.machines.get(code.split("-", 1)[0])
    chosen = tables.desk.machine
    return machine.name if machine and chosen and machine.mark != chosen else ""


def _why_unknown(tables: Tables, code: str, tag: Tag | None) -> str:
    mark = code.split("-", 1)[0]
    if tag is not None:
        return f"The record of {code} was taken away; history {code} tells when and why."
    if mark not in known_marks(tables):
        there = ", ".join(sorted(tables.machines)) or "none"
        return f"{code} belongs to a machine {mark} that is not in this book (here: {there})."
    return f"{code} is a valid code, but this book never gave it out; is it from another book?"
