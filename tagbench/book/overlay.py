"""A large table after a small change: the table as it was, and over it the few records put since.

A change costs its own records then, not a copy of a hundred thousand others. Whoever walks through
such a table looks at all of it anyway: the two layers become one dict first, which takes a tenth
of the walk, and once only.
"""

from __future__ import annotations

from collections.abc import ItemsView, Iterator, KeysView, Mapping, ValuesView
from math import isqrt
from types import MappingProxyType
from typing import TypeVar, overload

from tagbench.records import Record

SMALL = 2_000
"""A table of so few records is copied as a whole: that takes some microseconds, and the copy is
read at the speed of a dict."""

Default = TypeVar("Default")


class OverlayTable(Mapping[str, Record]):
    """Key → record in the order of a dict; to its readers it never changes.

    `base` and `over` belong to it from then on; a key of both has the record of `over` at the place
    of `base`.
    """

    __slots__ = ("_layers",)

    def __init__(self, base: Mapping[str, Record], over: Mapping[str, Record]) -> None:
        self._layers = base, over  # always replaced together: other threads read on meanwhile

    def __getitem__(self, key: str) -> Record:
        base, over = self._layers
        return over[key] if key in over else base[key]

    @overload
    def get(self, key: str, default: None = None, /) -> Record | None: ...
    @overload
    def get(self, key: str, default: Record | Default, /) -> Record | Default: ...
    def get(self, key: str, default: Record | Default | None = None) -> Record | Default | None:
        """The record of a key, else the default."""
        base, over = self._layers
        return over[key] if key in over else base.get(key, default)

    def __contains__(self, key: object) -> bool:
        base, over = self._layers
        return key in base or key in over

    def __len__(self) -> int:
        base, over = self._layers
        return len(base) + sum(key not in base for key in over)

    def __iter__(self) -> Iterator[str]:
        return iter(self._whole())

    def __reversed__(self) -> Iterator[str]:
        return reversed(self._whole())

    def keys(self) -> KeysView[str]:
        """The keys, in order."""
        return self._whole().keys()

    def values(self) -> ValuesView[Record]:
        """The records, in order."""
        return self._whole().values()

    def items(self) -> ItemsView[str, Record]:
        """Keys and records, in order."""
        return self._whole().items()

    def __eq__(self, other: object) -> bool:
        return self._whole() == (other._whole() if isinstance(other, OverlayTable) else other)

    def __repr__(self) -> str:
        return f"{type(self).__name__}({len(self)} records)"

    def _whole(self) -> dict[str, Record] | MappingProxyType[str, Record]:
        """Both layers as one, which stands for them from now on."""
        base, over = self._layers
        if over or not isinstance(base, dict | MappingProxyType):
            base = _copied(base)
            base.update(over)
            self._layers = base, _NOTHING
        return base


class DraftTable(OverlayTable):
    """A table while a change is being made: what is put and dropped shows at once.

    The table that it was drafted from stays as it was.
    """

    __slots__ = ("_most", "_over", "_own")

    def __init__(self, table: Mapping[str, Record]) -> None:
        base, over = table._layers if isinstance(table, OverlayTable) else (table, _NOTHING)
        self._own: dict[str, Record] | None = None
        """The whole table, copied, once that is the better way."""
        self._over = dict(over)
        self._most = isqrt(len(base))
        super().__init__(base, self._over)
        if len(base) < SMALL:
            self._whole()

    def put(self, key: str, record: Record) -> None:
        """Puts a record in the place of the one with its key, or at the end."""
        if self._own is not None:
            self._own[key] = record
        elif len(self._over) < self._most:
            self._over[key] = record
        else:
            self._whole()[key] = record

    def drop(self, key: str) -> None:
        """Takes the record out; nothing happens when it is not there."""
        if key in self:
            self._whole().pop(key)

    def finished(self) -> Mapping[str, Record]:
        """The table for everyone to read; it must not be changed any more."""
        return OverlayTable(*self._layers) if self._own is None else self._own

    def _whole(self) -> dict[str, Record]:
        if self._own is None:
            base, over = self._layers
            self._own = _copied(base)
            self._own.update(over)
            self._layers = self._own, _NOTHING
        return self._own


_NOTHING: Mapping[str, Record] = MappingProxyType({})


def _copied(rows: Mapping[str, Record]) -> dict[str, Record]:
    """The rows in a dict of their own; a read-only view copies them at the speed of a dict."""
    return rows.copy() if isinstance(rows, dict | MappingProxyType) else dict(rows)
