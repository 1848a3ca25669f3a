"""Which table of the book holds which records, and by what key."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping
from operator import attrgetter
from types import MappingProxyType
from typing import Any, TypeVar

import msgspec

from tagbench.records.away import Batch, LooseItem
from tagbench.records.base import Record
from tagbench.records.bin import Bin
from tagbench.records.buying import StockItem, Want
from tagbench.records.desk import Desk, Phone, Tag
from tagbench.records.machine import Machine, Setting
from tagbench.records.part import Part

TABLES: Mapping[str, type[Record]] = MappingProxyType(
    {
        "machines": Machine,
        "parts": Part,
        "bins": Bin,
        "wants": Want,
        "settings": Setting,
        "stock": StockItem,
        "batches": Batch,
        "loose": LooseItem,
        "tags": Tag,
        "phones": Phone,
        "desk": Desk,
    }
)
"""Table name → its kind of record."""

RETIRED: Mapping[str, frozenset[str]] = MappingProxyType({})
"""Table name → fields that books of earlier versions have; they are read past and not kept."""

_KEY_FIELD = {"machines": "mark", "parts": "code", "bins": "code", "tags": "code"}
_TABLE_OF = {kind: name for name, kind in TABLES.items()}


def table_of(record: Record) -> tuple[str, str]:
    """The table a record belongs in, and its key there."""
    name = _TABLE_OF[type(record)]
    return name, key_in(name, record)


def key_in(table: str, record: Record) -> str:
    """The key of a record in its table: code, mark or number; `desk` for the only desk."""
    return "desk" if table == "desk" else str(getattr(record, _KEY_FIELD.get(table, "id")))


def by_key(table: str, records: Iterable[Record]) -> dict[str, Record]:
    """Key → record for the records of a table; where a key is there twice, the last one."""
    field = _KEY_FIELD.get(table)
    if field is None:
        return {key_in(table, record): record for record in records}
    key_of = attrgetter(field)
    return {key_of(record): record for record in records}


class Tables(msgspec.Struct, frozen=True, dict=True, weakref=True):
    """All records of a book by table and key; read-only for everyone but the book."""

    machines: Mapping[str, Machine] = msgspec.field(default_factory=dict)
    parts: Mapping[str, Part] = msgspec.field(default_factory=dict)
    bins: Mapping[str, Bin] = msgspec.field(default_factory=dict)
    wants: Mapping[str, Want] = msgspec.field(default_factory=dict)
    settings: Mapping[str, Setting] = msgspec.field(default_factory=dict)
    stock: Mapping[str, StockItem] = msgspec.field(default_factory=dict)
    batches: Mapping[str, Batch] = msgspec.field(default_factory=dict)
    loose: Mapping[str, LooseItem] = msgspec.field(default_factory=dict)
    tags: Mapping[str, Tag] = msgspec.field(default_factory=dict)
    phones: Mapping[str, Phone] = msgspec.field(default_factory=dict)
    desk: Desk = msgspec.field(default_factory=Desk)

    def parts_of(self, mark: str) -> list[Part]:
        """The parts of one machine in removal order."""
        return list(once(self, ("parts of", mark), lambda: self._sorted(mark)))

    def _sorted(self, mark: str) -> tuple[Part, ...]:
        begin = f"{mark}-"
        mine = [part for part in self.parts.values() if part.code.startswith(begin)]
        return tuple(sorted(mine, key=attrgetter("order", "code")))


def once(tables: Tables, key: Hashable, work_out: Callable[[], Worked]) -> Worked:
    """What follows from the records, worked out once for a state of the book.

    It is kept with the tables themselves, so it goes when they do, and a later state of the book
    has none of it. The tables of a change that is being made still change: nothing is kept there.
    """
    kept: dict[Hashable, Any] | None = tables.__dict__.get(_KEPT)
    if kept is None:
        return work_out()
    if key not in kept:
        kept[key] = work_out()
    worked: Worked = kept[key]
    return worked


def keep_worked_out(tables: Tables) -> Tables:
    """Marks tables that never change any more, so that `once` keeps what follows from them."""
    tables.__dict__[_KEPT] = {}
    return tables


_KEPT = "_kept"
Worked = TypeVar("Worked")
