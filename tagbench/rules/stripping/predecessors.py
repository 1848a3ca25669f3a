"""What came off first: by code, by a short form of it, or by name; and what is offered."""

from __future__ import annotations

import re
from collections.abc import Iterable

from labels.errors import CodeError
from tagbench.errors import BadInput
from tagbench.records import Part, Tables, once
from tagbench.rules.paths import spell_path
from tagbench.rules.scan import typed_part

NAMED = 3
"""So many parts are named when several fit."""
_CODE = re.compile(r"[0-9A-Za-z]{1,3}[-\s]?[0-9]{1,6}(?:[-\s]?[0-9A-Za-z])?")


def predecessor(tables: Tables, mark: str, assembly: str) -> Part | None:
    """The part that came off last in that assembly; else the one that came off last at all."""
    latest = once(tables, ("came off last", mark), lambda: _latest(tables.parts_of(mark)))
    return latest.get(_compared(assembly)) or latest.get(_ANYWHERE)


def _latest(parts: Iterable[Part]) -> dict[str, Part]:
    """Assembly as it is compared → the part that came off last there, or last at all."""
    compared: dict[str, str] = {}
    latest: dict[str, Part] = {}
    for part in parts:
        if part.assembly not in compared:
            compared[part.assembly] = _compared(part.assembly)
        latest[compared[part.assembly]] = latest[_ANYWHERE] = part
    return latest


_ANYWHERE = "/"
"""Stands for all assemblies: no path is spelled like that."""


def _compared(assembly: str) -> str:
    return spell_path(assembly).casefold()


def read_predecessors(text: str, tables: Tables, mark: str) -> tuple[str, ...]:
    """The codes of the parts named in a field; raises CodeError or BadInput.

    Codes and their short forms stand apart with blanks, commas or semicolons; names with commas
    or semicolons. A name that fits several parts is refused with the codes of the likeliest.
    """
    codes = [code for piece in re.split(r"[;,]+", text) for code in _read(piece, tables, mark)]
    return tuple(dict.fromkeys(codes))


def named_predecessors(text: str, tables: Tables, mark: str) -> str:
    """The parts that a field names so far, by name and code; or why it is not clear which."""
    try:
        codes = read_predecessors(text, tables, mark)
    except (BadInput, CodeError) as error:
        return str(error)
    parts = tables.parts
    return ", ".join(f"{parts[code].said} {code}" if code in parts else code for code in codes)


def _read(piece: str, tables: Tables, mark: str) -> list[str]:
    piece = " ".join(piece.split())
    if not piece:
        return []
    try:
        return [typed_part(tables, piece, mark)]
    except CodeError:
        words = piece.split()
        if len(words) > 1 and all(map(_looks_like_code, words)):
            return [typed_part(tables, word, mark) for word in words]
        if _looks_like_code(piece):
            raise
    return [_by_name(piece, tables, mark).code]


def _looks_like_code(text: str) -> bool:
    return _CODE.fullmatch(text) is not None or text.isdecimal()


def _by_name(said: str, tables: Tables, mark: str) -> Part:
    """The one part of that name; raises BadInput when there is none, or more than one."""
    parts = tables.parts_of(mark)
    words = said.casefold().split()
    whole = " ".join(words)
    same = [part for part in parts if whole in (part.name.casefold(), _sided(part).casefold())]
    found = same or [part for part in parts if all(word in _said(part) for word in words)]
    if len(found) == 1:
        return found[0]
    if not found:
        raise BadInput(f"No part is called “{said}”; type its code or its name.")
    several = "; ".join(f"{_sided(part)} {part.code}" for part in found[: -NAMED - 1 : -1])
    more = f" and {len(found) - NAMED} more" if len(found) > NAMED else ""
    raise BadInput(f"“{said}” may be {several}{more}; type the code or more of the name.")


def _said(part: Part) -> str:
    return f"{_sided(part)} {part.assembly}".casefold()


def _sided(part: Part) -> str:
    return f"{part.name}, {part.position}" if part.position else part.name
